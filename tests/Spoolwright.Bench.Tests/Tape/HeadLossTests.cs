using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Tests.Tape;

/// <summary>Losses at the head against the worked figures of the reference (computed there from the formulas cited), to their last
/// place.</summary>
public sealed class HeadLossTests
{
    // [SPACING-1951]
    [Theory]
    [InlineData(1, 19.05, 10000, -2.865)]
    [InlineData(1, 19.05, 16000, -4.584)]
    [InlineData(1, 38.1, 10000, -1.432)]
    [InlineData(2.5, 9.53, 10000, -14.32)]
    public void SpacingLoss_WorkedFigure_IsMetAndInverted(double spacing, double speed, double frequencyHz, double expectedDb)
    {
        var db = SpacingLoss.Db(spacing, frequencyHz, speed);

        Assert.Equal(expectedDb, db, Math.Abs(expectedDb) > 10 ? 2 : 3);
        Assert.Equal(spacing, SpacingLoss.SpacingMicrometres(db, frequencyHz, speed), 9);
    }

    // [SPACING-1951], thickness term.
    [Theory]
    [InlineData(12, 19.05, 1000, -1.662)]
    [InlineData(12, 19.05, 10000, -12.117)]
    [InlineData(12, 38.1, 10000, -7.221)]
    public void ThicknessLoss_WorkedFigure_IsMet(double coating, double speed, double frequencyHz, double expectedDb) =>
        Assert.Equal(expectedDb, ThicknessLoss.Db(coating, frequencyHz, speed), 3);

    [Fact]
    public void ThicknessLoss_AtLongWavelength_Vanishes() => Assert.Equal(0, ThicknessLoss.Db(0.001, 0.01, 76.2), 8);

    // [GAP-1953]; k = 1 and k = 1.136.
    [Theory]
    [InlineData(3, 19.05, 10000, -0.357, -0.462)]
    [InlineData(3, 19.05, 20000, -1.467, -1.913)]
    [InlineData(4, 19.05, 20000, -2.685, -3.537)]
    [InlineData(3, 9.53, 10000, -1.465, -1.911)]
    [InlineData(6, 38.1, 20000, -1.467, -1.913)]
    public void GapLoss_WorkedFigure_IsMetAndInverted(double gap, double speed, double frequencyHz, double optical, double exact)
    {
        Assert.Equal(optical, GapLoss.Db(gap, frequencyHz, speed, 1), 3);
        Assert.Equal(exact, GapLoss.Db(gap, frequencyHz, speed, 1.136), 3);
        Assert.Equal(gap, GapLoss.GapMicrometres(GapLoss.Db(gap, frequencyHz, speed), frequencyHz, speed), 6);
    }

    [Theory]
    [InlineData(3, 19.05, 55.9)]
    [InlineData(4, 19.05, 41.9)]
    [InlineData(3, 9.53, 28.0)]
    public void GapNull_WorkedFigure_IsMetAndFinite(double gap, double speed, double kilohertz)
    {
        var nullHz = GapLoss.NullHz(gap, speed, 1.136);

        Assert.Equal(kilohertz, nullHz / 1000, 1);
        Assert.InRange(GapLoss.Db(gap, nullHz, speed, 1.136), -200, -150);
    }

    // Azimuth loss, formula remembered, figures computed; [AZIMUTH-2000] treats its phase.
    [Theory]
    [InlineData(2.1, 3, 10000, 19.05, -0.133)]
    [InlineData(2.1, 5, 10000, 19.05, -0.370)]
    [InlineData(2.1, 10, 10000, 19.05, -1.522)]
    [InlineData(1.0, 3, 10000, 19.05, -0.030)]
    [InlineData(1.0, 10, 10000, 9.53, -1.375)]
    [InlineData(6.3, 3, 10000, 19.05, -1.224)]
    public void AzimuthLoss_WorkedFigure_IsMet(double width, double arcmin, double frequencyHz, double speed, double expectedDb)
    {
        Assert.Equal(expectedDb, AzimuthGeometry.LossDb(width, arcmin, frequencyHz, speed), 3);
        Assert.Equal(expectedDb, AzimuthGeometry.LossDb(width, -arcmin, frequencyHz, speed), 3);
    }

    // Phase between tracks; the reference gives its size, the sign is the design's.
    [Theory]
    [InlineData(4.0, 1, 10000, 19.05, 21.99)]
    [InlineData(4.0, 3, 10000, 19.05, 65.97)]
    [InlineData(4.0, 10, 1000, 19.05, 21.99)]
    [InlineData(4.0, 10, 10000, 19.05, -140.1)]
    [InlineData(3.4, 3, 10000, 19.05, 56.07)]
    [InlineData(3.4, 1, 10000, 9.53, 37.36)]
    public void InterTrackPhase_WorkedFigure_IsMetWrapped(double apart, double arcmin, double frequencyHz, double speed, double expected)
    {
        // The right track lies lower: with the upper end late, right comes earlier, and its phase leads.
        var skew = AzimuthGeometry.TimeSkewMicroseconds(arcmin, apart, speed);

        Assert.True(skew < 0);
        Assert.Equal(expected, AzimuthGeometry.PhaseDegrees(skew, frequencyHz), expected < 0 ? 1 : 2);
        Assert.Equal(arcmin, AzimuthGeometry.AngleArcmin(skew, apart, speed), 9);
    }

    // [AZIMUTH-2000]: 300 µrad, there taken as 1 arcmin (291 µrad), on 6.3 mm tape with 2 mm edge tracks makes 22° at 10 kHz and 19 cm/s,
    // 45° at 9.5 cm/s.
    [Theory]
    [InlineData(19.05, 22)]
    [InlineData(9.525, 45)]
    public void InterTrackPhase_PublishedCase_LiesBetweenBothAngles(double speed, double degrees)
    {
        double Phase(double arcmin) =>
            Math.Abs(AzimuthGeometry.PhaseDegrees(AzimuthGeometry.TimeSkewMicroseconds(arcmin, 4.0, speed), 10000));

        Assert.InRange(degrees, Phase(1), Phase(300e-6 * 180 * 60 / Math.PI));
    }

    [Theory]
    [InlineData(400, 205, 1)]
    [InlineData(1000, 81.9, 0.1)]
    [InlineData(3150, 26.0, 0.1)]
    [InlineData(10000, 8.19, 0.01)]
    [InlineData(16000, 5.12, 0.01)]
    public void UnambiguousAngle_WorkedFigure_IsMetToItsLastPlace(double frequencyHz, double arcmin, double lastPlace) =>
        Assert.InRange(AzimuthGeometry.UnambiguousArcmin(frequencyHz, 4, 19.05), arcmin - lastPlace, arcmin + lastPlace);

    [Theory]
    [InlineData(30, -0.30)]
    [InlineData(60, -1.25)]
    [InlineData(90, -3.01)]
    [InlineData(120, -6.02)]
    [InlineData(180, -200)]
    public void MonoSum_WorkedFigure_IsMet(double degrees, double expectedDb) =>
        Assert.Equal(expectedDb, AzimuthGeometry.MonoSumDb(degrees), 2);

    [Fact]
    public void TrackOffset_OfAReversePair_FollowsWhichTrackIsRight()
    {
        var reverse = new DirectionTracks(Direction.Reverse, new TrackBand(5.25, 6.25), new TrackBand(1.75, 2.75));

        Assert.Equal(-3.5, AzimuthGeometry.TrackOffsetMm(reverse));
        // Right lies above left here: with the upper end late, right comes later.
        Assert.True(AzimuthGeometry.TimeSkewMicroseconds(3, AzimuthGeometry.TrackOffsetMm(reverse), 19.05) > 0);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void Laws_GivenAFrequencyThatIsNone_NameTheArgument(double frequencyHz)
    {
        Assert.Throws<ArgumentOutOfRangeException>(nameof(frequencyHz), () => SpacingLoss.Db(1, frequencyHz, 19.05));
        Assert.Throws<ArgumentOutOfRangeException>(nameof(frequencyHz), () => Equalization.FluxLevelDb(frequencyHz, 50, null));
        Assert.Throws<ArgumentOutOfRangeException>(nameof(frequencyHz), () => AzimuthGeometry.LossDb(1, 1, frequencyHz, 19.05));
    }
}
