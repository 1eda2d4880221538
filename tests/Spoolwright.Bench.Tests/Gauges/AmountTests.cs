using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Units;

namespace Spoolwright.Bench.Tests.Gauges;

/// <summary>Units against the handbook's factors as they are printed there, to its seven digits [NIST-SP811:2008] [memory], and what people
/// type.</summary>
public sealed class AmountTests
{
    private static readonly Dimension[] Force = [Dimension.Force];
    private static readonly Dimension[] Torque = [Dimension.Torque];

    [Theory]
    [InlineData("gf", 9.806650e-3)]
    [InlineData("kgf", 9.806650)]
    [InlineData("oz", 2.780139e-1)]
    [InlineData("lb", 4.448222)]
    [InlineData("oz·in", 7.061552e-3)]
    [InlineData("kg·cm", 9.806650e-2)]
    [InlineData("in", 2.54e-2)]
    [InlineData("ft", 3.048e-1)]
    [InlineData("mil", 2.54e-5)]
    [InlineData("rpm", 1.666667e-2)]
    public void Unit_OfTheHandbook_HasItsFactor(string symbol, double si) => Assert.Equal(1, Unit.Find(symbol)!.Si / si, 6);

    // Worked conversions of the reference notes, section 4.1 [computed].
    [Theory]
    [InlineData("1 oz", "gf", 28.3495, 4)]
    [InlineData("1 N", "gf", 101.972, 3)]
    [InlineData("1 lb", "gf", 453.592, 3)]
    [InlineData("1 g·cm", "mN·m", 0.0980665, 9)]
    [InlineData("1 g·cm", "oz·in", 0.013887, 6)]
    [InlineData("1 oz·in", "g·cm", 72.0078, 4)]
    public void Amount_OfTheWorkedConversions_ComesOutAsPrinted(string typed, string unit, double expected, int places)
    {
        var to = Unit.Find(unit)!;
        Assert.True(Amount.TryParse(typed, [to.Dimension], null, out var amount, out _));
        Assert.Equal(expected, amount.In(to), places);
    }

    [Theory]
    [InlineData("62 gf", 62, "gf")]
    [InlineData("62g", 62, "gf")]
    [InlineData("2.2oz", 2.2, "oz")]
    [InlineData(" 0.61 N ", 0.61, "N")]
    [InlineData("610mN", 610, "mN")]
    [InlineData("1.9 kgf", 1.9, "kgf")]
    [InlineData("\u22121 gf", -1, "gf")]
    [InlineData("6e1 gf", 60, "gf")]
    public void Force_AsPeopleTypeIt_IsRead(string text, double value, string unit)
    {
        Assert.True(Amount.TryParse(text, Force, null, out var amount, out var problem), problem);
        Assert.Equal((value, unit), (amount.Value, amount.Unit.Symbol));
    }

    [Theory]
    [InlineData("300 g·cm")]
    [InlineData("300 gcm")]
    [InlineData("300 gf*cm")]
    [InlineData("300 g-cm")]
    [InlineData("300gf cm")]
    [InlineData("0.3 kg.cm")]
    [InlineData("29.41995 mNm")]
    [InlineData("0.02941995 N m")]
    public void Torque_AsPeopleTypeIt_IsTheSame(string text)
    {
        Assert.True(Amount.TryParse(text, Torque, null, out var amount, out var problem), problem);
        Assert.Equal(300, amount.In(Unit.GramForceCentimetre), 9);
    }

    [Theory]
    [InlineData("0,61 N", "a comma, which stands between numbers here: write 0.61 N")]
    [InlineData("1,500 gf", "write 1500 or 1.500 gf")]
    [InlineData("1.234,5 gf", "write 1234.5 gf")]
    [InlineData("1,234,567 gf", "write 1234567 gf")]
    [InlineData("62", "has no unit")]
    [InlineData("62 MN", "unknown unit \"MN\"")]
    [InlineData("62 apples", "known are gf, kgf, N")]
    [InlineData("300 g·cm", "is a torque; expected a force")]
    [InlineData("gf", "no number")]
    [InlineData("", "no number")]
    [InlineData("NaN gf", "no number")]
    [InlineData("1e99 gf", "no number")]
    [InlineData("6..2 gf", "no number")]
    public void Force_ThatIsNone_SaysWhatWasExpected(string text, string words)
    {
        Assert.False(Amount.TryParse(text, Force, null, out _, out var problem));
        Assert.Contains(words, problem, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("1:35", 95)]
    [InlineData("95", 95)]
    [InlineData("1.5 min", 90)]
    [InlineData("0:42.5", 42.5)]
    public void Time_AsPeopleTypeIt_IsRead(string text, double seconds)
    {
        Assert.True(Amount.TryParse(text, [Dimension.Time], Unit.Second, out var amount, out _));
        Assert.Equal(seconds, amount.In(Unit.Second), 9);
    }

    [Theory]
    [InlineData("1:75")]
    [InlineData("1:5:00x")]
    public void Time_ThatIsNone_SaysHowItIsWritten(string text)
    {
        Assert.False(Amount.TryParse(text, [Dimension.Time], Unit.Second, out _, out var problem));
        Assert.Contains("such as 1:35, seconds from 00 to 59", problem, StringComparison.Ordinal);
    }

    [Fact]
    public void Amount_ThereAndBack_IsTheSameInEveryUnit()
    {
        foreach (var from in Unit.All)
        {
            foreach (var to in Unit.All.Where(u => u.Dimension == from.Dimension))
                Assert.Equal(7.25, new Amount(new Amount(7.25, from).In(to), to).In(from), 12);
        }
    }

    [Theory]
    [InlineData("supply-tension=0.5..0.8N", 50.986, 81.577)]
    [InlineData("supply-tension=50..80", 50.0, 80.0)]
    [InlineData("take-up-torque=20..30 mN·m", 203.943, 305.915)]
    [InlineData("wind-time=1.5min", null, 90.0)]
    public void Limit_InAnotherUnit_IsHeldInTheQuantitysOwn(string text, double? min, double? max)
    {
        var limit = LimitOption.Parse(text);
        Assert.Equal(min ?? 0, limit.Min ?? 0, 3);
        Assert.Equal(max!.Value, limit.Max!.Value, 3);
    }

    [Theory]
    [InlineData("supply-tension=50..80s", "limited in gf, kgf, N")]
    [InlineData("response=3kg", "limited in dB")]
    public void Limit_InAUnitOfAnotherKind_IsRefused(string text, string words)
    {
        Assert.False(LimitOption.TryParse(text, out _, out var problem));
        Assert.Contains(words, problem, StringComparison.Ordinal);
    }
}
