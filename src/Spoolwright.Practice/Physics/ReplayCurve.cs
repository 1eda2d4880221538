using System.Numerics;
using Spoolwright.Practice.Deck;

namespace Spoolwright.Practice.Physics;

/// <summary>A replay equalization by its two time constants, µs; bass null: none (infinite).</summary>
/// <param name="TrebleMicroseconds">t1: above 1/(2πt1) the recorded flux falls.</param>
/// <param name="BassMicroseconds">t2: below 1/(2πt2) the recorded flux rises; null: it does not.</param>
public sealed record ReplayCurve(double TrebleMicroseconds, double? BassMicroseconds)
{
    /// <summary>
    /// What the replay amplifier makes of constant flux through an ideal head, size and phase:
    /// (1 + jωt1)·jωt2/(1 + jωt2), the reverse of the flux that the standards ask for on the tape. [IEC60094-1:1981]
    /// </summary>
    public Complex Replay(double hertz)
    {
        var w = 2e-6 * Math.PI * hertz;
        var treble = new Complex(1, w * TrebleMicroseconds);
        if (BassMicroseconds is not { } bass)
            return treble;
        var low = new Complex(0, w * bass);
        return treble * low / (1 + low);
    }

    /// <summary>Recorded flux at a frequency when a flat signal was asked for, as an amplitude. [IEC60094-1:1981]</summary>
    public double Flux(double hertz) => 1 / Replay(hertz).Magnitude;

    /// <summary>Throws when a time constant is not a positive number.</summary>
    internal void Check()
    {
        Faults.Positive(nameof(TrebleMicroseconds), TrebleMicroseconds);
        if (BassMicroseconds is { } bass)
            Faults.Positive(nameof(BassMicroseconds), bass);
    }
}
