using Spoolwright.Bench.Decks;

namespace Spoolwright.Bench.Service.Checks;

/// <summary>One function to try.</summary>
/// <param name="Key">Short name within the list.</param>
/// <param name="Area">What it belongs to.</param>
/// <param name="Title">What it is.</param>
/// <param name="What">What to do and what must happen.</param>
/// <param name="CouldRecord">Whether trying it could record on the tape that is loaded.</param>
/// <param name="Only">Features without which it is left out.</param>
public sealed record FunctionCheck(string Key, string Area, string Title, string What, bool CouldRecord, IReadOnlyList<string> Only);

/// <summary>Everything that a kind of deck must do.</summary>
public sealed record CheckList(string Name, IReadOnlyList<FunctionCheck> Checks)
{
    /// <summary>The list that comes with the program.</summary>
    public static CheckList Default { get; } =
        CheckListFile.Parse(DefaultJson).Value
            ?? throw new InvalidOperationException("the checks that come with the program cannot be read");

    /// <summary>Its file's text, to copy and adapt.</summary>
    public static string DefaultJson => BuiltIn.Text("function-checks.json");

    /// <summary>Checks for a job on a deck of a profile, those for features it lacks left out.</summary>
    public IReadOnlyList<JobCheck> LayOut(Guid jobId, DeckProfile profile) =>
    [
        .. Checks.Where(c => c.Only.All(o => DeckFeature.Has(profile, o))).Select((c, i) => new JobCheck
        {
            JobId = jobId,
            Key = c.Key,
            Ordinal = i,
            Area = c.Area,
            Title = c.Title,
            What = c.What,
            CouldRecord = c.CouldRecord,
        }),
    ];
}
