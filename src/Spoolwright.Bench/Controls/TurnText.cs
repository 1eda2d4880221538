using System.Globalization;
using System.Text.RegularExpressions;
using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Controls;

/// <summary>
/// Reads turns as people write them: <c>quarter turn cw</c>, <c>3/8 turn ccw, then 1/8 turn cw</c>, <c>+0.25</c>, <c>-40°</c>,
/// <c>2 o'clock to 3 o'clock</c>.
/// </summary>
public static partial class TurnText
{
    private const string Expected = "expected a turn such as \"quarter turn cw\", \"+0.25\" or \"2 o'clock to 3 o'clock\"";

    /// <summary>The turns one after another, in <paramref name="unit"/>, clockwise (up) positive; null with a reason where the text says
    /// none.</summary>
    /// <param name="text">What was written.</param>
    /// <param name="unit">The control's unit.</param>
    /// <param name="problem">Why not.</param>
    public static IReadOnlyList<double>? Legs(string text, TurnUnit unit, out string? problem)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(unit);
        problem = null;
        // A comma parts legs, and "0,5 turn" would be none and then five.
        if (CommaInNumber().Match(text) is { Success: true } comma)
        {
            problem = $"\"{comma.Value}\" {TypedComma.Problem(comma.Value)}";
            return null;
        }

        var legs = new List<double>();
        foreach (var piece in Separator().Split(text.Trim().ToLowerInvariant().Replace('−', '-').Replace('’', '\'')))
        {
            var leg = Between().Match(piece) is { Success: true } span ? Span(span, unit, out problem) : Amount(piece, unit, out problem);
            if (leg is not { } amount)
                return null;
            legs.Add(amount);
        }

        return legs;
    }

    /// <summary>A place of the dial: a number in the unit, or a time on the clock face; null where the text says none.</summary>
    public static double? Place(string text, TurnUnit unit)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(unit);
        var match = Time().Match(text.Trim().ToLowerInvariant().Replace('’', '\''));
        if (match.Success)
            return Hour(match.Groups["hour"].Value, match.Groups["minute"].Value) is { } hour && unit.PerTurn is { } perTurn
                ? hour / 12 * perTurn
                : null;
        return
            double.TryParse(text.Replace('−', '-'), NumberStyles.Float, CultureInfo.InvariantCulture, out var number)
            && double.IsFinite(number)
            ? number
            : null;
    }

    private static double? Span(Match span, TurnUnit unit, out string? problem)
    {
        var from = Place(span.Groups["from"].Value, unit);
        var to = Place(span.Groups["to"].Value, unit);
        problem = from is null || to is null
            ? "expected two places such as \"2 o'clock to 3 o'clock\"; 6 o'clock is no place of a trimmer: its gap lies there"
            : null;
        return to - from;
    }

    private static double? Amount(string piece, TurnUnit unit, out string? problem)
    {
        problem = null;
        var match = Turning().Match(piece.Trim());
        if (!match.Success || (match.Groups["size"].Value.Length == 0))
            return Fail(out problem, Expected);
        if (Size(match.Groups["size"].Value) is not { } size)
            return Fail(out problem, Expected);
        var word = match.Groups["unit"].Value;
        var own = word.Length == 0 ? unit : TurnUnit.Known(word);
        if (own is null && !string.Equals(word, unit.Label, StringComparison.OrdinalIgnoreCase))
            return Fail(out problem, $"\"{word}\" is not the control's unit, {unit.Label}");
        own ??= unit;
        if (own != unit)
        {
            if (own.PerTurn is not { } theirs || unit.PerTurn is not { } ours)
                return Fail(out problem, $"{own.Label} cannot be told in the control's unit, {unit.Label}");
            size *= ours / theirs;
        }

        var sign = match.Groups["sign"].Value;
        var way = match.Groups["way"].Value;
        if (sign.Length > 0 && way.Length > 0)
            return Fail(out problem, "give the way either by a sign or by a word, not both");
        if (sign.Length == 0 && way.Length == 0 && size != 0)
            return Fail(out problem, "the way is missing: write cw or ccw, or a sign");
        return sign == "-" || way is "ccw" or "anticlockwise" or "counterclockwise" or "down" or "out" or "left" ? -size : size;
    }

    private static double? Fail(out string? problem, string text)
    {
        problem = text;
        return null;
    }

    private static double? Size(string word)
    {
        if (word.Split('/') is [var above, var below])
            return Number(above) is { } a && Number(below) is { } b && b > 0 ? a / b : null;
        return word switch
        {
            "a" or "one" or "full" => 1,
            "half" or "half a" or "a half" => 0.5,
            "quarter" or "a quarter" => 0.25,
            "eighth" or "an eighth" => 0.125,
            "sixteenth" or "a sixteenth" => 0.0625,
            "nothing" or "none" => 0,
            _ => Number(word),
        };
    }

    private static double? Number(string text) =>
        double.TryParse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var number)
        && double.IsFinite(number)
        && number <= 1e6
            ? number
            : null;

    // The gap of a trimmer lies at the bottom: 7 o'clock is −5, 5 o'clock is 5, and 6 is no place.
    private static double? Hour(string hour, string minute)
    {
        if (Number(hour) is not { } h || h is < 1 or >= 13)
            return null;
        h += minute.Length > 0 ? Number(minute)!.Value / 60 : 0;
        h = h > 6 ? h - 12 : h;
        return h == 6 || h < -6 ? null : h;
    }

    [GeneratedRegex(@"[+-]?\d+,\d+", RegexOptions.CultureInvariant)]
    private static partial Regex CommaInNumber();

    [GeneratedRegex(@"\s*(?:,|;|\bthen\b)+\s*(?:then\b\s*)?", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex Separator();

    [GeneratedRegex(@"^(from\s+)?(?<from>.+?)\s+to\s+(?<to>.+)$", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex Between();

    [GeneratedRegex(
        @"^(?<hour>\d+(\.\d+)?)(:(?<minute>[0-5]\d))?\s*o'clock$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Time();

    [GeneratedRegex(
        @"^(?<sign>[+-])?\s*(?<size>[\d.]+(/[\d.]+)?|half a|a half|a quarter|an eighth|a sixteenth|half|quarter|eighth|sixteenth|one|full|a|nothing|none)\s*(of a\s+)?(?<unit>(?!(cw|ccw|clockwise|anticlockwise|counterclockwise|up|down|in|out|left|right)\b)[^\s\d+-]+)?\s*(?<way>cw|ccw|clockwise|anticlockwise|counterclockwise|up|down|in|out|left|right)?$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Turning();
}
