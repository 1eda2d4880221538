namespace Spoolwright.Bench.Controls;

/// <summary>What is expected of a control before it is turned: how much it moves a quantity over its whole range, and which way if that is
/// known.</summary>
/// <param name="AcrossRange">Size of the effect across the range, in the quantity's unit, above 0. Right within a factor of five or
/// so.</param>
/// <param name="Sign">1 or −1 where clockwise is known to raise or lower it; 0: not known.</param>
/// <param name="Basis">Whence: <c>stated</c> by the person, the <c>kind</c> of control, or the <c>target</c> alone.</param>
public sealed record ExpectedEffect(double AcrossRange, int Sign, string Basis);

/// <summary>
/// Prior knowledge of effects, by kind of control. The sizes are common practice, no source: usual trimmers of decks of this class, right
/// within a factor of five. They set the first turn and are forgotten as soon as readings say better. Which way is clockwise is never
/// assumed.
/// </summary>
public static class ControlPriors
{
    // Pitch 0.5 mm under a base plate 15 mm wide tilts a head by 33 mrad a turn; tracks 2 to 4 mm apart at 19 cm/s: some 500 µs a turn.
    private const double SkewPerTurnMicroseconds = 500;
    private const double AnglePerTurnArcmin = 115;

    /// <summary>What this control is expected to do to that target.</summary>
    /// <param name="control">The control.</param>
    /// <param name="target">The target.</param>
    /// <param name="missing">How far the target's value is off as found, in its unit; where nothing else is known, the range is taken to
    /// cover it three times.</param>
    public static ExpectedEffect Of(Control control, TurnTarget target, double missing)
    {
        ArgumentNullException.ThrowIfNull(control);
        ArgumentNullException.ThrowIfNull(target);
        var sign =
            control.Raises.Contains(target.Quantity, StringComparer.Ordinal) ? 1
            : control.Lowers.Contains(target.Quantity, StringComparer.Ordinal) ? -1
            : 0;
        var basis = sign != 0 ? "stated" : "kind";
        var width = double.IsFinite(target.HalfWidth) ? target.HalfWidth : 0;
        var unknown = Math.Max(3 * Math.Abs(missing), Math.Max(10 * width, 1e-6));
        if (control.Kind == ControlKind.Other)
            return new ExpectedEffect(unknown, sign, sign != 0 ? "stated" : "target");
        if (ByKind(control, target) is { } size)
            return new ExpectedEffect(size, sign, basis);
        // A control of known kind that has no business with the quantity: a trace of it at most, until readings say otherwise.
        return sign != 0 ? new ExpectedEffect(unknown, sign, basis) : new ExpectedEffect(Math.Max(width, unknown / 10), 0, "none");
    }

    private static double? ByKind(Control control, TurnTarget target)
    {
        var turns = control.Unit.PerTurn is { } perTurn ? control.Span / perTurn : 1;
        var treble = target.FrequencyHz is not { } hz || hz >= 4000;
        return (control.Kind, target.Quantity) switch
        {
            (ControlKind.AzimuthScrew, "time-skew" or "record-time-skew") => SkewPerTurnMicroseconds * turns,
            (ControlKind.AzimuthScrew, "azimuth-angle") => AnglePerTurnArcmin * turns,
            (ControlKind.AzimuthScrew, "phase") => 360e-6 * SkewPerTurnMicroseconds * turns * (target.FrequencyHz ?? 1000),
            (
                ControlKind.PlaybackLevel
                    or ControlKind.RecordLevel,
                "tone-level"
                    or "playback-level"
                    or "output-level"
                    or "channel-balance"
            ) => 12,
            (ControlKind.PlaybackEqualization, "response" or "treble-tilt" or "response-max" or "response-min") when treble => 10,
            (ControlKind.RecordEqualization, "response" or "treble-tilt" or "response-max" or "response-min" or "tone-level") when treble =>
                10,
            // By its root: the model works on that, see DropScale. From 4 dB short of the peak to 6 dB past it.
            (ControlKind.Bias, var of) when of == Quantity.Overbias.Id => 4.5,
            (ControlKind.Bias, "response" or "treble-tilt" or "tone-level" or "response-max" or "response-min") => treble ? 12 : 4,
            (ControlKind.Bias, "third-harmonic" or "thd") => 2,
            (ControlKind.RecordLevel, "third-harmonic" or "thd") => 4,
            (ControlKind.Speed, "speed-error") => 6,
            _ => null,
        };
    }
}
