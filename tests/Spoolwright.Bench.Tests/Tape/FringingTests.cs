using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Standards;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Tests.Tape;

public sealed class FringingTests
{
    private static readonly TrackBand Outer = new(0, 1);
    private static readonly TrackBand Inner = new(1.75, 2.75);
    private static readonly TrackBand[] WholeTape = [new(0, 6.25)];

    // Four figures quoted from a calculation after [FRINGING-1972]: 30 Hz, 19.05 cm/s; full-track tape, and four tracks of 1 mm.
    [Fact]
    public void Fringing_PublishedCases_AreMetToTheirLastPlace()
    {
        TrackBand[] four = [.. TrackFormats.Find("quarter-track")!.Tracks.Select(t => t.Band)];

        Assert.Equal(6, Fringing.GainDb(Outer, WholeTape, 30, 19.05), 0);
        Assert.Equal(9, Fringing.GainDb(Inner, WholeTape, 30, 19.05), 0);
        Assert.Equal(2.7, Fringing.GainDb(Outer, four, 30, 19.05), 1);
        Assert.Equal(4.4, Fringing.GainDb(Inner, four, 30, 19.05), 1);
    }

    // Table of the reference, computed there: full-track tape on a narrower head; head by its edges in mm.
    public static TheoryData<double, double, double, double[]> Table => new()
    {
        { 9.525, 0, 1, [3.55, 2.79, 1.87, 1.23, 0.99, 0.51, 0.26, 0.13] },
        { 9.525, 1.75, 2.75, [6.00, 4.88, 3.41, 2.30, 1.89, 0.99, 0.51, 0.26] },
        { 9.525, 0, 2.1, [1.87, 1.44, 0.94, 0.61, 0.49, 0.25, 0.12, 0.06] },
        { 19.05, 0, 1, [6.04, 4.90, 3.41, 2.30, 1.89, 0.99, 0.51, 0.26] },
        { 19.05, 1.75, 2.75, [8.98, 7.72, 5.80, 4.11, 3.43, 1.89, 0.99, 0.51] },
        { 19.05, 0, 2.1, [3.37, 2.67, 1.79, 1.17, 0.95, 0.49, 0.25, 0.12] },
        { 19.05, 0, 2.75, [2.65, 2.10, 1.40, 0.91, 0.73, 0.37, 0.19, 0.10] },
        { 38.1, 0, 2.1, [5.29, 4.48, 3.24, 2.20, 1.80, 0.95, 0.49, 0.25] },
        { 38.1, 0, 2.75, [4.11, 3.50, 2.55, 1.73, 1.41, 0.73, 0.37, 0.19] },
        { 38.1, 0, 1, [9.16, 7.85, 5.84, 4.12, 3.44, 1.89, 0.99, 0.51] },
        { 38.1, 1.75, 2.75, [11.67, 10.64, 8.77, 6.76, 5.83, 3.43, 1.89, 0.99] },
    };

    [Theory]
    [MemberData(nameof(Table))]
    public void Fringing_OfFullTrackTape_IsTheTablesToItsLastPlace(double speed, double from, double to, double[] expected)
    {
        double[] frequencies = [30, 40, 63, 100, 125, 250, 500, 1000];
        for (var i = 0; i < frequencies.Length; i++)
        {
            var gain = Fringing.GainDb(new TrackBand(from, to), WholeTape, frequencies[i], speed);
            Assert.InRange(gain, expected[i] - 0.0051, expected[i] + 0.0051);
        }
    }

    [Fact]
    public void Fringing_AtShortWavelength_Vanishes() => Assert.Equal(0, Fringing.GainDb(Inner, WholeTape, 20000, 9.525), 1);

    [Fact]
    public void Fringing_WhereNothingIsRecordedNear_IsAFiniteFloor() =>
        Assert.Equal(-200, Fringing.GainDb(Outer, [new TrackBand(5.25, 6.25)], 20000, 9.525));

    [Fact]
    public void Correction_OfAFullTrackTape_CarriesAFifthAsUncertainty()
    {
        var correction = Fringing.Correction(Tape(RecordedTracksKind.Full, compensated: false), Inner, 30, 19.05)!;

        Assert.Equal(8.98, correction.GainDb, 2);
        Assert.Equal(0.2 * correction.GainDb, correction.UncertaintyDb, 12);
    }

    [Theory]
    [InlineData(RecordedTracksKind.Full, true)]
    [InlineData(RecordedTracksKind.SameAsDeck, false)]
    public void Correction_WhereNoneIsDue_IsNothing(RecordedTracksKind kind, bool compensated) =>
        Assert.Equal(new FringingCorrection(0, 0), Fringing.Correction(Tape(kind, compensated), Inner, 30, 19.05));

    [Theory]
    [InlineData(RecordedTracksKind.Unknown, false)]
    [InlineData(RecordedTracksKind.Full, null)]
    public void Correction_WhereTheTapesFileLeavesItOpen_IsNotKnown(RecordedTracksKind kind, bool? compensated) =>
        Assert.Null(Fringing.Correction(Tape(kind, compensated), Inner, 30, 19.05));

    [Fact]
    public void Correction_WhereTheTrackLiesBesideTheRecording_IsNotKnown()
    {
        var tape = Tape(RecordedTracksKind.Bands, compensated: false) with { RecordedBands = [new TrackBand(3.5, 4.5)] };

        Assert.Null(Fringing.Correction(tape, Inner, 30, 19.05));
        Assert.NotNull(Fringing.Correction(tape, new TrackBand(3.5, 4.5), 30, 19.05));
    }

    [Theory]
    [InlineData(190, true)]
    [InlineData(191, false)]
    public void Fringing_MattersWhereTheWaveIsLongerThanTheTrackIsWide(double frequencyHz, bool expected) =>
        Assert.Equal(expected, Fringing.Matters(Outer, frequencyHz, 19.05));

    private static TestTape Tape(RecordedTracksKind kind, bool? compensated) => new()
    {
        Name = "invented",
        SpeedCmPerS = 19.05,
        Tones = [new TestTone(1000, 0, 10, ToneRole.Reference)],
        RecordedTracks = kind,
        FringingCompensated = compensated,
    };
}
