using Spoolwright.Bench.Standards;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Tests.Tape;

/// <summary>
/// Flux levels against the table computed to two places from the formula of [IEC60094-1:1981] clause 15, and against values of [NAB:1965]
/// as remembered.
/// </summary>
public sealed class EqualizationTests
{
    // Columns: infinity/17.5, infinity/35, 3180/50, infinity/70, 3180/90, 3180/120 µs; reference table of figures, computed.
    private static readonly (double Treble, double? Bass)[] Columns =
    [
        (17.5, null),
        (35, null),
        (50, 3180),
        (70, null),
        (90, 3180),
        (120, 3180),
    ];

    public static TheoryData<double, double[]> FluxTable => new()
    {
        { 20, [0, 0, 8.61, 0, 8.61, 8.61] },
        { 31.5, [0, 0, 5.47, 0, 5.47, 5.47] },
        { 50, [0, 0, 3.01, 0, 3.01, 3.01] },
        { 100, [0, 0, 0.97, -0.01, 0.96, 0.95] },
        { 250, [0, -0.01, 0.14, -0.05, 0.08, 0.02] },
        { 400, [-0.01, -0.03, 0.00, -0.13, -0.15, -0.31] },
        { 1000, [-0.05, -0.21, -0.40, -0.77, -1.19, -1.94] },
        { 2000, [-0.21, -0.77, -1.44, -2.49, -3.57, -5.15] },
        { 3150, [-0.49, -1.70, -2.96, -4.65, -6.20, -8.22] },
        { 5000, [-1.15, -3.44, -5.40, -7.66, -9.54, -11.82] },
        { 6300, [-1.70, -4.65, -6.92, -9.38, -11.36, -13.72] },
        { 10000, [-3.44, -7.66, -10.36, -13.08, -15.18, -17.62] },
        { 12500, [-4.61, -9.32, -12.15, -14.95, -17.07, -19.53] },
        { 15000, [-5.71, -10.75, -13.66, -16.49, -18.63, -21.10] },
        { 16000, [-6.12, -11.26, -14.19, -17.03, -19.18, -21.66] },
        { 20000, [-7.66, -13.08, -16.07, -18.94, -21.10, -23.59] },
    };

    [Theory]
    [MemberData(nameof(FluxTable))]
    public void FluxLevel_AtTableFrequency_IsTheTablesToItsLastPlace(double frequencyHz, double[] expected)
    {
        for (var column = 0; column < Columns.Length; column++)
        {
            var level = Equalization.FluxLevelDb(frequencyHz, Columns[column].Treble, Columns[column].Bass);
            Assert.InRange(level, expected[column] - 0.0051, expected[column] + 0.0051);
        }
    }

    // [NAB:1965] table of the reproducing characteristic, remembered; sign reversed, agreement within 0.1 dB is what the reference claims
    // of it.
    [Theory]
    [InlineData(20, -8.6)]
    [InlineData(30, -5.8)]
    [InlineData(50, -3.0)]
    [InlineData(100, -1.0)]
    [InlineData(400, 0)]
    [InlineData(1000, 0.4)]
    [InlineData(2000, 1.4)]
    [InlineData(5000, 5.4)]
    [InlineData(10000, 10.35)]
    [InlineData(15000, 13.65)]
    public void Nab1965_ReproducerAtRememberedPoint_IsWithinATenth(double frequencyHz, double reproducerDb) =>
        Assert.InRange(-Equalization.FluxLevelDb(frequencyHz, 50, 3180), reproducerDb - 0.1, reproducerDb + 0.1);

    [Theory]
    [InlineData(17.5, 9094.6)]
    [InlineData(35, 4547.3)]
    [InlineData(50, 3183.1)]
    [InlineData(70, 2273.6)]
    [InlineData(90, 1768.4)]
    [InlineData(120, 1326.3)]
    [InlineData(140, 1136.8)]
    [InlineData(3180, 50.05)]
    [InlineData(1590, 100.1)]
    public void TransitionFrequency_OfATimeConstant_IsTheComputedOneAndBack(double microseconds, double hz)
    {
        Assert.InRange(Equalization.TransitionHz(microseconds), hz - 0.05, hz + 0.05);
        Assert.Equal(microseconds, Equalization.Microseconds(Equalization.TransitionHz(microseconds)), 9);
    }

    // A tape of infinity/35 on a 3180/50 reproducer at 38 cm/s, level set at 1 kHz: computed in the reference.
    [Theory]
    [InlineData(31.5, -5.66)]
    [InlineData(100, -1.16)]
    [InlineData(10000, 2.51)]
    [InlineData(15000, 2.71)]
    [InlineData(20000, 2.79)]
    public void Mismatch_OfIecTapeOnNabDeck_IsTheWorkedFigure(double frequencyHz, double expectedDb) =>
        Assert.InRange(Equalization.MismatchDb(frequencyHz, (35, null), (50, 3180), 1000), expectedDb - 0.0051, expectedDb + 0.0051);

    // [IASA-TC04] 5.4.10 table 1, the rows a bench meets.
    [Theory]
    [InlineData("IEC2", 76.2, 17.5, null)]
    [InlineData("AES", 76.2, 17.5, null)]
    [InlineData("CCIR", 38.1, 35.0, null)]
    [InlineData("NAB", 38.1, 50.0, 3180.0)]
    [InlineData("IEC2", 38, 50.0, 3180.0)]
    [InlineData("IEC1", 19.05, 70.0, null)]
    [InlineData("nab", 19, 50.0, 3180.0)]
    [InlineData("DIN home", 19.05, 50.0, 3180.0)]
    [InlineData("NAB", 9.53, 90.0, 3180.0)]
    [InlineData("IEC", 9.5, 90.0, 3180.0)]
    [InlineData("DIN 1962", 9.525, 120.0, 3180.0)]
    [InlineData("IEC", 4.76, 120.0, 3180.0)]
    public void PublishedEqualization_ByNameAndSpeed_HasItsTimeConstants(string name, double speed, double treble, double? bass)
    {
        var found = PublishedEqualizations.Find(name, speed);

        Assert.NotNull(found);
        Assert.Equal((treble, bass), (found.TrebleMicroseconds, found.BassMicroseconds));
    }

    [Fact]
    public void PublishedEqualizations_AtOneSpeed_HaveEachNameOnce()
    {
        foreach (var speed in PublishedEqualizations.All.Select(e => e.SpeedCmPerS).Distinct())
        {
            var names = PublishedEqualizations.At(speed).SelectMany(e => e.OtherNames.Prepend(e.Name)).ToList();
            Assert.Equal(names.Count, names.Distinct(StringComparer.OrdinalIgnoreCase).Count());
        }
    }

    [Fact]
    public void PublishedEqualizations_ForTheSlowestSpeed_AreMarkedAsRemembered() =>
        Assert.All(PublishedEqualizations.At(4.76), e => Assert.Equal(Basis.Memory, e.Citation.Basis));
}
