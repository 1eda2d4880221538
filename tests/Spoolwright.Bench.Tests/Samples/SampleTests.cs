using Spoolwright.Bench.Samples;
using Spoolwright.Bench.Tests.Levels;
using Spoolwright.Signal;
using Spoolwright.Signal.Alignment;
using Spoolwright.Signal.Pieces;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Spectra;

namespace Spoolwright.Bench.Tests.Samples;

/// <summary>Source and tape laid in step. Truth: the gain, noise, filter and flutter that were put in; SciPy beside it.</summary>
public sealed class SampleTests
{
    private const int Rate = 48_000;

    [Fact]
    public void Tape_SofterNoisyAndFluttering_ReadsWhatWasPutIn()
    {
        var sent = Sent(1);
        var comparison = SampleComparison.Of(SampleAlignment.Of(sent, Taped(sent, 0.8, 3e-4, 0.0008, 1.003, 5)));
        foreach (var channel in comparison.Channels)
        {
            Assert.Equal(20 * Math.Log10(0.8), channel.LevelDb, 0.02);
            Assert.All(channel.Bands.Where(b => b.CentreHz is > 100 and < 5000), b => Assert.Equal(0, b.Db, 0.05));
            Assert.Equal(0, channel.Bands.Single(b => b.CentreHz.Equals(8000)).Db, 0.15);

            // White noise of 3e-4 rms in half the rate, the sound's own power beside it: nothing else may be left over.
            var power = sent.Left.Zip(sent.Right, (l, r) => ((double)l * l + (double)r * r) / 2).Average();
            Assert.InRange(channel.RemainderDb, (10 * Math.Log10(9e-8 * 20 / 24 / (0.64 * power))) - 2.5, -38);
            Assert.True(channel.DifferenceDb < -37, $"{channel.DifferenceDb:0.0}");
        }

        Assert.Equal(0.3, comparison.SpeedErrorPercent, 0.002);

        // A sine of lag, 0.08 % peak at 4 Hz: 0.0008/(2π·4)/√2.
        Assert.Equal(1000 * 0.0008 / (2 * Math.PI * 4) / Math.Sqrt(2), comparison.WanderMs, 0.004);
    }

    [Fact]
    public void Figures_AgainstSciPy_AreTheSame()
    {
        var random = new Random(4);
        var (source, tape) = (new float[8 * Rate], new float[8 * Rate]);
        float before = 0;
        for (var i = 0; i < source.Length; i++)
        {
            source[i] = (float)(random.NextDouble() - 0.5);
            tape[i] = (float)((0.5 * source[i]) + (0.3 * before) + (0.02 * (random.NextDouble() - 0.5)));
            before = source[i];
        }

        var spectrum = new CrossSpectrum(8192, Rate);
        spectrum.Add(source, tape);
        var file = Path.GetTempFileName();
        try
        {
            File.WriteAllBytes(
                file,
                [.. source.Zip(tape).SelectMany(p => (byte[])[.. BitConverter.GetBytes(p.First), .. BitConverter.GetBytes(p.Second)])]
            );
            var others = Outside.Script("coherence.py", file, "48000", "8192");
            Assert.Equal(others.GetProperty("level").GetDouble(), spectrum.Gain(315, 3150).Db, 0.002);
            foreach (var octave in others.GetProperty("octaves").EnumerateObject())
            {
                var hz = double.Parse(octave.Name, System.Globalization.CultureInfo.InvariantCulture);
                Assert.Equal(octave.Value.GetDouble(), spectrum.Gain(hz / Math.Sqrt(2), hz * Math.Sqrt(2)).Db, 0.002);
            }

            // SciPy's coherence keeps the bias of a finite number of windows, some 1/90 of the rest.
            Assert.Equal(
                others.GetProperty("unexplained").GetDouble(),
                10 * Math.Log10(spectrum.Unexplained(20, 20_000) / spectrum.Power(20, 20_000).Source),
                0.06
            );
        }
        finally
        {
            File.Delete(file);
        }
    }

    [Fact]
    public void LevelAndBands_OverSeeds_AreCoveredByTheirUncertainty()
    {
        int inside = 0, all = 0;
        for (var seed = 0; seed < 300; seed++)
        {
            var random = new Random(7000 + seed);
            double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
            float[] source = [.. Enumerable.Range(0, 2 * Rate).Select(_ => (float)(0.1 * Normal()))];
            float[] tape = [.. source.Select(s => (float)((0.7 * s) + (0.02 * Normal())))];
            var spectrum = new CrossSpectrum(8192, Rate);
            spectrum.Add(source, tape);
            foreach (var (low, high) in ((double, double)[])[(315, 3150), (177, 354), (5657, 11_314)])
            {
                var (db, uncertainty) = spectrum.Gain(low, high);
                inside += Math.Abs(db - (20 * Math.Log10(0.7))) <= uncertainty ? 1 : 0;
                all++;
            }
        }

        Assert.InRange(inside / (double)all, 0.93, 0.97);
    }

    [Fact]
    public void Switching_BeginsWithTheSourceAndGoesOverInStep()
    {
        var sent = Sent(2);
        var alignment = SampleAlignment.Of(sent, Taped(sent, 0.5, 0, 0, 1, 3));
        var sample = SwitchingSample.Of(alignment, SampleComparison.Of(alignment), 4);
        Assert.Equal([.. Enumerable.Range(1, sample.SwitchSeconds.Count).Select(i => 4.0 * i)], sample.SwitchSeconds);
        for (var i = 0; i < sample.Switching.Left.Length; i++)
        {
            var into = (i / (double)Rate % 4) is var t && t is < 0.02 or > 3.98;
            if (!into)
                Assert.Equal(
                    (int)(i / (4.0 * Rate)) % 2 == 0 ? sample.Source.Left[i] : sample.Tape.Left[i],
                    sample.Switching.Left[i],
                    1e-6
                );
        }

        // At one level and in step: what is left is 60 dB under.
        double Power(float[] side) => side.Average(v => (double)v * v);
        Assert.True(10 * Math.Log10(Power(sample.Difference.Left) / Power(sample.Source.Left)) < -60);
        Assert.True(
            10 * Math.Log10(Power([.. sample.Tape.Left.Zip(sample.Source.Left, (a, b) => a - b)]) / Power(sample.Source.Left)) < -50
        );
    }

    [Fact]
    public void Sounds_ThatCannotBeLaidTogether_AreRefusedInOneLine()
    {
        var sent = Sent(1);
        var bare = Piece.Render(1, Rate);
        string Code(SampleSound heard) => Assert.Throws<CannotMeasureException>(() => SampleAlignment.Of(sent, heard)).Code;
        Assert.Equal("no-marker", Code(new SampleSound(bare.Left, bare.Right, Rate)));
        Assert.Equal("no-marker", Code(new SampleSound(sent.Left[..(30 * Rate)], sent.Right[..(30 * Rate)], Rate)));
        float[] sum = [.. sent.Left.Zip(sent.Right, (l, r) => (l + r) / 2)];
        Assert.Equal("summed-sides", Code(new SampleSound(sum, sum, Rate)));
        Assert.Equal("backwards", Code(new SampleSound([.. sent.Left.Reverse()], [.. sent.Right.Reverse()], Rate)));

        var random = new Random(1);
        float[] Other(float[] side) =>
            [.. side.Select((v, i) => i < 4 * Rate || i > side.Length - (4 * Rate) ? v : (float)(0.1 * (random.NextDouble() - 0.5)))];
        Assert.Equal("another-sound", Code(new SampleSound(Other(sent.Left), Other(sent.Right), Rate)));
    }

    private static SampleSound Sent(int seed)
    {
        var (left, right) = Piece.Render(seed, Rate);
        using var marked = new MarkedSound([.. left.Select(v => 0.5f * v)], [.. right.Select(v => 0.5f * v)], Rate, -12);
        float[] allLeft = new float[marked.Frames!.Value], allRight = new float[allLeft.Length];
        Assert.Equal(allLeft.Length, marked.Read(allLeft, allRight));
        return new SampleSound(allLeft, allRight, Rate);
    }

    private static SampleSound Taped(SampleSound sent, double gain, double noise, double flutter, double speed, int seed)
    {
        var random = new Random(seed);
        double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        var frames = (int)((sent.Left.Length / speed) + Rate);
        double[] at = [.. Enumerable.Range(0, frames).Select(i => (i / (double)Rate) - 0.4)
            .Select(t => Rate * speed * (t - (flutter / (2 * Math.PI * 4) * Math.Sin(2 * Math.PI * 4 * t))))];
        float[] Side(float[] side)
        {
            var values = new float[frames];
            new Warp().Read(side, at, values);
            return [.. values.Select(v => (float)((gain * v) + (noise * Normal())))];
        }

        return new SampleSound(Side(sent.Left), Side(sent.Right), Rate);
    }
}
