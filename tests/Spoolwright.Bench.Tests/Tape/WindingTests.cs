using Spoolwright.Bench.Standards;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Tests.Tape;

/// <summary>Reel and speed geometry [WINDING] against the reference's worked cases, computed there.</summary>
public sealed class WindingTests
{
    [Fact]
    public void Reel_Of125Mm_HasTheWorkedLengthTurnsAndTime()
    {
        Assert.Equal(776.5, Winding.LengthM(57.15, 125, 50), 1);
        Assert.Equal(1357, Winding.Turns(57.15, 125, 50), 0);
        Assert.Equal(67.9, Winding.RemainingSeconds(57.15, 125, 50, 19.05) / 60, 1);
        Assert.Equal(34.0, Winding.RemainingSeconds(57.15, 125, 50, 38.1) / 60, 1);
        Assert.Equal(97.2, Winding.EqualPacksRadiusMm(57.15, 125), 1);
    }

    // Length m, hub radius mm, thickness µm: radius mm, turns (0: not given).
    [Theory]
    [InlineData(762, 57.15, 50, 124.07, 1338)]
    [InlineData(1097, 57.15, 35, 124.45, 0)]
    [InlineData(549, 30, 35, 83.76, 1536)]
    [InlineData(366, 30, 50, 82.01, 1040)]
    public void Reel_OfKnownLength_HasTheWorkedRadius(double length, double hub, double thickness, double radius, double turns)
    {
        var found = Winding.RadiusMm(hub, length, thickness);

        Assert.Equal(radius, found, 2);
        if (turns > 0)
            Assert.InRange(Winding.Turns(hub, found, thickness), turns - 0.5, turns + 0.5);
        Assert.Equal(thickness, Winding.ThicknessMicrometres(hub, found, length), 9);
    }

    [Theory]
    [InlineData(30, 1.011)]
    [InlineData(57.2, 0.530)]
    [InlineData(85, 0.357)]
    [InlineData(128, 0.237)]
    public void ReelRate_At19_IsTheWorkedFigure(double radius, double hz) => Assert.Equal(hz, Winding.RateHz(radius, 19.05), 3);

    [Fact]
    public void Radius_BelowTheHub_IsTheCallersMistake() => Assert.Throws<ArgumentOutOfRangeException>(() => Winding.LengthM(30, 20, 50));

    [Theory]
    [InlineData(10, 50, 35, -0.149)]
    [InlineData(10, 50, 26, -0.239)]
    [InlineData(10, 50, 18, -0.318)]
    [InlineData(6, 50, 35, -0.248)]
    public void Speed_WithThinnerTape_FallsByTheWorkedFigure(double capstan, double from, double to, double percent) =>
        Assert.Equal(percent, SpeedAndStretch.ThicknessChangePercent(capstan, from, to), 3);

    [Theory]
    [InlineData(0.8, 50, 0.063)]
    [InlineData(0.8, 35, 0.091)]
    [InlineData(0.8, 26, 0.122)]
    [InlineData(0.8, 18, 0.176)]
    [InlineData(0.3, 50, 0.024)]
    public void Strain_OfTapeUnderTension_IsTheWorkedFigure(double newtons, double thickness, double percent) =>
        Assert.Equal(percent, SpeedAndStretch.StrainPercent(newtons, thickness), 3);

    [Theory]
    [InlineData(0.1, 1.73)]
    [InlineData(0.2, 3.46)]
    [InlineData(1, 17.23)]
    [InlineData(2, 34.28)]
    public void Cents_OfASpeedError_AreTheWorkedFigures(double percent, double cents) =>
        Assert.Equal(cents, SpeedAndStretch.Cents(percent), 2);

    // Fluxivity table of the reference: dB columns computed.
    [Theory]
    [InlineData(160, 320, -6.02)]
    [InlineData(185, 200, -0.68)]
    [InlineData(250, 185, 2.62)]
    [InlineData(257, 320, -1.90)]
    [InlineData(320, 200, 4.08)]
    [InlineData(355, 320, 0.90)]
    [InlineData(370, 185, 6.02)]
    [InlineData(514, 250, 6.26)]
    public void Fluxivity_AgainstAnother_IsTheWorkedLevel(double level, double against, double db)
    {
        Assert.Equal(db, ReferenceFluxivities.LevelDb(level, against), 2);
        Assert.Contains(ReferenceFluxivities.All, f => f.NWbPerM == level);
    }

    [Fact]
    public void OldTransferMethod_TenPercentLess_IsMinus092Decibels() =>
        Assert.Equal(ReferenceFluxivities.OldTransferMethodDb, ReferenceFluxivities.LevelDb(288, 320), 2);
}
