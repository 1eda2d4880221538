using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Units;

/// <summary>A number with its unit, as somebody typed it.</summary>
/// <param name="Value">The number, finite.</param>
/// <param name="Unit">Its unit.</param>
public sealed record Amount(double Value, Unit Unit)
{
    /// <summary>The same in another unit.</summary>
    /// <exception cref="ArgumentException">The other unit measures something else.</exception>
    public double In(Unit other)
    {
        ArgumentNullException.ThrowIfNull(other);
        if (other.Dimension != Unit.Dimension)
            throw new ArgumentException(
                $"{Unit.Symbol} is no {other.Dimension.ToString().ToLowerInvariant()} and cannot be told in {other.Symbol}",
                nameof(other)
            );
        return other == Unit ? Value : Value * Unit.Si / other.Si;
    }

    /// <summary>Such as <c>62 gf</c>.</summary>
    public override string ToString() => $"{Value.ToString("R", CultureInfo.InvariantCulture)} {Unit.Symbol}";

    /// <summary>Reads what people type: <c>62 gf</c>, <c>62g</c>, <c>2.2oz</c>, <c>0.61 N</c>, <c>1:35</c> for a minute and 35
    /// seconds.</summary>
    /// <remarks>
    /// A comma is refused with the text it should have been: in this program a comma stands between numbers, and 1,500 would be either of
    /// two.
    /// </remarks>
    /// <param name="text">What was typed.</param>
    /// <param name="expected">Kinds that make sense here.</param>
    /// <param name="assumed">The unit where none is written (a gauge's own scale); null: a unit must stand there.</param>
    /// <param name="amount">The amount.</param>
    /// <param name="problem">What is wrong and what was expected.</param>
    public static bool TryParse(
        string text,
        IReadOnlyList<Dimension> expected,
        Unit? assumed,
        [NotNullWhen(true)] out Amount? amount,
        [NotNullWhen(false)] out string? problem
    )
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(expected);
        (amount, problem) = (null, null);
        var plain = text.Trim().Replace('\u2212', '-').Replace('\u00A0', ' ');
        if (expected.Contains(Dimension.Time) && Clock(plain) is { } seconds)
        {
            amount = new Amount(seconds, Unit.Second);
            return true;
        }

        var digits = NumberLength(plain);
        if (TypedComma.Problem(plain[..digits]) is { } comma)
        {
            problem = $"{Quoted.Text(text)} {comma}{plain[digits..]}";
            return false;
        }

        if (
            digits == 0
            || !double.TryParse(plain.AsSpan(0, digits), NumberStyles.Float, CultureInfo.InvariantCulture, out var value)
            || Math.Abs(value) is > 1e9 or (> 0 and < 1e-9)
        )
        {
            problem = $"{Quoted.Text(text)} is no number with a unit; expected such as {Example(expected[0])}";
            return false;
        }

        var name = plain[digits..].Trim();
        var unit = name.Length == 0 ? assumed : Unit.Find(name);
        if (unit is null)
        {
            var known = string.Join(", ", expected.Select(Unit.Known));
            problem =
                name.Length == 0
                    ? $"{Quoted.Text(text)} has no unit; expected such as {Example(expected[0])} (known: {known})"
                : name[0] == ':' ? $"{Quoted.Text(text)} is no time; minutes and seconds are written such as 1:35, seconds from 00 to 59"
                : $"unknown unit {Quoted.Text(name)}; known are {known}";
            return false;
        }

        if (!expected.Contains(unit.Dimension))
        {
            problem =
                $"{Quoted.Text(text)} is a {Word(unit.Dimension)}; expected a {string.Join(" or a ", expected.Select(Word))}, such as {Example(expected[0])}";
            return false;
        }

        amount = new Amount(value, unit);
        return true;
    }

    private static string Word(Dimension dimension) => dimension.ToString().ToLowerInvariant();

    private static string Example(Dimension dimension) => dimension switch
    {
        Dimension.Force => "62 gf",
        Dimension.Torque => "300 g·cm",
        Dimension.Length => "60 mm",
        Dimension.Time => "95 s",
        Dimension.Rate => "600 rpm",
        _ => "6 m/s",
    };

    // The number's sign, digits, mark and exponent; an e counts only before digits, so that no unit is eaten.
    private static int NumberLength(string text)
    {
        var i = 0;
        while (i < text.Length && (char.IsAsciiDigit(text[i]) || text[i] is '.' or ',' || (i == 0 && text[i] is '-' or '+')))
            i++;
        if (
            i > 0
            && i + 1 < text.Length
            && text[i] is 'e' or 'E'
            && (char.IsAsciiDigit(text[i + 1]) || (text[i + 1] is '-' or '+' && i + 2 < text.Length && char.IsAsciiDigit(text[i + 2])))
        )
        {
            i += 2;
            while (i < text.Length && char.IsAsciiDigit(text[i]))
                i++;
        }

        return i;
    }

    // m:ss or m:ss.s
    private static double? Clock(string text)
    {
        var parts = text.Split(':');
        if (parts.Length != 2 || !int.TryParse(parts[0], NumberStyles.None, CultureInfo.InvariantCulture, out var minutes) || minutes > 600)
            return null;
        return double.TryParse(parts[1], NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var seconds) && seconds < 60
            ? minutes * 60 + seconds
            : null;
    }
}
