using System.Text.RegularExpressions;

namespace Spoolwright.Bench.Files;

/// <summary>
/// A comma in a measured number as people type it. Readings, limits and settings are written with a decimal point: a comma stands between
/// numbers here, and 1,500 may be either of two. So it is refused, with the right form. Money and hours, which are read off other
/// papers, take it.
/// </summary>
public static partial class TypedComma
{
    /// <summary>What is wrong with a number and how to write it, such as <c>has a comma, …: write 38.1</c>; null: it has no comma.</summary>
    /// <param name="number">The number as typed, without its unit.</param>
    public static string? Problem(string number)
    {
        ArgumentNullException.ThrowIfNull(number);
        return number.Contains(',', StringComparison.Ordinal) ? $"has a comma, which stands between numbers here: write {Right(number)}" : null;
    }

    /// <summary>The right form, or both where the comma may part thousands.</summary>
    /// <param name="number">The number as typed, or several with dots between, as in an interval.</param>
    public static string Right(string number)
    {
        ArgumentNullException.ThrowIfNull(number);
        if (Either().Match(number) is { Success: true } either)
        {
            string sign = either.Groups["sign"].Value, whole = either.Groups["whole"].Value, rest = either.Groups["rest"].Value;
            return $"{sign}{whole}{rest} or {sign}{whole}.{rest}";
        }

        if (Grouped().IsMatch(number))
            return number.Replace(",", "", StringComparison.Ordinal);
        return PointGrouped().IsMatch(number)
            ? number.Replace(".", "", StringComparison.Ordinal).Replace(',', '.')
            : number.Replace(',', '.');
    }

    [GeneratedRegex(@"^(?<sign>[-+−±]?)(?<whole>[1-9]\d{0,2}),(?<rest>\d{3})$", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Either();

    [GeneratedRegex(
        @"^[-+−±]?[1-9]\d{0,2}((,\d{3}){2,}(\.\d+)?|,\d{3}\.\d+)$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture
    )]
    private static partial Regex Grouped();

    [GeneratedRegex(@"^[-+−±]?[1-9]\d{0,2}(\.\d{3})+,\d+$", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex PointGrouped();
}
