namespace Spoolwright.Practice.Deck;

/// <summary>The three record trimmers of a channel in one tape setting, each as far from right as its unit says.</summary>
/// <param name="LevelDb">Record level away from right, dB.</param>
/// <param name="TrebleDb">Record equalization away from right, dB far above its corner.</param>
/// <param name="BiasDb">Bias away from the setting's, dB.</param>
public sealed record RecordTrims(double LevelDb = 0, double TrebleDb = 0, double BiasDb = 0)
{
    internal void Check()
    {
        Faults.InRange(nameof(LevelDb), LevelDb, -40, 20);
        Faults.InRange(nameof(TrebleDb), TrebleDb, -20, 20);
        Faults.InRange(nameof(BiasDb), BiasDb, -20, 12);
    }
}

/// <summary>One channel of a record head and the amplifier before it.</summary>
public sealed record RecordChannel
{
    /// <summary>Trimmers by the name of the tape setting; where a setting is not named they are right.</summary>
    public IReadOnlyDictionary<string, RecordTrims> Trims { get; init; } = new Dictionary<string, RecordTrims>(StringComparer.Ordinal);

    /// <summary>Distance of the tape from the record gap, µm; half as bad as before a replay gap.</summary>
    public double SpacingUm { get; init; }

    /// <summary>What bias reaches the head against what the trimmer asks for, dB: a weak oscillator, a bad trap.</summary>
    public double BiasSupplyDb { get; init; }

    /// <summary>Bias found in the output, dB against reference level, at the bias frequency.</summary>
    public double BiasLeakDb { get; init; } = -300;

    /// <summary>The trimmers in a setting.</summary>
    public RecordTrims In(string setting) => Trims.TryGetValue(setting, out var trims) ? trims : new RecordTrims();

    /// <summary>The same channel with the trimmers of one setting changed.</summary>
    public RecordChannel With(string setting, Func<RecordTrims, RecordTrims> change)
    {
        ArgumentNullException.ThrowIfNull(change);
        return this with { Trims = new Dictionary<string, RecordTrims>(Trims, StringComparer.Ordinal) { [setting] = change(In(setting)) } };
    }

    internal void Check()
    {
        Faults.InRange(nameof(SpacingUm), SpacingUm, 0, 100);
        Faults.InRange(nameof(BiasSupplyDb), BiasSupplyDb, -20, 12);
        Faults.InRange(nameof(BiasLeakDb), BiasLeakDb, -300, 0);
        foreach (var trims in Trims.Values)
            trims.Check();
    }
}

/// <summary>The erase and the record head of one direction.</summary>
public sealed record RecordHead
{
    public RecordChannel Left { get; init; } = new();

    public RecordChannel Right { get; init; } = new();

    /// <summary>Length of the record gap, µm.</summary>
    public double GapUm { get; init; } = 7;

    /// <summary>Tilt of the record gaps, arc minutes, signed as the replay head's.</summary>
    public double AzimuthArcmin { get; init; }

    /// <summary>How far the right record gap stands downstream of the left one, µm.</summary>
    public double GapStaggerUm { get; init; }

    /// <summary>Tape from the record gap to the replay gap, mm.</summary>
    public double ToReplayMm { get; init; } = 32;

    /// <summary>How much the erase head takes off 1 kHz, dB.</summary>
    public double EraseDepthDb { get; init; } = 74;

    /// <summary>How much less it takes off long wavelengths than short ones, dB.</summary>
    public double EraseBassDb { get; init; } = 8;

    /// <summary>What reaches this direction's replay from the tracks of the other beside what spreads through the tape, dB.</summary>
    public double OtherDirectionDb { get; init; } = -66;

    /// <summary>The channel on a side.</summary>
    public RecordChannel Channel(PracticeSide side) => side == PracticeSide.Left ? Left : Right;

    /// <summary>The same head with one channel changed.</summary>
    public RecordHead With(PracticeSide side, Func<RecordChannel, RecordChannel> change)
    {
        ArgumentNullException.ThrowIfNull(change);
        return side == PracticeSide.Left ? this with { Left = change(Left) } : this with { Right = change(Right) };
    }

    internal void Check()
    {
        Left.Check();
        Right.Check();
        Faults.InRange(nameof(GapUm), GapUm, 0.5, 50);
        Faults.InRange(nameof(AzimuthArcmin), AzimuthArcmin, -300, 300);
        Faults.InRange(nameof(GapStaggerUm), GapStaggerUm, -100, 100);
        Faults.InRange(nameof(ToReplayMm), ToReplayMm, 1, 300);
        Faults.InRange(nameof(EraseDepthDb), EraseDepthDb, 0, 120);
        Faults.InRange(nameof(EraseBassDb), EraseBassDb, 0, 40);
        Faults.InRange(nameof(OtherDirectionDb), OtherDirectionDb, -300, 0);
    }
}
