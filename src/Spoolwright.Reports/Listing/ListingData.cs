namespace Spoolwright.Reports;

/// <summary>A photo of the listing.</summary>
public sealed record ListingPhoto(string Assembly, string Mark, string? Caption, byte[] Jpeg);

/// <summary>
/// What a listing and its fact sheet say of a deck that is for sale: facts out of the book, and the restorer's own words.
/// </summary>
public sealed record ListingData
{
    public required string Title { get; init; }

    /// <summary>The restorer's own words; null: none.</summary>
    public string? Words { get; init; }

    /// <summary>The asked price with its currency; null: not said.</summary>
    public string? Asked { get; init; }

    /// <summary>The record: deck, conditions, verdicts, accepted faults, seal.</summary>
    public required RecordData Record { get; init; }

    /// <summary>What was done, by stage in plain words.</summary>
    public IReadOnlyList<string> Work { get; init; } = [];

    /// <summary>What was fitted, and where.</summary>
    public IReadOnlyList<string> Fitted { get; init; } = [];

    /// <summary>What goes with the deck.</summary>
    public IReadOnlyList<string> Accessories { get; init; } = [];

    /// <summary>Functions tried as left: how many work, of how many.</summary>
    public (int Works, int Tried) Functions { get; init; }

    /// <summary>Functions of the list that were not tried as left.</summary>
    public int Untried { get; init; }

    /// <summary>What speaks against the deck and nobody has accepted: open faults, functions that fail, fitted parts of a doubted lot, a
    /// safety test not done.</summary>
    public IReadOnlyList<string> Open { get; init; } = [];

    public IReadOnlyList<ListingPhoto> Photos { get; init; } = [];

    public int WarrantyMonths { get; init; }

    public string? WarrantyTerms { get; init; }

    /// <summary>Link to a sound sample; null: none.</summary>
    public string? Sample { get; init; }

    public required string Shop { get; init; }
}
