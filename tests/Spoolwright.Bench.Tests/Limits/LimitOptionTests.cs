using Spoolwright.Bench.Limits;

namespace Spoolwright.Bench.Tests.Limits;

public sealed class LimitOptionTests
{
    [Theory]
    [InlineData("wow-flutter-quasi-peak=0.1", null, 0.1)]
    [InlineData("wow-flutter-two-sigma=±0.1", null, 0.1)]
    [InlineData("speed-error=0.5", -0.5, 0.5)]
    [InlineData("response=-3..3", -3.0, 3.0)]
    [InlineData("response=±3", -3.0, 3.0)]
    [InlineData("response=+-3", -3.0, 3.0)]
    [InlineData("response=+/-3", -3.0, 3.0)]
    [InlineData(" response = \u22123 .. +2.5 ", -3.0, 2.5)]
    [InlineData("response=..3", null, 3.0)]
    [InlineData("response=-3..", -3.0, null)]
    [InlineData("response-max=3", null, 3.0)]
    [InlineData("response-min=-3", -3.0, null)]
    [InlineData("tone-level=-12..-8", -12.0, -8.0)]
    public void Limit_GivenWithTheCall_MeansWhatTheQuantityHas(string text, double? min, double? max)
    {
        var limit = LimitOption.Parse(text);

        Assert.Equal((min, max), (limit.Min, limit.Max));
        Assert.Equal("given with the call", limit.Source);
        Assert.Null(limit.FrequencyHz);
    }

    [Fact]
    public void Limit_WithAFrequency_HoldsForThatTone() =>
        Assert.Equal(10000, LimitOption.Parse("phase@10000=30").FrequencyHz);

    [Theory]
    [InlineData("wow-flutter=0.1", "names no detector")]
    [InlineData("responce=3", "did you mean \"response\"?")]
    [InlineData("response", "has no \"=\"")]
    [InlineData("wow-fluter=0.1", "did you mean one of wow-flutter-quasi-peak, ")]
    [InlineData("zzzzzz=1", "--help lists the quantities")]
    [InlineData("speed-error=0,5", "a comma, which stands between numbers here: write speed-error=0.5")]
    [InlineData("speed-error=±0,5", "a comma, which stands between numbers here: write speed-error=±0.5")]
    [InlineData("supply-tension=0,5..0,8N", "write supply-tension=0.5..0.8N")]
    [InlineData("speed-error=1,500", "write speed-error=1500 or 1.500")]
    [InlineData("response=-1,5..2", "a comma, which stands between numbers here: write response=-1.5..2")]
    [InlineData("response=-1..2,5", "a comma, which stands between numbers here: write response=-1..2.5")]
    [InlineData("response=", "has no figure")]
    [InlineData("response=three", "has no figure")]
    [InlineData("response=NaN", "has no figure")]
    [InlineData("response=1e999", "has no figure")]
    [InlineData("response=3..-3", "lower end first")]
    [InlineData("response=..", "no interval")]
    [InlineData("response=a..3", "no interval")]
    [InlineData("response=-3", "allows nothing")]
    [InlineData("response=±0", "allows nothing")]
    [InlineData("tone-level=-10", "expected an interval")]
    [InlineData("speed-error@1000=1", "not read tone by tone")]
    [InlineData("response@x=1", "no frequency after")]
    [InlineData("=3", "unknown quantity")]
    public void Limit_ThatIsNone_SaysWhatWasExpected(string text, string words)
    {
        Assert.False(LimitOption.TryParse(text, out _, out var problem));
        Assert.Contains(words, problem, StringComparison.Ordinal);
        Assert.Throws<FormatException>(() => LimitOption.Parse(text));
    }
}
