using System.Globalization;
using Spoolwright.App.Desk;
using Spoolwright.Bench;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Tape;
using Spoolwright.Storage;

namespace Spoolwright.App.Cli;

/// <summary>The readings of one call of <c>explain</c>, out of files or out of the service book.</summary>
internal sealed record ExplainRequest(IReadOnlyList<MeasuredUnder> Measured, DeckProfile? Profile)
{
    /// <summary>The job of the service book that was asked for; null: files were given.</summary>
    public Guid? Job { get; init; }

    private static readonly string[] Marks = ["as-found", "first-run", "as-left"];

    /// <summary>Reads the request.</summary>
    /// <exception cref="CallException">A word, file or job cannot be used.</exception>
    public static ExplainRequest From(string[] words, string? profilePath, string? job, string book, string mark)
    {
        if (words.Length == 0 == (job is null))
            throw new CallException(
                job is null
                    ? "nothing to explain: give a condition and files, such as forward,19.05 playback.json, or --job"
                    : "give either files or --job, not both"
            );
        var profile = profilePath is null ? null : InputFiles.Parsed(profilePath, DeckProfileFile.Parse, "check-profile");
        return job is null ? new ExplainRequest(Files(words, profile), profile) : Filed(job, book, mark, profile);
    }

    private static List<MeasuredUnder> Files(string[] words, DeckProfile? profile)
    {
        var measured = new List<MeasuredUnder>();
        Condition? under = null;
        foreach (var word in words)
        {
            if (ConditionOf(word, profile) is { } condition)
            {
                under = condition;
                continue;
            }

            if (word.Contains(',', StringComparison.Ordinal) && !File.Exists(word))
                throw new CallException(
                    $"\"{word}\" is neither a condition nor a file; a condition begins with {string.Join(" or ", DeckWords.Directions)}, such as forward,19.05"
                );
            if (under is null)
                throw new CallException($"{word} stands before any condition; write one first, such as forward,19.05");
            try
            {
                var (measurement, readings) = ReadingsFile.Parse(InputFiles.Text(word));
                measured.Add(new MeasuredUnder(measurement, under, readings));
            }
            catch (FormatException e)
            {
                throw new CallException($"{word}: {e.Message}");
            }
        }

        return measured.Count > 0 ? measured : throw new CallException($"no file follows the condition {words[^1]}");
    }

    // A word that begins with a direction and a comma is a condition.
    private static Condition? ConditionOf(string word, DeckProfile? profile)
    {
        var parts = word.Split(',');
        if (DeckWords.FindDirection(parts[0]) is not { } direction)
            return null;
        if (
            parts.Length is < 2 or > 3
            || !double.TryParse(parts[1], NumberStyles.Float, CultureInfo.InvariantCulture, out var speed)
            || !(speed is > 0 and <= 200)
        )
            throw new CallException(
                $"\"{word}\" is no condition; write direction, speed in cm/s and, where it matters, tape setting: forward,19.05 or forward,19.05,normal"
            );
        if (profile is null)
            return new Condition(direction, speed, parts.Length > 2 ? parts[2] : null);
        if (!profile.Directions.Contains(direction))
            throw new CallException($"\"{word}\": {profile.Name} does not run in {parts[0]}");
        var known =
            TapeSpeed.Find(profile.SpeedsCmPerS, speed)
            ?? throw new CallException(FormattableString.Invariant($"\"{word}\": {profile.Name} has no speed of {speed} cm/s"));
        if (parts.Length > 2 && !profile.TapeSettings.Contains(parts[2], StringComparer.Ordinal))
            throw new CallException(
                $"\"{word}\": {profile.Name} has no tape setting {parts[2]}; it has {string.Join(", ", profile.TapeSettings)}"
            );
        return new Condition(direction, known, parts.Length > 2 ? parts[2] : null);
    }

    private static ExplainRequest Filed(string number, string path, string markWord, DeckProfile? profile)
    {
        var at = Array.IndexOf(Marks, markWord);
        if (at < 0)
            throw new CallException($"--mark: \"{markWord}\" is none of {string.Join(", ", Marks)}");
        try
        {
            using var book = ServiceBook.OpenExisting(path);
            var job = new JobDesk(book).Find(number);
            var file = book.ReadJob(job.Id);
            var measured = (Mark)at == Mark.AsFound ? JobReadings.AsItCame(file) : JobReadings.Of(file, (Mark)at);
            if (measured.Count == 0)
                throw new CallException($"the job holds no readings {markWord}");
            return new ExplainRequest(measured, profile ?? DeckProfileFile.Parse(file.Deck.ProfileJson).Value) { Job = job.Id };
        }
        catch (Exception e) when (e is ServiceBookException or EntryException)
        {
            throw new CallException(e.Message);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new CallException(e.Message);
        }
    }
}
