namespace Spoolwright.Bench.Service.Trade;

/// <summary>Whose a deck is, or was.</summary>
public sealed record DeckOwner : BookEntry
{
    public required Guid DeckId { get; init; }

    public required string Name { get; init; }

    /// <summary>Since when; null: not known.</summary>
    public DateOnly? Since { get; init; }

    public string? Contact { get; init; }

    public override void Check() => Need(Name, "the owner's name", 200);
}

/// <summary>What kind of cost.</summary>
public enum CostKind
{
    Deck,

    Freight,

    Part,

    Fee,

    Other,
}

/// <summary>Money that a job cost, beside the parts fitted from stock.</summary>
public sealed record JobCost : BookEntry
{
    public required Guid JobId { get; init; }

    public required CostKind Kind { get; init; }

    public required Money Amount { get; init; }

    public required DateOnly Day { get; init; }

    public required string What { get; init; }

    public override void Check()
    {
        Need(What, "what the cost was for", 400);
        Hold(Amount.Amount != 0, "a cost of nothing needs no entry");
    }
}

/// <summary>What a deck of a kind fetched, here or elsewhere.</summary>
public sealed record PriceFetched : BookEntry
{
    public required string ProfileName { get; init; }

    public required Money Price { get; init; }

    public required DateOnly Day { get; init; }

    /// <summary>Where it was seen, in a line.</summary>
    public required string Source { get; init; }

    public override void Check()
    {
        Need(ProfileName, "the profile", 120);
        Need(Source, "where the price was seen", 400);
        Hold(Price.Amount > 0, $"a price of {Price} makes no sense");
    }
}

/// <summary>A deck sold.</summary>
public sealed record Sale : BookEntry
{
    public required Guid JobId { get; init; }

    public required Money Price { get; init; }

    public required DateOnly Day { get; init; }

    public required string Buyer { get; init; }

    /// <summary>Months of warranty promised, 0: none.</summary>
    public int WarrantyMonths { get; init; }

    /// <summary>What it covers, in the shop's words.</summary>
    public string? Terms { get; init; }

    public override void Check()
    {
        Need(Buyer, "the buyer", 200);
        Hold(Price.Amount >= 0, $"a price of {Price} makes no sense");
        Hold(WarrantyMonths is >= 0 and <= 120, $"{WarrantyMonths} months of warranty make no sense; expected 0 to 120");
        Hold(WarrantyMonths == 0 || !string.IsNullOrWhiteSpace(Terms), "a warranty needs its terms: say what it covers (--terms)");
    }
}

/// <summary>What a listing says beside what the book knows by itself.</summary>
public sealed record ListingText : BookEntry
{
    public required Guid JobId { get; init; }

    public required string Title { get; init; }

    /// <summary>Words of the restorer's own; null: the book's facts alone.</summary>
    public string? Words { get; init; }

    public Money? Asked { get; init; }

    /// <summary>Where the deck's sound sample is to be heard: an address of the web, or a file's name; null: nowhere.</summary>
    public string? Sample { get; init; }

    public override void Check()
    {
        Need(Title, "the listing's title", 200);
        AtMost(Words, "the listing's words");
        AtMost(Sample, "the sample's address", 1000);
        // It becomes a link, so that no address which does something else than lead there may stand in it.
        Hold(
            Sample is null
                || !Sample.Contains(':', StringComparison.Ordinal)
                || (Uri.TryCreate(Sample, UriKind.Absolute, out var to) && to.Scheme is "https" or "http"),
            $"\"{Sample}\" is no address of a sound sample; expected such as https://shop.example/sample.html, or a file's name"
        );
    }
}

/// <summary>The shop itself. The latest counts.</summary>
public sealed record ShopFacts : BookEntry
{
    public required string Name { get; init; }

    public string? Place { get; init; }

    /// <summary>Currency of amounts typed without one.</summary>
    public required string Currency { get; init; }

    /// <summary>Time zone by its name, such as <c>Europe/Dublin</c>; what people type is understood in it.</summary>
    public required string Zone { get; init; }

    /// <summary>What an hour should bring; null: not said.</summary>
    public Money? HourlyWanted { get; init; }

    public int WarrantyMonths { get; init; }

    public string? WarrantyTerms { get; init; }

    public override void Check()
    {
        Need(Name, "the shop's name", 200);
        Need(Zone, "the time zone", 80);
        Hold(Money.IsCurrency(Currency), $"\"{Currency}\" is no currency; expected three capital letters such as EUR");
        Hold(HourlyWanted is not { Amount: < 0 }, $"{HourlyWanted} for an hour makes no sense; expected 0 or more");
        Hold(WarrantyMonths is >= 0 and <= 120, $"{WarrantyMonths} months of warranty make no sense; expected 0 to 120");
    }
}

/// <summary>That a job's record was signed with the shop's key.</summary>
public sealed record SignOff : BookEntry
{
    public required Guid JobId { get; init; }

    /// <summary>SHA-256 of <see cref="RecordJson"/> in UTF-8, lower-case hexadecimal.</summary>
    public required string RecordSha256 { get; init; }

    /// <summary>The record's data as it was signed.</summary>
    public required string RecordJson { get; init; }

    /// <summary>The sealed sheet that anyone can check.</summary>
    public required string Sheet { get; init; }

    public required string KeyFingerprint { get; init; }

    public required DateTimeOffset SignedAt { get; init; }

    public required string SignedBy { get; init; }
}

/// <summary>A deck profile kept in the book, as its file's text; decks keep their own copy.</summary>
public sealed record ProfileText : BookEntry
{
    public required string Name { get; init; }

    public required string Json { get; init; }

    public override void Check()
    {
        Need(Name, "the profile's name", 120);
        Need(Json, "the profile's text", 1 << 20);
    }
}
