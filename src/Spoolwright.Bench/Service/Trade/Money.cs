using System.Diagnostics.CodeAnalysis;
using System.Globalization;

namespace Spoolwright.Bench.Service.Trade;

/// <summary>An amount of money in one currency, exact to the last digit. Amounts of different currencies are never added.</summary>
/// <param name="Amount">The amount, decimal.</param>
/// <param name="Currency">Three capital letters by ISO 4217.</param>
public readonly record struct Money(decimal Amount, string Currency)
{
    private static readonly Dictionary<char, string> Signs = new() { ['€'] = "EUR", ['£'] = "GBP" };

    /// <summary>Nothing, in a currency.</summary>
    public static Money None(string currency) => new(0, currency);

    /// <summary>Three capital letters.</summary>
    public static bool IsCurrency([NotNullWhen(true)] string? text) => text is { Length: 3 } && text.All(char.IsAsciiLetterUpper);

    public static Money operator +(Money a, Money b) => new(a.Amount + b.Same(a).Amount, a.Currency);

    public static Money operator -(Money a, Money b) => new(a.Amount - b.Same(a).Amount, a.Currency);

    /// <summary>So many times as much, rounded to the hundredth with ties to even.</summary>
    public static Money operator *(Money a, decimal times) => new(Math.Round(a.Amount * times, 2, MidpointRounding.ToEven), a.Currency);

    /// <summary>The sum; nothing where there is none.</summary>
    /// <exception cref="EntryException">Currencies differ.</exception>
    public static Money Sum(IEnumerable<Money> amounts, string currency)
    {
        ArgumentNullException.ThrowIfNull(amounts);
        return amounts.Aggregate(None(currency), (a, b) => a + b);
    }

    /// <summary>Such as <c>1250.00 EUR</c>.</summary>
    public override string ToString() => $"{Amount.ToString("0.00##", CultureInfo.InvariantCulture)} {Currency}";

    /// <summary>Reads what <see cref="ToString"/> wrote.</summary>
    /// <exception cref="EntryException">It is something else.</exception>
    public static Money Read(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        return
            text.Split(' ') is [var number, var currency]
            && IsCurrency(currency)
            && decimal.TryParse(
                number,
                NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint,
                CultureInfo.InvariantCulture,
                out var amount
            )
            ? new Money(amount, currency)
            : throw Wrong(text);
    }

    /// <summary>
    /// Reads what people type: <c>120 EUR</c>, <c>EUR 120.50</c>, <c>€120</c>, <c>120,50 €</c>, <c>1.250,00</c>, <c>180,-</c>; without a
    /// currency it is in the shop's own. What may be a thousand times as much, such as <c>1.250</c>, is refused.
    /// </summary>
    /// <param name="text">What was typed.</param>
    /// <param name="assumed">Currency where none stands there; null: one must.</param>
    /// <exception cref="EntryException">It is no amount; the message says what was expected.</exception>
    public static Money Parse(string text, string? assumed)
    {
        ArgumentNullException.ThrowIfNull(text);
        var plain = text.Trim().Replace('\u2212', '-').Replace("\u00A0", " ", StringComparison.Ordinal);
        string? currency = null;
        foreach (var (sign, code) in Signs)
        {
            if (plain.Contains(sign))
                (currency, plain) = (code, plain.Replace(sign.ToString(), "", StringComparison.Ordinal));
        }

        var letters = new string([.. plain.Where(char.IsAsciiLetter)]);
        var number = new string([.. plain.Where(c => !char.IsAsciiLetter(c))]).Trim();
        if (letters.Length > 0)
        {
            if (currency is not null || !IsCurrency(letters.ToUpperInvariant()) || !plain.Contains(letters, StringComparison.Ordinal))
                throw Wrong(text);
            currency = letters.ToUpperInvariant();
        }

        if (number.Contains('$', StringComparison.Ordinal))
            throw new EntryException($"\"{text}\": several currencies have that sign; write USD, CAD, AUD …");
        if (!decimal.TryParse(TypedAmount.Plain(number, text), NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint,
            CultureInfo.InvariantCulture, out var amount))
            throw Wrong(text);
        if (Math.Abs(amount) > 100_000_000 || amount != Math.Round(amount, 4))
            throw new EntryException($"\"{text}\" makes no sense as an amount; expected at most 100 million and four decimals");
        return new Money(amount, currency ?? assumed ?? throw new EntryException($"\"{text}\" has no currency; expected such as 120 EUR"));
    }

    private static EntryException Wrong(string text) => new($"\"{text}\" is no amount of money; expected such as 120 EUR or 49.90");

    private Money Same(Money other) =>
        Currency == other.Currency
            ? this
            : throw new EntryException(
                $"{this} and {other} are of different currencies and cannot be reckoned together; give both in one, at the rate you paid"
            );
}
