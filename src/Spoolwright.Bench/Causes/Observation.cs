namespace Spoolwright.Bench.Causes;

/// <summary>Where a figure or a cause stands; null: not said, so all of them.</summary>
/// <param name="Direction">Direction of play.</param>
/// <param name="Channel">Left or right; null: both, or the tape's motion.</param>
/// <param name="Setting">Tape setting.</param>
/// <param name="SpeedCmPerS">Tape speed, cm/s.</param>
public sealed record CausePlace(Direction? Direction = null, Channel? Channel = null, string? Setting = null, double? SpeedCmPerS = null)
{
    /// <summary>Whether a figure taken there can show what sits here.</summary>
    public bool Holds(CausePlace figure)
    {
        ArgumentNullException.ThrowIfNull(figure);
        return (Direction is null || figure.Direction is null || Direction == figure.Direction)
            && (Channel is null || figure.Channel is null || Channel == figure.Channel)
            && (Setting is null || figure.Setting == Setting)
            && (SpeedCmPerS is null || figure.SpeedCmPerS is null || Tape.TapeSpeed.Same(SpeedCmPerS.Value, figure.SpeedCmPerS.Value));
    }

    /// <summary>The words for it, such as <c>forward, left, normal</c>; empty: the whole deck.</summary>
    public string Words => string.Join(", ", new[]
    {
        Direction is { } d ? Decks.DeckWords.Word(d) : null,
        Channel switch { Bench.Channel.Left => "left", Bench.Channel.Right => "right", _ => null },
        Setting,
        SpeedCmPerS is { } v ? FormattableString.Invariant($"{v:0.###} cm/s") : null,
    }.OfType<string>());
}

/// <summary>One part of a figure's variance that it has in common with others.</summary>
/// <param name="Key">Figures with the same key share it.</param>
/// <param name="Deviation">Standard deviation, in the figure's unit; its sign says whether the share pulls the same way.</param>
public readonly record struct SharedError(string Key, double Deviation);

/// <summary>One figure that causes are weighed by: a reading, or what several readings give together.</summary>
/// <param name="Of">What it is, from <see cref="Observable"/>.</param>
/// <param name="Place">Where it was taken.</param>
/// <param name="FrequencyHz">Frequency of its tone, Hz.</param>
/// <param name="Part">For the line of a turning part: its kind's word.</param>
/// <param name="Value">The figure, in the scale of its kind (the logarithm where that is even).</param>
/// <param name="Deviation">Its own standard uncertainty (k = 1), what is shared left out.</param>
/// <param name="Shared">What of its error it shares.</param>
/// <param name="Shown">The figure as it was read.</param>
/// <param name="Unit">Unit of that.</param>
public sealed record Observation(
    Observable Of,
    CausePlace Place,
    double? FrequencyHz,
    string? Part,
    double Value,
    double Deviation,
    IReadOnlyList<SharedError> Shared,
    double Shown,
    string Unit
)
{
    /// <summary>A plain name, such as <c>response at 10000 Hz, forward, left, 19.05 cm/s</c>.</summary>
    public string Words
    {
        get
        {
            var at = FrequencyHz is { } f && Of.ByFrequency ? FormattableString.Invariant($" at {f:0.##} Hz") : "";
            var part = Part is null ? "" : $" of the {Part.Replace('-', ' ')}";
            return $"{Of.Words}{part}{at}{(Place.Words.Length > 0 ? ", " + Place.Words : "")}";
        }
    }
}
