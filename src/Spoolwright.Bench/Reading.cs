namespace Spoolwright.Bench;

/// <summary>Which channel a reading speaks of.</summary>
public enum Channel
{
    /// <summary>Both together: a quantity of the pair or of the tape's motion.</summary>
    Both,

    /// <summary>The left channel.</summary>
    Left,

    /// <summary>The right channel.</summary>
    Right,
}

/// <summary>
/// One part of a reading's uncertainty, as expanded (k = 2) in the reading's unit; null where the part exists but its size is not known.
/// </summary>
/// <param name="Name"><c>noise</c>, <c>method</c>, <c>interface</c>, <c>test-tape</c>, <c>fringing</c>, of a gauge <c>weights</c>,
/// <c>fit</c>, <c>hysteresis</c> …</param>
/// <param name="Expanded">k = 2, in the reading's unit; null: unknown, and said so.</param>
public sealed record UncertaintyPart(string Name, double? Expanded);

/// <summary>
/// One quantity's value with its unit, uncertainty and method. Never edited, only superseded by a later reading.
/// </summary>
public sealed record Reading
{
    /// <summary>The quantity's id, from <see cref="Quantity"/>, such as <c>speed-error</c>.</summary>
    public required string Quantity { get; init; }

    /// <summary>The value, finite, in <see cref="Unit"/>.</summary>
    public required double Value { get; init; }

    /// <summary>The unit as printed: <c>%</c>, <c>dB</c>, <c>dBFS</c>, <c>µs</c>, <c>°</c>, <c>arcmin</c>, <c>1</c> …</summary>
    public required string Unit { get; init; }

    /// <summary>Expanded uncertainty (k = 2) of the value realised in this capture, in the same unit; null where not known.</summary>
    public double? Uncertainty { get; init; }

    /// <summary>
    /// Whether the value is a bound: the quantity is at least this, at k = 2, and nobody can say how much more. Carried by a part named
    /// <c>at-least</c>, so that it is printed and kept with the others.
    /// </summary>
    public bool IsAtLeast => Parts.Any(p => p.Name == AtLeastPart);

    /// <summary>Name of the part that marks a bound; its size is never known.</summary>
    public const string AtLeastPart = "at-least";

    /// <summary>The named parts that <see cref="Uncertainty"/> was made of, unknown ones among them.</summary>
    public IReadOnlyList<UncertaintyPart> Parts { get; init; } = [];

    /// <summary>The channel it speaks of.</summary>
    public Channel Channel { get; init; } = Channel.Both;

    /// <summary>Nominal frequency of the tone (or measured frequency of a flutter line), Hz; null where none applies.</summary>
    public double? FrequencyHz { get; init; }

    /// <summary>How it was measured, with detector, weighting, band and the standard's key.</summary>
    public required string Method { get; init; }

    /// <summary>For a flutter line: the rotating part that makes it, or null where none fits or no profile was given.</summary>
    public string? Part { get; init; }

    /// <summary>For a flutter line with a <see cref="Part"/>: how sure the match is, 0 to 1.</summary>
    public double? Confidence { get; init; }

    /// <summary>What the tone is there for on the test tape (<c>reference</c>, <c>azimuth</c>, <c>response</c>); null where none
    /// applies.</summary>
    public string? Role { get; init; }

    /// <summary>
    /// For a count of one class of several: which, such as <c>10 dB, 5 ms</c>. For a drop from the bias peak: its side, <c>over</c>,
    /// <c>under</c>,
    /// <c>at-peak</c> or <c>side-unknown</c>. Null where none applies.
    /// </summary>
    public string? Class { get; init; }

    /// <summary>For a reading typed in from a gauge: where it was taken, such as <c>supply, full, forward</c>; null where none
    /// applies.</summary>
    public string? Place { get; init; }

    /// <summary>For a reading typed in: the direction it holds for where the sheet has several; null: the condition's.</summary>
    public Direction? Direction { get; init; }

    /// <summary>False where the reading is shown but must not be judged (a tone whose fringing is unknown).</summary>
    public bool Judgeable { get; init; } = true;
}
