namespace Spoolwright.Bench.Limits;

/// <summary>One step of a response mask: between two frequencies the response must lie between two levels.</summary>
public sealed record MaskStep(double FromHz, double ToHz, double MinDb, double MaxDb);

/// <summary>
/// What a reading of one quantity must keep to, and who says so. Either an interval (<see cref="Min"/>, <see cref="Max"/>, ends included;
/// a figure given as plus or minus becomes both) or, for <c>response</c>, a <see cref="Mask"/> over frequency.
/// </summary>
public sealed record Limit
{
    /// <summary>Quantity id. For flutter the quantity names the detector, so a flutter limit always does.</summary>
    public required string Quantity { get; init; }

    public double? Min { get; init; }

    public double? Max { get; init; }

    public IReadOnlyList<MaskStep> Mask { get; init; } = [];

    /// <summary>Speed it holds for, cm/s; null: every speed.</summary>
    public double? SpeedCmPerS { get; init; }

    public Direction? Direction { get; init; }

    public string? TapeSetting { get; init; }

    /// <summary>Tone it holds for, Hz; null: every tone.</summary>
    public double? FrequencyHz { get; init; }

    /// <summary>Whence the limit: service manual, standard, the shop's own wish. Required: a limit without a source proves
    /// nothing.</summary>
    public required string Source { get; init; }
}
