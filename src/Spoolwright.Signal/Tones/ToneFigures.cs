using System.Numerics;
using Spoolwright.Signal.Flutter;
using Spoolwright.Signal.Levels;

namespace Spoolwright.Signal.Tones;

/// <summary>What was measured of one tone in one channel.</summary>
/// <param name="LevelDb">Level by its rms, a full-scale sine is 0 dB.</param>
/// <param name="LevelNoiseDb">What noise makes uncertain of it, k = 2, dB.</param>
/// <param name="SnrDb">Tone over the noise beside it, reckoned in 20 kHz, dB.</param>
/// <param name="LevelMethodDb">What the tone's own movement of level leaves open where its ends were not looked at, k = 2, dB.</param>
public readonly record struct ChannelFigures(double LevelDb, double LevelNoiseDb, double SnrDb, double LevelMethodDb = 0);

/// <summary>What the weaker channel holds of a tone of the stronger one, as a share of it, in size and phase.</summary>
/// <param name="Share">The weaker channel's part over the stronger channel's tone.</param>
/// <param name="Sigma">Standard deviation of its real and of its imaginary part.</param>
public readonly record struct LeakShare(Complex Share, double Sigma);

/// <summary>What was measured of one tone.</summary>
public sealed record ToneFigures
{
    /// <summary>Mean frequency, Hz.</summary>
    public required double FrequencyHz { get; init; }

    public required ChannelFigures Left { get; init; }

    /// <summary>Null with one channel, or where the right one does not hold the tone.</summary>
    public required ChannelFigures? Right { get; init; }

    /// <summary>What of the balance between the channels is left open by the movement of one against the other, k = 2, dB.</summary>
    public double BalanceMethodDb { get; init; }

    /// <summary>What in the weaker channel is coherent with the stronger one; null where it was not asked for
    /// (<see cref="ToneProbe.ReadsLeak"/>).</summary>
    public LinePower? Leak { get; init; }

    /// <summary>The same leak in size and phase; null where it was not asked for, or noise beside it is not known.</summary>
    public LeakShare? LeakShare { get; init; }

    /// <summary>Phase of right minus left, degrees within ±180, and what noise makes uncertain of it (k = 2); null with one
    /// channel.</summary>
    public required Estimate? Phase { get; init; }

    /// <summary>What the phase's own movement leaves open where the tone's ends were not looked at, k = 2, degrees.</summary>
    public double PhaseMethod { get; init; }

    /// <summary>Spread of the phase's slow movement, 5th to 95th percentile, degrees, noise taken out, with what noise makes uncertain of
    /// it (k = 2); null where too short.</summary>
    public required Estimate? PhaseWander { get; init; }

    /// <summary>Share of the tone left out because its level fell by more than 6 dB.</summary>
    public required double DroppedShare { get; init; }

    /// <summary>Length that counted, s.</summary>
    public required double Seconds { get; init; }
}
