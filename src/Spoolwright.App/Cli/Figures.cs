using System.CommandLine.Parsing;
using System.Globalization;
using System.Text.RegularExpressions;
using Spoolwright.Bench.Files;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Cli;

/// <summary>Reads the numbers of a call, each with its unit and range.</summary>
internal static partial class Figures
{
    /// <summary>A parser for one number within a range.</summary>
    public static Func<ArgumentResult, double?> Within(double least, double most, string unit) => result =>
    {
        var text = result.Tokens[0].Value;
        if (TryRead(text, out var number) && number >= least && number <= most)
            return number;
        result.AddError(
            $"{OptionName(result)}: \"{text}\" {TypedComma.Problem(text) ?? $"is not a number of {unit} from {Plain(least)} to {Plain(most)}"}"
        );
        return null;
    };

    /// <summary>Two channels by number, from 1: <c>1,2</c>; or one alone: <c>2</c>.</summary>
    public static ChannelPair? Channels(ArgumentResult result)
    {
        var text = result.Tokens[0].Value;
        var numbers = text.Split(',')
            .Select(part => int.TryParse(part, NumberStyles.None, CultureInfo.InvariantCulture, out var n) ? n : 0)
            .ToArray();
        if (numbers.Length is 1 or 2 && numbers.All(n => n is >= 1 and <= SoundFile.MostChannels))
            return new ChannelPair(numbers[0], numbers[^1]);
        result.AddError(
            $"{OptionName(result)}: \"{text}\" is not a pair of channel numbers such as 1,2 (left, right; the first channel is 1)"
        );
        return null;
    }

    /// <summary>Volts of full scale: one figure for both channels, or two: <c>2.18,2.20</c>.</summary>
    public static (double Left, double Right)? Volts(ArgumentResult result)
    {
        var text = result.Tokens[0].Value;
        if (MayBeOne(text))
        {
            result.AddError(OptionName(result) + OneOrTwo(text));
            return null;
        }

        var figures = text.Split(',').Select(part => TryRead(part, out var volts) && volts is >= 0.001 and <= 1000 ? volts : 0).ToArray();
        if (figures.Length is 1 or 2 && figures.All(v => v > 0))
            return (figures[0], figures[^1]);
        result.AddError(
            $"{OptionName(result)}: \"{text}\" is not a voltage from 0.001 to 1000, or two of them such as 2.18,2.20 (left, right)"
        );
        return null;
    }

    /// <summary>Levels in dBFS: one figure for both channels, or two: <c>-12.0,-12.3</c>.</summary>
    public static (double Left, double Right)? Levels(ArgumentResult result)
    {
        var text = result.Tokens[0].Value;
        if (MayBeOne(text))
        {
            result.AddError(OptionName(result) + OneOrTwo(text));
            return null;
        }

        var figures = text.Split(',').Select(part => TryRead(part, out var db) && db is >= -120 and <= 20 ? db : double.NaN).ToArray();
        if (figures.Length is 1 or 2 && figures.All(double.IsFinite))
            return (figures[0], figures[^1]);
        result.AddError(
            $"{OptionName(result)}: \"{text}\" is not a level in dBFS from -120 to 20, or two of them such as -12.0,-12.3 (left, right)"
        );
        return null;
    }

    /// <summary>A day: <c>2026-03-31</c>.</summary>
    public static DateOnly? Day(ArgumentResult result)
    {
        var text = result.Tokens[0].Value;
        if (DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day))
            return day;
        result.AddError($"{OptionName(result)}: \"{text}\" is not a day such as 2026-03-31");
        return null;
    }

    // Two whole numbers may be one with a decimal comma: 2,18 is as likely 2.18 V as 2 V left and 18 V right.
    private static bool MayBeOne(string text) => MaybeOne().IsMatch(text);

    private static string OneOrTwo(string text) =>
        $": \"{text}\" may be one number or two: write {text.Replace(',', '.')}, or {text.Replace(",", ".0,", StringComparison.Ordinal)}.0 (left, right)";

    [GeneratedRegex(@"^[-+]?\d+,\d+$", RegexOptions.CultureInvariant)]
    private static partial Regex MaybeOne();

    private static bool TryRead(string text, out double number) =>
        double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out number) && double.IsFinite(number);

    private static string Plain(double number) => number.ToString(CultureInfo.InvariantCulture);

    private static string OptionName(ArgumentResult result) => (result.Parent as OptionResult)?.Option.Name ?? result.Argument.Name;
}
