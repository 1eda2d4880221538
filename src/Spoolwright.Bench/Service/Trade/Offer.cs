namespace Spoolwright.Bench.Service.Trade;

/// <summary>Whether an offered deck runs.</summary>
public enum Working
{
    Unknown,

    Yes,

    Partly,

    No,
}

/// <summary>
/// Who had it in hand before. An untouched deck is worth more than one that somebody sprayed (common practice, no source).
/// </summary>
public enum Handled
{
    Unknown,

    Untouched,

    Lubricated,

    Repaired,
}

/// <summary>What became of an offer.</summary>
public enum OfferDecision
{
    Open,

    Bought,

    Declined,
}

/// <summary>A deck that somebody offers.</summary>
public sealed record Offer : BookEntry
{
    public required string ProfileName { get; init; }

    public string? SerialNumber { get; init; }

    public required string Seller { get; init; }

    public required Money Asked { get; init; }

    public required DateOnly Day { get; init; }

    public Working Working { get; init; }

    public Handled Handled { get; init; }

    /// <summary>What is missing; empty text: complete; null: not known.</summary>
    public string? Missing { get; init; }

    /// <summary>Condition by part, each as <c>part=word</c>: good, worn, bad, missing.</summary>
    public IReadOnlyList<string> Parts { get; init; } = [];

    public OfferDecision Decision { get; init; }

    /// <summary>The job that came of it; null: none.</summary>
    public Guid? JobId { get; init; }

    public string? Remark { get; init; }

    /// <summary>Words for the condition of a part.</summary>
    public static IReadOnlyList<string> Grades { get; } = ["good", "worn", "bad", "missing"];

    public override void Check()
    {
        Need(ProfileName, "the profile", 120);
        Need(Seller, "the seller", 200);
        Hold(Asked.Amount >= 0, $"an asked price of {Asked} makes no sense");
        foreach (var part in Parts)
            Hold(part.Split('=') is [{ Length: > 0 }, var grade] && Grades.Contains(grade),
                $"\"{part}\" is no condition of a part; expected such as belts=bad (known: {string.Join(", ", Grades)})");
    }
}
