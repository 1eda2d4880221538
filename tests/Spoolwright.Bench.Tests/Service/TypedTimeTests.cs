using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Plans;

namespace Spoolwright.Bench.Tests.Service;

/// <summary>
/// Times as people type them. The zone's rules come from the system's tz database; the dates of change are those of 2026.
/// </summary>
public sealed class TypedTimeTests
{
    private static readonly TimeZoneInfo Dublin = TimeZoneInfo.FindSystemTimeZoneById("Europe/Dublin");

    // Thursday, 26 March 2026, 17:00 in Dublin (winter time, UTC).
    private static readonly DateTimeOffset Now = new(2026, 3, 26, 17, 0, 0, TimeSpan.Zero);

    [Theory]
    [InlineData("1:30", 90)]
    [InlineData("0:45", 45)]
    [InlineData("1.5 h", 90)]
    [InlineData("1,5h", 90)]
    [InlineData("12,5 h", 750)]
    [InlineData("1,25 h", 75)]
    [InlineData("14 h 05 min", 845)]
    [InlineData("14:05 h", 845)]
    [InlineData("00:45", 45)]
    [InlineData("1½ h", 90)]
    [InlineData("½ hour", 30)]
    [InlineData("90 min", 90)]
    [InlineData("90m", 90)]
    [InlineData("2 hrs", 120)]
    [InlineData("1h30", 90)]
    [InlineData("1 h 30 min", 90)]
    [InlineData("1 hour and 15 minutes", 75)]
    [InlineData("an hour", 60)]
    [InlineData("half an hour", 30)]
    [InlineData("a quarter of an hour", 15)]
    [InlineData("  7.25 hours ", 435)]
    public void Length_Typed_IsReadInMinutes(string text, int minutes)
    {
        var time = TypedTime.Parse(text, Now, Dublin);
        Assert.Equal(minutes, time.Length.TotalMinutes);
        Assert.Null(time.Started);
        Assert.Equal(new DateOnly(2026, 3, 26), time.Day);
    }

    [Theory]
    [InlineData("14:05-15:20", "2026-03-26 14:05", 75)]
    [InlineData("14:05 – 15:20", "2026-03-26 14:05", 75)]
    [InlineData("from 14:05 to 15:20", "2026-03-26 14:05", 75)]
    [InlineData("14.05-15.20", "2026-03-26 14:05", 75)]
    [InlineData("9am-11:30am", "2026-03-26 09:00", 150)]
    [InlineData("11-1 pm", "2026-03-26 11:00", 120)]
    [InlineData("2-3:15pm", "2026-03-26 14:00", 75)]
    [InlineData("yesterday 22:30-0:15", "2026-03-25 22:30", 105)]
    [InlineData("22:30-0:15 yesterday", "2026-03-25 22:30", 105)]
    [InlineData("monday 9:00-10:00", "2026-03-23 09:00", 60)]
    [InlineData("2026-02-28 9:00-10:00", "2026-02-28 09:00", 60)]
    [InlineData("14 feb 9:00-10:00", "2026-02-14 09:00", 60)]
    [InlineData("14.2. 9:00-10:00", "2026-02-14 09:00", 60)]
    [InlineData("14.02.2026 9.00-10.00", "2026-02-14 09:00", 60)]
    [InlineData("14.2.26 9:00-10:00", "2026-02-14 09:00", 60)]
    [InlineData("3 days ago, 9:00-10:00", "2026-03-23 09:00", 60)]
    public void Span_Typed_HasItsBeginningAndLength(string text, string start, int minutes)
    {
        var time = TypedTime.Parse(text, Now, Dublin);
        Assert.Equal(start, time.Started!.Value.ToString("yyyy-MM-dd HH:mm"));
        Assert.Equal(minutes, time.Length.TotalMinutes);
        Assert.Equal(time.Ended - time.Started, time.Length);
    }

    [Theory]
    [InlineData("yesterday 1:30", "2026-03-25")]
    [InlineData("thu 2 h", "2026-03-26")]
    [InlineData("fri 2 h", "2026-03-20")]
    [InlineData("2 h on monday", "2026-03-23")]
    [InlineData("27 march 2 h", "2025-03-27")]
    [InlineData("27.3. 2 h", "2025-03-27")]
    [InlineData("27. 3. 90 min", "2025-03-27")]
    [InlineData("half an hour on 24.3.2026", "2026-03-24")]
    public void Day_BesideALength_IsTheLastSuchDay(string text, string day) =>
        Assert.Equal(DateOnly.Parse(day), TypedTime.Parse(text, Now, Dublin).Day);

    [Theory]
    [InlineData("90", "write 90 min or 90 h")]
    [InlineData("16:00-18:00", "ends after now")]
    [InlineData("1,500 h", "the comma may be a decimal sign or part the thousands")]
    [InlineData("yesterday 1,500 min", "the comma may be a decimal sign or part the thousands")]
    [InlineData("14:05", "may be a time of day: write from when to when, such as 14:05-15:20, or a length such as 14 h 05 min")]
    [InlineData("yesterday 09:30", "may be a time of day")]
    [InlineData("2030-01-01 10:00-11:00", "ends after now (2026-03-26 17:00); a sitting is written down once it is over")]
    [InlineData("17:30-18:00", "name the day, such as yesterday 17:30-18:00")]
    [InlineData("tomorrow 2 h", "is no time")]
    [InlineData("2026-04-01 2 h", "lies in the future")]
    [InlineData("25 h", "at most 24 hours")]
    [InlineData("0 min", "longer than nothing")]
    [InlineData("9-11", "with minutes")]
    [InlineData("25:00-26:00 yesterday", "no time of day")]
    [InlineData("30 feb 2 h", "no day")]
    [InlineData("30.2. 2 h", "no day")]
    [InlineData("3.14.2026 2 h", "no day")]
    [InlineData("yesterday 9:00-9:00", "the same time")]
    [InlineData("", "is no time")]
    [InlineData("a while", "is no time")]
    [InlineData("999999999999 h", "is no time")]
    [InlineData("999999 h", "at most 24 hours")]
    public void Nonsense_IsRefusedWithWhatWasExpected(string text, string says) =>
        Assert.Contains(says, Assert.Throws<EntryException>(() => TypedTime.Parse(text, Now, Dublin)).Message, StringComparison.Ordinal);

    [Fact]
    public void Night_OfTheSpringChange_IsAnHourShorter()
    {
        var after = new DateTimeOffset(2026, 3, 29, 12, 0, 0, TimeSpan.Zero);
        Assert.Equal(120, TypedTime.Parse("today 0:30-3:30", after, Dublin).Length.TotalMinutes);
        Assert.Contains("put forward", Assert.Throws<EntryException>(() => TypedTime.Parse("today 0:30-1:30", after, Dublin)).Message,
            StringComparison.Ordinal);
    }

    [Fact]
    public void Day_BeginsAtItsFirstMoment_AlsoWhereMidnightIsSkipped()
    {
        Assert.Equal(new DateTimeOffset(2026, 6, 1, 0, 0, 0, TimeSpan.FromHours(1)), TypedTime.Midnight(new DateOnly(2026, 6, 1), Dublin));
        // Havana put its clock forward at midnight of 8 March 2026: the day began at 5:00 UTC, as 1:00.
        Assert.Equal(new DateTimeOffset(2026, 3, 8, 5, 0, 0, TimeSpan.Zero),
            TypedTime.Midnight(new DateOnly(2026, 3, 8), TimeZoneInfo.FindSystemTimeZoneById("America/Havana")));
    }

    [Fact]
    public void Night_OfTheAutumnChange_IsAnHourLonger()
    {
        var after = new DateTimeOffset(2026, 10, 25, 12, 0, 0, TimeSpan.Zero);
        Assert.Equal(240, TypedTime.Parse("today 0:30-3:30", after, Dublin).Length.TotalMinutes);
        // 1:45 to 1:15 only exists as the first 1:45 and the second 1:15.
        Assert.Equal(30, TypedTime.Parse("today 1:15-1:45", after, Dublin).Length.TotalMinutes);
    }
}
