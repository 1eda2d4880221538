namespace Spoolwright.Practice.Deck;

/// <summary>Which way the tape runs past the heads.</summary>
public enum TapeDirection
{
    /// <summary>From the left reel to the right.</summary>
    Forward,

    /// <summary>From the right reel to the left.</summary>
    Reverse,
}

/// <summary>What moves the tape: everything that turns, and everything else that makes the speed unsteady.</summary>
public sealed record PracticeTransport
{
    /// <summary>Parts that turn.</summary>
    public IReadOnlyList<PracticePart> Parts { get; init; } = [];

    /// <summary>Unsteadiness without a period.</summary>
    public IReadOnlyList<SpeedNoise> Noises { get; init; } = [];

    /// <summary>Steady change of speed, % of speed a minute.</summary>
    public double DriftPercentPerMinute { get; init; }

    /// <summary>How far the tape wanders askew between its guides, arc minutes rms.</summary>
    public double WeaveArcminRms { get; init; }

    /// <summary>How fast it wanders: upper end of the band that begins at 0.2 Hz, Hz.</summary>
    public double WeaveToHz { get; init; } = 3;

    internal void Check()
    {
        Faults.InRange(nameof(DriftPercentPerMinute), DriftPercentPerMinute, -20, 20);
        Faults.InRange(nameof(WeaveArcminRms), WeaveArcminRms, 0, 30);
        Faults.InRange(nameof(WeaveToHz), WeaveToHz, 0.3, 100);
        foreach (var part in Parts)
            part.Check();
        foreach (var noise in Noises)
            noise.Check();
    }
}
