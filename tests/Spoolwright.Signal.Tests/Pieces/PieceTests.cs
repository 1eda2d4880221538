using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Pieces;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Tests.Pieces;

/// <summary>The program's own piece: what it must hold to show a deck.</summary>
public sealed class PieceTests
{
    private const int Rate = 48_000;

    [Fact]
    public void Piece_SameSeed_IsTheSameAndAnotherSeedAnother()
    {
        var (left, right) = Piece.Render(4, Rate);
        var (again, _) = Piece.Render(4, Rate);
        Assert.Equal(left, again);
        Assert.NotEqual(left, Piece.Render(5, Rate).Left);
        Assert.NotEqual(left, right);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(6)]
    [InlineData(2026)]
    public void Piece_HoldsBassTrebleTransientsAndSilence(int seed)
    {
        var (left, right) = Piece.Render(seed, Rate);
        Assert.InRange(left.Length / (double)Rate, 40, 60);
        Assert.Equal(1, Math.Max(left.Max(v => Math.Abs(v)), right.Max(v => Math.Abs(v))), 1e-6);
        Assert.All(left[^(int)(Piece.SilentSeconds * Rate)..], v => Assert.Equal(0f, v));
        Assert.True(Math.Abs(left.Average(v => (double)v)) < 1e-4);

        // Every octave from 63 Hz to 8 kHz within 50 dB of the strongest: enough to hold a tape against.
        var spectrum = new WelchSpectrum(8192, Rate);
        spectrum.Add([.. left.Select(v => (double)v)]);
        var density = spectrum.Density();
        double Octave(double hz) =>
            Enumerable
                .Range(0, density.Length)
                .Where(k => k * spectrum.BinHz > hz / Math.Sqrt(2) && k * spectrum.BinHz <= hz * Math.Sqrt(2))
                .Sum(k => density[k]);
        var octaves = new double[] { 63, 125, 250, 500, 1000, 2000, 4000, 8000 }
            .Select(Octave)
            .ToArray();
        Assert.All(octaves, p => Assert.True(10 * Math.Log10(p / octaves.Max()) > -50));

        // Loud against quiet, tenths of a second of the first forty: the softest twentieth lies 15 dB under the loudest.
        var loudness = Enumerable
            .Range(0, 400)
            .Select(i => new ArraySegment<float>(left, i * Rate / 10, Rate / 10).Average(v => (double)v * v))
            .Order()
            .ToArray();
        Assert.True(10 * Math.Log10(loudness[^1] / loudness[20]) > 15);
    }

    [Fact]
    public void MarkedSound_ReadInBlocks_IsFoundByItsMarkersWhereItSaysItStands()
    {
        var (left, right) = Piece.Render(1, Rate);
        using var marked = new MarkedSound([.. left.Select(v => 0.3f * v)], [.. right.Select(v => 0.3f * v)], Rate, -12);
        float[] allLeft = new float[marked.Frames!.Value],
            allRight = new float[allLeft.Length];
        for (
            int at = 0, n;
            (
                n = marked.Read(
                    allLeft.AsSpan(at, Math.Min(777, allLeft.Length - at)),
                    allRight.AsSpan(at, Math.Min(777, allLeft.Length - at))
                )
            ) > 0;

        )
            at += n;
        var search = new MarkerSearch(Rate, 2);
        search.Add(allLeft, allRight);
        var found = search.Finish();
        Assert.Equal(4, found.Count);
        Assert.All(found, m => Assert.Equal(MarkedSound.Number, m.Word.Program));
        var begin = found.First(m => m.Word.Variant < SignalProgram.EndVariant);
        var end = found.First(m => m.Word.Variant >= SignalProgram.EndVariant && m.CaptureChannel == begin.CaptureChannel);
        Assert.Equal(marked.EndMarkerSeconds, end.StartSeconds - begin.StartSeconds, 1e-5);
        Assert.Equal(0.3f * left[5000], allLeft[(int)Math.Round((begin.StartSeconds + MarkedSound.SoundSeconds) * Rate) + 5000], 1e-6);
    }
}
