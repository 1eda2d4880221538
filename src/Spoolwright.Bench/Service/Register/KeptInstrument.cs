namespace Spoolwright.Bench.Service.Register;

/// <summary>
/// An instrument that the shop keeps: gauge, test tape, audio interface, stopwatch. Readings lean on it by kind and name.
/// </summary>
public sealed record KeptInstrument : BookEntry
{
    /// <summary><c>test-tape</c>, <c>tension-gauge</c>, <c>audio-interface</c>, <c>stopwatch</c> …</summary>
    public required string Kind { get; init; }

    /// <summary>The name its owner knows it by.</summary>
    public required string Name { get; init; }

    public string? SerialNumber { get; init; }

    /// <summary>Its file: a gauge with weights, a test tape's leaflet; null: none.</summary>
    public string? Json { get; init; }

    /// <summary>Certificate in a line; null: none.</summary>
    public string? Certificate { get; init; }

    /// <summary>Since when its figures hold; null: not known.</summary>
    public DateOnly? CertifiedOn { get; init; }

    /// <summary>Until when; null: no end is set.</summary>
    public DateOnly? DueOn { get; init; }

    /// <summary>Plays before this book counted, of a test tape.</summary>
    public int PlaysBefore { get; init; }

    /// <summary>Plays after which a test tape is not trusted; null: no bound is set.</summary>
    public int? PlaysAtMost { get; init; }

    public string? Remark { get; init; }

    private static readonly string[] Kinds = ["test-tape", "tension-gauge", "audio-interface", "stopwatch"];

    /// <summary>The kind as it is compared: blanks, dashes and nothing between two words are one.</summary>
    public static string KindWord(string kind)
    {
        ArgumentNullException.ThrowIfNull(kind);
        var word = kind.Trim().ToLowerInvariant().Replace(' ', '-').Replace('_', '-');
        // Readings lean on an instrument by its kind's word: a tape kept as "testtape" would count no play.
        return Array.Find(Kinds, k => k.Replace("-", "", StringComparison.Ordinal) == word.Replace("-", "", StringComparison.Ordinal))
            ?? word;
    }

    public override void Check()
    {
        Need(Kind, "the instrument's kind", 60);
        Need(Name, "the instrument's name", 120);
        Hold(DueOn is not { } due || CertifiedOn is not { } since || due >= since,
            $"due on {DueOn:yyyy-MM-dd} lies before the certificate of {CertifiedOn:yyyy-MM-dd}");
        Hold(PlaysBefore is >= 0 and <= 100_000, $"{PlaysBefore} earlier plays make no sense");
        Hold(PlaysAtMost is null or (> 0 and <= 100_000), $"at most {PlaysAtMost} plays make no sense");
        AtMost(Json, "the instrument's file", 1 << 20);
    }
}

/// <summary>What happened to an instrument.</summary>
public enum InstrumentEventKind
{
    /// <summary>Certified or calibrated anew: from then on it is trusted again, until the day named.</summary>
    Calibrated,

    /// <summary>Lay near a strong field; a tape may have lost treble.</summary>
    FieldExposure,

    /// <summary>Found or suspected wrong, since a time that may lie far back.</summary>
    Doubt,

    /// <summary>An earlier doubt proved empty.</summary>
    Cleared,

    /// <summary>No longer used.</summary>
    Retired,
}

/// <summary>Something that happened to an instrument.</summary>
public sealed record InstrumentEvent : BookEntry
{
    public required Guid InstrumentId { get; init; }

    public required InstrumentEventKind Kind { get; init; }

    /// <summary>From when on it holds; a doubt may reach back before it was written down.</summary>
    public required DateTimeOffset Since { get; init; }

    /// <summary>For a calibration: until when.</summary>
    public DateOnly? DueOn { get; init; }

    public required string What { get; init; }

    public override void Check() => Need(What, "what happened", 2000);
}
