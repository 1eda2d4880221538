using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.Bench.Tests.Service;

public sealed class MoneyTests
{
    [Theory]
    [InlineData("120 EUR", 120, "EUR")]
    [InlineData("EUR 120.50", 120.5, "EUR")]
    [InlineData("€49.90", 49.9, "EUR")]
    [InlineData("49.90", 49.9, "EUR")]
    [InlineData("gbp 3", 3, "GBP")]
    [InlineData("-12 EUR", -12, "EUR")]
    [InlineData("1250,50 €", 1250.5, "EUR")]
    [InlineData("1.250,00 EUR", 1250, "EUR")]
    [InlineData("1,250.00", 1250, "EUR")]
    [InlineData("1.250.000", 1_250_000, "EUR")]
    [InlineData("1 250", 1250, "EUR")]
    [InlineData("180,-", 180, "EUR")]
    [InlineData("180.- EUR", 180, "EUR")]
    [InlineData("0.125", 0.125, "EUR")]
    [InlineData("1.1250", 1.125, "EUR")]
    [InlineData(".50", 0.5, "EUR")]
    public void Amount_Typed_IsReadExactly(string text, double amount, string currency) =>
        Assert.Equal(new Money((decimal)amount, currency), Money.Parse(text, "EUR"));

    [Theory]
    [InlineData("1,250", "write 1250, or 1.25")]
    [InlineData("1.250 EUR", "write 1250, or 1.25")]
    [InlineData("1.255", "write 1255, or 1.2550")]
    [InlineData("1.250,000.00", "no amount")]
    [InlineData("12,34,56", "no amount")]
    [InlineData("1.25.0", "no amount")]
    [InlineData("$120", "USD, CAD")]
    [InlineData("a lot", "no amount")]
    [InlineData("12 E", "no amount")]
    [InlineData("1.23456 EUR", "four decimals")]
    [InlineData("", "no amount")]
    public void Nonsense_IsRefused(string text, string says) =>
        Assert.Contains(says, Assert.Throws<EntryException>(() => Money.Parse(text, "EUR")).Message, StringComparison.Ordinal);

    [Fact]
    public void Sum_OfTenths_IsExact_AndCurrenciesAreNeverMixed()
    {
        Assert.Equal(new Money(1.0m, "EUR"), Money.Sum(Enumerable.Repeat(new Money(0.1m, "EUR"), 10), "EUR"));
        Assert.Throws<EntryException>(() => new Money(1, "EUR") + new Money(1, "GBP"));
        Assert.Throws<EntryException>(() => Money.Parse("5", null));
        Assert.Equal("1250.00 EUR", new Money(1250, "EUR").ToString());
        Assert.Equal(new Money(99.9999m, "EUR"), Money.Read(new Money(99.9999m, "EUR").ToString()));
        Assert.Equal(new Money(1.125m, "EUR"), Money.Read(new Money(1.125m, "EUR").ToString()));
    }
}
