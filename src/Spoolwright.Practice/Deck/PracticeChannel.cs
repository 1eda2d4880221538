using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Deck;

/// <summary>One channel in one direction: its gap on the head and the replay amplifier behind it, with the trimmers on it.</summary>
public sealed record PracticeChannel
{
    /// <summary>The track it plays.</summary>
    public required TrackStrip Track { get; init; }

    /// <summary>Distance of the tape from the gap, µm: dirt, a lifted edge.</summary>
    public double SpacingUm { get; init; }

    /// <summary>How much that distance wanders, µm rms, from 0.5 to 15 Hz. The tape never comes nearer than 0.</summary>
    public double SpacingWanderUmRms { get; init; }

    /// <summary>What wear has added to the gap, µm.</summary>
    public double WearGapUm { get; init; }

    /// <summary>What wear has done to the output at every frequency, dB; a head near its end gains.</summary>
    public double WearOutputDb { get; init; }

    /// <summary>Level trimmer away from right, dB.</summary>
    public double LevelTrimDb { get; init; }

    /// <summary>Treble trimmer away from right, % of the treble time constant; above 0 too bright.</summary>
    public double TrebleTrimPercent { get; init; }

    /// <summary>Bass trimmer away from right, % of the bass time constant; above 0 too much bass. Without such a time constant it turns a
    /// shelf below 100 Hz, 1 dB for 12 %.</summary>
    public double BassTrimPercent { get; init; }

    /// <summary>A resonance of head and cable, dB at its top; a fault that no trimmer cures.</summary>
    public double ResonanceDb { get; init; }

    /// <summary>Where that resonance lies, Hz.</summary>
    public double ResonanceHz { get; init; } = 17000;

    /// <summary>Noise of the amplifier, dB against reference level, rms in 20 kHz.</summary>
    public double NoiseDb { get; init; } = -72;

    /// <summary>Hum, dB against reference level, of the mains frequency and its multiples in turn.</summary>
    public IReadOnlyList<double> HumDb { get; init; } = [];

    /// <summary>Leak from the other channel, dB.</summary>
    public double CrosstalkDb { get; init; } = -60;

    internal void Check()
    {
        Track.Check(nameof(Track));
        Faults.InRange(nameof(SpacingUm), SpacingUm, 0, 200);
        Faults.InRange(nameof(SpacingWanderUmRms), SpacingWanderUmRms, 0, 50);
        Faults.InRange(nameof(WearGapUm), WearGapUm, 0, 50);
        Faults.InRange(nameof(WearOutputDb), WearOutputDb, -40, 10);
        Faults.InRange(nameof(LevelTrimDb), LevelTrimDb, -40, 20);
        Faults.InRange(nameof(TrebleTrimPercent), TrebleTrimPercent, -90, 400);
        Faults.InRange(nameof(BassTrimPercent), BassTrimPercent, -90, 400);
        Faults.InRange(nameof(ResonanceDb), ResonanceDb, -12, 20);
        Faults.InRange(nameof(ResonanceHz), ResonanceHz, 1000, 100000);
        Faults.InRange(nameof(NoiseDb), NoiseDb, -300, 0);
        Faults.InRange(nameof(CrosstalkDb), CrosstalkDb, -300, 0);
        foreach (var hum in HumDb)
            Faults.InRange(nameof(HumDb), hum, -300, 10);
    }
}
