namespace Spoolwright.Bench.Controls;

/// <summary>What kind of control it is, so far as that says what turning it does.</summary>
public enum ControlKind
{
    /// <summary>Nothing is known of it.</summary>
    Other,

    /// <summary>Screw that tilts a head.</summary>
    AzimuthScrew,

    /// <summary>Trimmer of playback level.</summary>
    PlaybackLevel,

    /// <summary>Trimmer of playback equalization.</summary>
    PlaybackEqualization,

    /// <summary>Trimmer of record bias.</summary>
    Bias,

    /// <summary>Trimmer of record level.</summary>
    RecordLevel,

    /// <summary>Trimmer of record equalization.</summary>
    RecordEqualization,

    /// <summary>Trimmer of tape speed.</summary>
    Speed,
}

/// <summary>One thing that can be turned.</summary>
public sealed record Control
{
    /// <summary>What the person calls it.</summary>
    public required string Name { get; init; }

    /// <summary>What its turning is told in.</summary>
    public required TurnUnit Unit { get; init; }

    /// <summary>Lower end of where it may stand, in <see cref="Unit"/>: an end stop, or as far as the person will let it go.</summary>
    public required double From { get; init; }

    /// <summary>Upper end, above <see cref="From"/>.</summary>
    public required double To { get; init; }

    /// <summary>Where it stood when the first readings were taken.</summary>
    public required double Start { get; init; }

    /// <summary>What kind it is.</summary>
    public ControlKind Kind { get; init; }

    /// <summary>
    /// The way it is turned last before a reading: 1 clockwise (up), −1 the other. Targets are always approached from the same side, so
    /// that play in the thread is taken up alike (common practice, no source).
    /// </summary>
    public int Approach { get; init; } = 1;

    /// <summary>Most that a change of direction may lose, in <see cref="Unit"/>; null: not known, a twentieth of the range is allowed
    /// for.</summary>
    public double? MostBacklash { get; init; }

    /// <summary>Quantities that the person knows to rise when it is turned clockwise (up).</summary>
    public IReadOnlyList<string> Raises { get; init; } = [];

    /// <summary>Quantities that the person knows to fall when it is turned clockwise (up).</summary>
    public IReadOnlyList<string> Lowers { get; init; } = [];

    /// <summary>Width of its range.</summary>
    internal double Span => To - From;

    /// <summary>Backlash allowed for, in <see cref="Unit"/>.</summary>
    internal double AllowedBacklash => MostBacklash ?? Span / 20;

    internal static void Check(Control control)
    {
        if (!(double.IsFinite(control.From) && double.IsFinite(control.To) && control.From < control.To))
            throw new ArgumentOutOfRangeException(
                nameof(control),
                control.To,
                $"{control.Name}: the range must run upwards, from {control.From}"
            );
        if (!(control.Start >= control.From && control.Start <= control.To))
            throw new ArgumentOutOfRangeException(
                nameof(control),
                control.Start,
                $"{control.Name}: it must start within its range, {control.From} to {control.To}"
            );
        if (control.Approach is not (1 or -1))
            throw new ArgumentOutOfRangeException(nameof(control), control.Approach, $"{control.Name}: the approach is 1 or −1");
        if (control.MostBacklash is { } most && !(most >= 0 && most <= control.Span / 2))
            throw new ArgumentOutOfRangeException(nameof(control), most, $"{control.Name}: backlash lies between 0 and half of the range");
    }
}
