using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Live;

/// <summary>One tone of what the bench sends to the deck's input.</summary>
/// <param name="FrequencyHz">Hz.</param>
/// <param name="LevelDb">dB against the level that asks for reference level.</param>
public readonly record struct SentTone(double FrequencyHz, double LevelDb);

/// <summary>
/// Steady tones that the bench sends out while something is turned. Levels are those of common practice (no source): 20 dB under reference,
/// so that neither tape compression nor the record equalization's lift reaches them; reference level itself where level is set.
/// </summary>
/// <param name="Name">How pages and commands know it.</param>
/// <param name="Tones">Sounding together, on both sides alike.</param>
public sealed record SentSignal(string Name, IReadOnlyList<SentTone> Tones)
{
    /// <summary>Names that <see cref="Find"/> knows.</summary>
    public static IReadOnlyList<string> Names { get; } = ["bias", "level", "response"];

    /// <summary>The signal of that name at a tape speed; null: there is none.</summary>
    /// <param name="name">One of <see cref="Names"/>.</param>
    /// <param name="speedCmPerS">Nominal speed, cm/s: slow tapes are biased by a lower tone.</param>
    public static SentSignal? Find(string name, double speedCmPerS)
    {
        var fast = speedCmPerS > 15;
        return name switch
        {
            // 1 kHz beside it tells the side of the peak.
            "bias" => new SentSignal(name, [new(1000, -20), new(BiasHz(speedCmPerS), -20)]),
            "level" => new SentSignal(name, [new(1000, 0)]),
            "response" => new SentSignal(
                name,
                fast
                    ? [new(1000, -20), new(4000, -20), new(10_000, -20), new(14_000, -20)]
                    : [new(1000, -20), new(3150, -20), new(6300, -20), new(10_000, -20)]
            ),
            _ => null,
        };
    }

    /// <summary>The tone that bias is set by, Hz: as the wanted drops of the profiles are told.</summary>
    public static double BiasHz(double speedCmPerS) => TapeSpeed.Same(speedCmPerS, 9.525) || speedCmPerS < 15 ? 6300 : 10_000;

    /// <summary>Level at which a tone is sent, dB against reference; null: it is none of them.</summary>
    public double? LevelOf(double nominalHz)
    {
        foreach (var tone in Tones)
        {
            if (Math.Abs((nominalHz / tone.FrequencyHz) - 1) < 0.03)
                return tone.LevelDb;
        }

        return null;
    }
}
