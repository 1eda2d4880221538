using System.Globalization;
using Spoolwright.Bench;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Service;
using Spoolwright.Storage;

namespace Spoolwright.App.Web;

/// <summary>Under what something is filed.</summary>
/// <param name="Job">The deck's stay.</param>
/// <param name="Condition">What the deck was set to.</param>
/// <param name="Mark">At which point of the job.</param>
/// <param name="Supersede">Whether it takes the place of the one that stands in the same cell.</param>
internal sealed record FiledUnder(Guid Job, Condition Condition, Mark Mark, bool Supersede);

/// <summary>The one way from a measured file to the book, whether it was kept live, dropped on a page, or typed.</summary>
internal static class Filer
{
    /// <summary>Files it.</summary>
    /// <param name="shelf">The book.</param>
    /// <param name="under">Where.</param>
    /// <param name="measured">What was measured.</param>
    /// <param name="limits">Limits in force.</param>
    /// <param name="open">Opens the file's bytes; null where there is no file.</param>
    /// <param name="instruments">What the figures lean on.</param>
    /// <returns>What it took the place of, or null.</returns>
    /// <exception cref="ServiceBookException">Nothing was written.</exception>
    public static CaptureEntry? File(
        BookShelf shelf,
        FiledUnder under,
        MeasuredFile measured,
        IReadOnlyList<Limit> limits,
        Func<Stream>? open,
        IReadOnlyList<Instrument> instruments
    )
    {
        var condition = Of(measured.Result.Measurement, under.Condition);
        var earlier = under.Supersede ? Standing(shelf, under with { Condition = condition }, measured.Result.Measurement) : null;
        shelf.Book.FileMeasurement(new Filing
        {
            JobId = under.Job,
            Condition = condition,
            Mark = under.Mark,
            Capture = measured.Capture,
            OpenCapture = open,
            Result = measured.Result,
            Limits = limits,
            Instruments = instruments,
            MeasuredAt = TimeProvider.System.GetUtcNow(),
            ProgramVersion = ProgramVersion.Stamp,
            Supersedes = earlier?.Id,
        });
        return earlier;
    }

    /// <summary>A condition as a measurement knows it: what is only played has no tape setting.</summary>
    public static Condition Of(string measurement, Condition condition) =>
        DeckMatrix.IsOfTapeSetting(measurement) ? condition : condition with { TapeSetting = null };

    /// <summary>A name that says what is in the file.</summary>
    public static string Name(string measurement, Condition condition)
    {
        var setting = Of(measurement, condition).TapeSetting is { } word ? "-" + string.Concat(word.Where(char.IsAsciiLetterOrDigit)) : "";
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{measurement}-{condition.Direction.ToString().ToLowerInvariant()}-{condition.SpeedCmPerS:0.##}{setting}.wav"
        );
    }

    /// <summary>The interface, and the test tape where one was played.</summary>
    public static IReadOnlyList<Instrument> Instruments(bool practice, TestTape? tape, string input) =>
        [
            new Instrument(
                "audio-interface",
                practice ? "none: the practice deck's sound" : input,
                practice ? "made by this program" : "through the browser, processing off"
            ),
            .. tape is null ? Array.Empty<Instrument>() : [new Instrument("test-tape", tape.Name)],
        ];

    /// <summary>The level that the test tape's reference tone gave in the same direction and at the same speed, dBFS, the latest that
    /// stands.</summary>
    public static (double? Left, double? Right) ReferenceLevels(BookShelf shelf, Guid job, Condition condition)
    {
        var played = shelf
            .Book.ReadJob(job)
            .Measurements.Where(m => m.SupersededBy is null && m.Entry.Measurement == "playback" && Same(m.Entry.Condition, condition))
            .MaxBy(m => m.Entry.MeasuredAt);
        double? Level(Channel channel) =>
            played
                ?.Result.Readings.Where(r => r.Quantity == Quantity.ToneLevel.Id && r.Role == "reference" && r.Channel == channel)
                .Select(r => (double?)r.Value)
                .Max();
        return (Level(Channel.Left), Level(Channel.Right));
    }

    /// <summary>Readings of playback and azimuth that stand for the same direction and speed.</summary>
    public static IReadOnlyList<Reading> PlaybackReadings(BookShelf shelf, Guid job, Condition condition) =>
    [
        .. shelf.Book.ReadJob(job).Measurements
            .Where(m => m.SupersededBy is null && (m.Entry.Measurement is "playback" or "azimuth") && Same(m.Entry.Condition, condition))
            .GroupBy(m => m.Entry.Measurement).SelectMany(g => g.MaxBy(m => m.Entry.MeasuredAt)!.Result.Readings),
    ];

    private static CaptureEntry? Standing(BookShelf shelf, FiledUnder under, string measurement) =>
        shelf
            .Book.ReadJob(under.Job)
            .Measurements.Where(m =>
                m.SupersededBy is null
                && m.Entry.Measurement == measurement
                && m.Entry.Mark == under.Mark
                && Same(m.Entry.Condition, under.Condition)
                && string.Equals(m.Entry.Condition.TapeSetting, under.Condition.TapeSetting, StringComparison.Ordinal)
            )
            .MaxBy(m => m.Entry.MeasuredAt)
            ?.Entry;

    private static bool Same(Condition a, Condition b) =>
        a.Direction == b.Direction && Bench.Tape.TapeSpeed.Same(a.SpeedCmPerS, b.SpeedCmPerS);
}
