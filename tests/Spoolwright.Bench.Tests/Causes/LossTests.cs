using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Tape;
using static Spoolwright.Bench.Tests.Causes.Synthetic;

namespace Spoolwright.Bench.Tests.Causes;

/// <summary>Losses of known size come back with it, and head is told from electronics by two speeds.</summary>
public class LossTests
{
    private static readonly Condition Fast = new(Direction.Forward, 19.05);
    private static readonly Condition Slow = new(Direction.Forward, 9.525);

    [Theory]
    [InlineData(1.0)]
    [InlineData(1.6)]
    [InlineData(2.5)]
    [InlineData(4.0)]
    public void Spacing_OfSoMany_ComesBackWithinItsUncertainty(double micrometres)
    {
        var said = Explain(
            Playback(Fast, f => Spacing(micrometres, f, 19.05), _ => 0), Playback(Slow, f => Spacing(micrometres, f, 9.525), _ => 0));
        Right(said, "dirty-replay-head", Channel.Left, micrometres);
    }

    [Theory]
    [InlineData(2.5)]
    [InlineData(3.5)]
    [InlineData(5.0)]
    public void Gap_OpenedBySoMany_ComesBackWithinItsUncertainty(double micrometres)
    {
        // A sound head of 2 µm is in the figure of nobody; what it lost at the start was equalized.
        double Loss(double f, double v) => Gap(1.12 * (2 + micrometres), f, v) - Gap(1.12 * 2, f, v);
        // Level alone cannot tell a gap from a lean: both fall as sin(x)/x. The skew can.
        MeasuredUnder Upright(Condition c) => new("azimuth", c, [Reading("azimuth-angle", 0, "arcmin", 1)]);
        var said = Explain(
            Playback(Fast, f => Loss(f, 19.05), f => Loss(f, 19.05)),
            Upright(Fast),
            Playback(Slow, f => Loss(f, 9.525), f => Loss(f, 9.525)),
            Upright(Slow)
        );
        Right(said, "worn-replay-head", null, micrometres);
    }

    [Theory]
    [InlineData(5)]
    [InlineData(-7)]
    [InlineData(10)]
    public void Azimuth_OfSoMany_ComesBackWithinItsUncertainty(double arcmin)
    {
        MeasuredUnder Angle(Condition c) => new("azimuth", c, [Reading("azimuth-angle", arcmin, "arcmin", 1)]);
        var said = Explain(
            Playback(Fast, f => Synthetic.Azimuth(arcmin, f, 19.05), f => Synthetic.Azimuth(arcmin, f, 19.05)), Angle(Fast),
            Playback(Slow, f => Synthetic.Azimuth(arcmin, f, 9.525), f => Synthetic.Azimuth(arcmin, f, 9.525)), Angle(Slow));
        Right(said, "replay-azimuth", null, arcmin);
    }

    [Theory]
    [InlineData(20)]
    [InlineData(-25)]
    [InlineData(35)]
    public void TimeConstant_OffBySoMuch_ComesBackWithinItsUncertainty(double percent)
    {
        var said = Explain(Playback(Fast, _ => 0, f => Treble(50, percent, f)), Playback(Slow, _ => 0, f => Treble(90, percent, f)));
        Right(said, "replay-eq", Channel.Right, percent);
    }

    [Fact]
    public void Thickness_OfTheCoating_IsInTheStandardAndNoFault()
    {
        // Of worked figures: 12 µm at 19.05 cm/s lose 1.662 dB at 1 kHz and 12.117 dB at 10 kHz. No cause may lean on this law.
        Assert.Equal(-12.117, ThicknessLoss.Db(12, 10000, 19.05), 3);
        Assert.DoesNotContain(CauseLaw.Names, n => n.Contains("thickness", StringComparison.Ordinal));
    }

    [Fact]
    public void TwoSpeeds_TellWavelengthFromFrequency_InEveryCase()
    {
        for (var i = 0; i < 12; i++)
        {
            // The same fall of 3 to 8 dB at 10 kHz and 19.05 cm/s, once by wavelength and once by frequency.
            var micrometres = 1.05 + (0.15 * i);
            var head = Explain(
                Playback(Fast, f => Spacing(micrometres, f, 19.05), _ => 0),
                Playback(Slow, f => Spacing(micrometres, f, 9.525), _ => 0)
            );
            Assert.Equal("dirty-replay-head", head.Findings[0].Id);
            Assert.DoesNotContain(head.Findings, f => f.Id == "replay-eq" && f.Probability > 0.5);

            var percent = -16 - (2.5 * i);
            var electronics = Explain(
                Playback(Fast, f => Treble(50, percent, f), _ => 0),
                Playback(Slow, f => Treble(90, percent, f), _ => 0)
            );
            Assert.Equal("replay-eq", electronics.Findings[0].Id);
            Assert.DoesNotContain(electronics.Findings, f => f.Id is "dirty-replay-head" or "worn-replay-head" && f.Probability > 0.5);
        }
    }

    [Fact]
    public void FlatPlayback_NamesNothing()
    {
        var said = Explain(Playback(Fast, _ => 0, _ => 0), Playback(Slow, _ => 0, _ => 0));
        Assert.Equal(ExplanationWord.NothingFound, said.Word);
        Assert.Null(said.Unexplained);
    }

    [Fact]
    public void BothDirtAndTimeConstant_AreTakenApart()
    {
        var said = Explain(
            Playback(Fast, f => Spacing(2.2, f, 19.05) + Treble(50, 30, f), _ => 0),
            Playback(Slow, f => Spacing(2.2, f, 9.525) + Treble(90, 30, f), _ => 0)
        );
        Assert.Equal(["dirty-replay-head", "replay-eq"], said.Findings.Where(f => f.Probability > 0.5).Select(f => f.Id).Order());
        Assert.All(said.Findings.Take(2), f => Assert.Equal(Channel.Left, f.Place.Channel));
    }

    [Fact]
    public void HollowThatNoLawMakes_IsSaidToBeUndescribed()
    {
        double Hollow(double f) => -7 * Math.Exp(-0.5 * Math.Pow(Math.Log2(f / 4000) / 0.35, 2));
        var said = Explain(Playback(Fast, Hollow, _ => 0), Playback(Slow, Hollow, _ => 0));
        Assert.Contains(said.Unnamed, u => u.Place.Channel == Channel.Left && u.Probability > 0.5);
        Assert.DoesNotContain(said.Findings, f => f.Probability > 0.5);
        Assert.Equal(ExplanationWord.NotEnoughToTell, said.Word);
        Assert.InRange(said.Unexplained!.Value, 0.5, 1);
    }

    private static Explanation Explain(params MeasuredUnder[] measured) => Explainer.Explain(CauseBook.Default, measured, null);

    private static void Right(Explanation said, string id, Channel? channel, double amount)
    {
        var first = said.Findings[0];
        Assert.Equal(id, first.Id);
        Assert.Equal(channel, first.Place.Channel);
        Assert.True(first.Probability > Explainer.Named, $"{id} {first.Probability}");
        Assert.InRange(amount, first.Amount - first.AmountUncertainty, first.Amount + first.AmountUncertainty);
        Assert.True(
            first.AmountUncertainty < 0.5 * Math.Abs(amount),
            $"the uncertainty {first.AmountUncertainty} of {first.Amount} says nothing"
        );
    }
}
