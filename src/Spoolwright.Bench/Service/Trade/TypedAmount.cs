using System.Globalization;
using System.Text.RegularExpressions;

namespace Spoolwright.Bench.Service.Trade;

/// <summary>The number of an amount as people write it, in either half of the world.</summary>
internal static partial class TypedAmount
{
    /// <summary>The same number with a decimal point and without marks for thousands; what is no number comes back as it is.</summary>
    /// <param name="number">What was typed, without its currency.</param>
    /// <param name="text">All that was typed, for the complaint.</param>
    /// <exception cref="EntryException">One mark before three digits: it may part thousands, or be the decimal mark.</exception>
    public static string Plain(string number, string text)
    {
        if (Either().Match(number) is { Success: true } either)
        {
            string whole = either.Groups["whole"].Value, rest = either.Groups["rest"].Value;
            // Three decimals are written with a fourth, which nobody takes for thousands.
            throw new EntryException(
                $"\"{text}\" may be {whole}{rest} or {whole}.{rest}: write {whole}{rest}, or {whole}.{(rest[2] == '0' ? rest[..2] : rest + "0")}"
            );
        }

        var match = Whole().Match(number);
        return match.Success
            ? string.Create(
                CultureInfo.InvariantCulture,
                $"{match.Groups["sign"]}{Digits(match.Groups["whole"].Value)}.{match.Groups["rest"].Value}0"
            )
            : number;
    }

    private static string Digits(string grouped) => new([.. grouped.Where(char.IsAsciiDigit)]);

    [GeneratedRegex(@"^-?(?<whole>[1-9]\d{0,2})[.,](?<rest>\d{3})$", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Either();

    // Thousands by one mark throughout, then the other mark with the decimals, or a dash for none.
    [GeneratedRegex(
        @"^(?<sign>-?)(?:(?<whole>\d+|\d{1,3}(?:,\d{3})+|\d{1,3}(?:[ ']\d{3})+)(?:\.(?:(?<rest>\d*)|[-–]{1,2}))?|(?<whole>\d+|\d{1,3}(?:\.\d{3})+|\d{1,3}(?:[ ']\d{3})+)(?:,(?:(?<rest>\d*)|[-–]{1,2}))?|(?<whole>)[.,](?<rest>\d+))$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture
    )]
    private static partial Regex Whole();
}
