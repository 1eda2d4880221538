namespace Spoolwright.App.Demo;

/// <summary>A clock that the demonstration's script moves through its invented year.</summary>
internal sealed class MovedClock(DateTimeOffset start) : TimeProvider
{
    public DateTimeOffset Time { get; set; } = start.ToUniversalTime();

    public override DateTimeOffset GetUtcNow() => Time;

    public void Wait(double minutes) => Time = Time.AddMinutes(minutes);

    /// <summary>Goes on to the next working morning where the day is over.</summary>
    public void KeepToWorkingHours(double minutesAhead)
    {
        if (Time.Hour is >= 9 && Time.AddMinutes(minutesAhead).Day == Time.Day && Time.AddMinutes(minutesAhead).Hour < 18)
            return;
        Time = Morning(Time.AddDays(Time.Hour < 9 ? 0 : 1));
        while (Time.DayOfWeek is DayOfWeek.Sunday)
            Time = Time.AddDays(1);
    }

    /// <summary>Nine o'clock of a day.</summary>
    public static DateTimeOffset Morning(DateTimeOffset day) => new(day.UtcDateTime.Date.AddHours(9), TimeSpan.Zero);
}
