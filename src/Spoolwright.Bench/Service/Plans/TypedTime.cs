using System.Globalization;
using System.Text.RegularExpressions;

namespace Spoolwright.Bench.Service.Plans;

/// <summary>
/// A sitting as people type it: <c>1:30</c>, <c>1.5 h</c>, <c>90 min</c>, <c>14:05-15:20</c>, each with a day before or behind it
/// (<c>yesterday</c>, <c>monday</c>, <c>2026-03-14</c>, <c>14 mar</c>).
/// </summary>
/// <param name="Day">The day it began, by the zone's calendar.</param>
/// <param name="Started">When it began; null: only the length was typed.</param>
/// <param name="Ended">When it ended.</param>
/// <param name="Length">How long it took, above 0.</param>
public sealed partial record TypedTime(DateOnly Day, DateTimeOffset? Started, DateTimeOffset? Ended, TimeSpan Length)
{
    private const string Expected = "expected such as 1:30, 1.5 h, 90 min, 14:05-15:20, yesterday 2 h";

    /// <summary>Reads what was typed.</summary>
    /// <param name="text">The text.</param>
    /// <param name="now">The time now; a sitting does not end after it.</param>
    /// <param name="zone">The zone in which days and times are meant.</param>
    /// <exception cref="EntryException">It is no time, or one that cannot have been.</exception>
    public static TypedTime Parse(string text, DateTimeOffset now, TimeZoneInfo zone)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(zone);
        var today = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(now, zone).DateTime);
        var plain = Dashes().Replace(text.Trim().ToLowerInvariant().Replace('\u00A0', ' '), "-");
        var (day, rest) = TypedDay.Split(plain, today, text);
        if (Span().Match(rest) is { Success: true } span)
            return OfSpan(text, span, day, today, now, zone);
        var length = LengthOf(rest, text);
        if (length <= TimeSpan.Zero || length > ClockEntry.LongestSitting)
            throw new EntryException($"\"{text}\" is {Words(length)}; a sitting is longer than nothing and at most 24 hours");
        if (day > today)
            throw new EntryException($"\"{text}\" lies in the future");
        return new TypedTime(day ?? today, null, null, length);
    }

    /// <summary>A local time of a day in a zone.</summary>
    /// <param name="day">The day.</param>
    /// <param name="time">The time of day.</param>
    /// <param name="zone">The zone.</param>
    /// <param name="after">Where the hour comes twice in autumn: the one after this; null: the first.</param>
    /// <exception cref="EntryException">The clock skips that time in spring.</exception>
    public static DateTimeOffset At(DateOnly day, TimeOnly time, TimeZoneInfo zone, DateTimeOffset? after = null)
    {
        ArgumentNullException.ThrowIfNull(zone);
        var possible = Possible(day.ToDateTime(time, DateTimeKind.Unspecified), zone);
        if (possible.Length == 0)
            throw new EntryException($"{day:yyyy-MM-dd} {time:HH:mm} does not exist in {zone.Id}: the clock was put forward over it");
        return after is { } least && possible[0] < least ? possible[^1] : possible[0];
    }

    /// <summary>The first moment of a day in a zone, also where the clock is put forward over midnight.</summary>
    public static DateTimeOffset Midnight(DateOnly day, TimeZoneInfo zone)
    {
        ArgumentNullException.ThrowIfNull(zone);
        var local = day.ToDateTime(TimeOnly.MinValue, DateTimeKind.Unspecified);
        return Possible(local, zone) is [var first, ..]
            ? first
            : new DateTimeOffset(local, zone.GetUtcOffset(new DateTimeOffset(local, TimeSpan.Zero).AddDays(-1)));
    }

    // By the offsets themselves: zones whose winter time is written as the exception (Dublin) have changes that IsInvalidTime overlooks.
    private static DateTimeOffset[] Possible(DateTime local, TimeZoneInfo zone)
    {
        var asUtc = new DateTimeOffset(local, TimeSpan.Zero);
        return [.. new[] { zone.GetUtcOffset(asUtc.AddDays(-1)), zone.GetUtcOffset(asUtc.AddDays(1)) }.Distinct()
            .Select(o => new DateTimeOffset(local, o)).Where(t => zone.GetUtcOffset(t) == t.Offset).Order()];
    }

    /// <summary>Such as <c>1 h 30 min</c>.</summary>
    public static string Words(TimeSpan length)
    {
        var minutes = (long)Math.Round(length.TotalMinutes);
        return minutes < 60 ? string.Create(CultureInfo.InvariantCulture, $"{minutes} min")
            : minutes % 60 == 0 ? string.Create(CultureInfo.InvariantCulture, $"{minutes / 60} h")
            : string.Create(CultureInfo.InvariantCulture, $"{minutes / 60} h {minutes % 60} min");
    }

    private static TypedTime OfSpan(string text, Match span, DateOnly? named, DateOnly today, DateTimeOffset now, TimeZoneInfo zone)
    {
        var day = named ?? today;
        var (fromHalf, toHalf) = (span.Groups["ah"].Value, span.Groups["bh"].Value);
        var to = Clock(span, "b", toHalf, text);
        // "11-1 pm": the half of the day that stands once holds for both, unless the sitting would then run backwards.
        var from = Clock(span, "a", fromHalf.Length == 0 ? toHalf : fromHalf, text);
        if (fromHalf.Length == 0 && toHalf.Length > 0 && from > to)
            from = from.AddHours(12);
        var start = At(day, from, zone);
        var end = At(to > from ? day : day.AddDays(1), to, zone, start);
        if (to == from)
            throw new EntryException($"\"{text}\" begins and ends at the same time");
        if (end > now)
            throw new EntryException($"\"{text}\" ends after now ({TimeZoneInfo.ConvertTime(now, zone):yyyy-MM-dd HH:mm})"
                + (named is null ? $"; name the day, such as yesterday {text.Trim()}" : "; a sitting is written down once it is over"));
        return new TypedTime(day, start, end, end - start);
    }

    private static TimeOnly Clock(Match span, string group, string half, string text)
    {
        var hour = int.Parse(span.Groups[group].Value, CultureInfo.InvariantCulture);
        var hasMinutes = span.Groups[group + "m"].Success;
        var minute = hasMinutes ? int.Parse(span.Groups[group + "m"].Value, CultureInfo.InvariantCulture) : 0;
        if (!hasMinutes && half.Length == 0)
            throw new EntryException($"\"{text}\": write times with minutes, such as 9:00-11:00");
        if (half.Length > 0 && hour is < 1 or > 12)
            throw new EntryException($"\"{text}\": {hour} {half} is no time of day");
        if (half.Length > 0)
            hour = (hour % 12) + (half == "pm" ? 12 : 0);
        if (hour == 24 && minute == 0)
            hour = 0;
        return hour <= 23 && minute <= 59 ? new TimeOnly(hour, minute)
            : throw new EntryException($"\"{text}\": {hour}:{minute:00} is no time of day");
    }

    private static TimeSpan LengthOf(string rest, string text)
    {
        // Neither two digits of hours nor three digits behind a comma can be told from what else people write so; a wrong hour is paid for.
        if (ClockLike().IsMatch(rest))
            throw new EntryException(
                $"\"{text}\" may be a time of day: write from when to when, such as 14:05-15:20, or a length such as {LengthWords(rest)}"
            );
        if (Thousands().IsMatch(rest))
            throw new EntryException($"\"{text}\": the comma may be a decimal sign or part the thousands; write a point, such as 1.5 h");
        if (Colon().Match(rest) is { Success: true } colon)
            return new TimeSpan(int.Parse(colon.Groups["h"].Value, CultureInfo.InvariantCulture),
                int.Parse(colon.Groups["m"].Value, CultureInfo.InvariantCulture), 0);
        // Nobody counts who says so.
        if (rest is "an hour" or "one hour" or "half an hour" or "half hour" or "quarter of an hour" or "a quarter of an hour")
            return TimeSpan.FromMinutes(
                rest.Contains("quarter", StringComparison.Ordinal) ? 15
                : rest.StartsWith("half", StringComparison.Ordinal) ? 30
                : 60
            );
        if (Hours().Match(rest) is { Success: true } hours)
            return Times(Number(hours.Groups["h"].Value), 60) + Times(Number(hours.Groups["m"].Value), 1);
        if (Minutes().Match(rest) is { Success: true } minutes)
            return Times(Number(minutes.Groups["m"].Value), 1);
        if (rest.Length > 0 && rest.All(c => char.IsAsciiDigit(c) || c is '.' or ','))
            throw new EntryException($"\"{text}\" has no unit: write {rest} min or {rest} h");
        throw new EntryException($"\"{text}\" is no time; {Expected}");
    }

    private static string LengthWords(string colon) =>
        $"{int.Parse(colon.AsSpan(0, 2), NumberStyles.None, CultureInfo.InvariantCulture)} h {colon[3..5]} min";

    // Kept within what a TimeSpan holds, so that an absurd figure is refused by its length and not by an overflow.
    private static TimeSpan Times(double number, int minutes) => TimeSpan.FromMinutes(Math.Round(Math.Min(number, 100_000) * minutes, 2));

    private static double Number(string text)
    {
        if (text.Length == 0)
            return 0;
        var part = text[^1] switch { '½' => 0.5, '¼' => 0.25, '¾' => 0.75, _ => 0 };
        var digits = (part > 0 ? text[..^1] : text).Trim().Replace(',', '.');
        return part + (digits.Length == 0 ? 0 : double.Parse(digits, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture));
    }

    [GeneratedRegex(
        @"\s*(?:[\u2010-\u2015\u2212]|\bto\b|\buntil\b|\btill\b)\s*",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture
    )]
    private static partial Regex Dashes();

    [GeneratedRegex(
        @"^(?:from\s+)?(?<a>\d{1,2})(?:[:.h](?<am>\d{2}))?\s*(?<ah>am|pm)?\s*-\s*(?<b>\d{1,2})(?:[:.h](?<bm>\d{2}))?\s*(?<bh>am|pm)?$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture
    )]
    private static partial Regex Span();

    [GeneratedRegex(@"^(?!00)\d{2}:[0-5]\d$", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex ClockLike();

    [GeneratedRegex(@"\d,\d{3}(?!\d)", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Thousands();

    [GeneratedRegex(@"^(?<h>\d{1,3}):(?<m>[0-5]\d)(?:\s*h(?:ours?)?)?$", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Colon();

    [GeneratedRegex(
        @"^(?<h>\d{1,6}(?:[.,]\d{1,4})?|\d{0,3}\s?[½¼¾])\s*(?:h|hrs?|hours?)(?:\s*(?:and\s+)?(?<m>\d{1,4})\s*(?:m|mins?|minutes?)?)?$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture
    )]
    private static partial Regex Hours();

    [GeneratedRegex(
        @"^(?<m>\d{1,6}(?:[.,]\d{1,4})?)\s*(?:m|mins?|minutes?|')$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture
    )]
    private static partial Regex Minutes();
}
