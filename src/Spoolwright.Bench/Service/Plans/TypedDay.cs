using System.Globalization;
using System.Text.RegularExpressions;

namespace Spoolwright.Bench.Service.Plans;

/// <summary>
/// A day as people type it: <c>today</c>, <c>yesterday</c>, <c>monday</c> (the last one), <c>3 days ago</c>, <c>2026-03-14</c>, <c>14
/// mar</c>, <c>14.3.</c>, <c>14.3.2026</c> (with points the day stands first).
/// </summary>
public static partial class TypedDay
{
    private static readonly string[] Months = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
    private static readonly string[] Weekdays = ["sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"];

    /// <summary>Reads a day.</summary>
    /// <exception cref="EntryException">It is none.</exception>
    public static DateOnly Parse(string text, DateOnly today)
    {
        ArgumentNullException.ThrowIfNull(text);
        var (day, rest) = Split(text.Trim().ToLowerInvariant(), today, text);
        return day is { } found && rest.Length == 0 ? found
            : throw new EntryException($"\"{text}\" is no day; expected such as 2026-03-14, 14 mar, 14.3.2026, yesterday, monday");
    }

    /// <summary>Reads the day of something that has happened.</summary>
    /// <exception cref="EntryException">It is none, or it lies ahead: a year was mistyped.</exception>
    public static DateOnly Past(string text, DateOnly today) => Parse(text, today) is var day && day <= today ? day
        : throw new EntryException($"{day:yyyy-MM-dd} lies in the future; it is written down once it has happened");

    /// <summary>Takes a day off the front or the end of a text.</summary>
    internal static (DateOnly? Day, string Remaining) Split(string plain, DateOnly today, string typed)
    {
        foreach (var (pattern, atEnd) in new[] { (Front(), false), (End(), true) })
        {
            if (pattern.Match(plain) is { Success: true } match)
                return (Day(match, today, typed), atEnd ? plain[..match.Index].Trim().TrimEnd(',').Trim() : plain[match.Length..].Trim()
                    .TrimStart(',').Trim());
        }

        return (null, plain);
    }

    private static DateOnly Day(Match match, DateOnly today, string typed)
    {
        if (match.Groups["word"].Success)
            return match.Groups["word"].Value == "today" ? today : today.AddDays(-1);
        if (match.Groups["ago"].Success)
            return today.AddDays(-int.Parse(match.Groups["ago"].Value, CultureInfo.InvariantCulture));
        if (match.Groups["week"].Success)
        {
            var wanted = Array.FindIndex(Weekdays, w => w.StartsWith(match.Groups["week"].Value, StringComparison.Ordinal));
            var back = ((int)today.DayOfWeek - wanted + 7) % 7;
            return today.AddDays(-back);
        }

        try
        {
            if (match.Groups["y"].Success)
                return new DateOnly(Int(match, "y"), Int(match, "mo"), Int(match, "d"));
            if (match.Groups["pd"].Success)
                return OfYear(match.Groups["py"], Int(match, "pm"), Int(match, "pd"), today);
            var month = 1 + Array.FindIndex(Months, m => match.Groups["month"].Value.StartsWith(m, StringComparison.Ordinal));
            return OfYear(match.Groups["year"], month, Int(match, "dm"), today);
        }
        catch (ArgumentOutOfRangeException)
        {
            throw new EntryException($"\"{typed}\": there is no day {match.Value.Trim()}");
        }
    }

    private static DateOnly OfYear(Group year, int month, int dayOfMonth, DateOnly today)
    {
        if (year.Success)
            return new DateOnly(
                int.Parse(year.Length == 2 ? "20" + year.Value : year.Value, CultureInfo.InvariantCulture),
                month,
                dayOfMonth
            );
        // Without a year: the last such day.
        var day = new DateOnly(today.Year, month, dayOfMonth);
        return day > today ? day.AddYears(-1) : day;
    }

    private static int Int(Match match, string group) => int.Parse(match.Groups[group].Value, CultureInfo.InvariantCulture);

    private const string One =
        @"(?:(?<word>today|yesterday)|(?<ago>\d{1,3})\s+days?\s+ago|(?:last\s+|on\s+)?(?<week>sun(?:day)?|mon(?:day)?|tue(?:s(?:day)?)?|wed(?:nesday)?|thu(?:rs(?:day)?)?|fri(?:day)?|sat(?:urday)?)"
        + @"|(?<y>\d{4})-(?<mo>\d{1,2})-(?<d>\d{1,2})"
        + @"|(?:on\s+)?(?<pd>\d{1,2})\.\s?(?<pm>\d{1,2})\.(?<py>\d{4}|\d{2})?"
        + @"|(?:on\s+)?(?<dm>\d{1,2})\s+(?<month>jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*(?:\s+(?<year>\d{4}))?)";

    [GeneratedRegex("^" + One + @"(?=$|[\s,])", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Front();

    [GeneratedRegex(@"(?<=\s)" + One + "$", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex End();
}
