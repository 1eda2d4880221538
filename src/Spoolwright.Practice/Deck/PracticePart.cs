namespace Spoolwright.Practice.Deck;

/// <summary>Kinds of part that turn, by what makes them turn.</summary>
public enum PracticePartKind
{
    /// <summary>Drives the tape by its surface.</summary>
    Capstan,

    /// <summary>Presses the tape to the capstan and is turned by it.</summary>
    PinchRoller,

    /// <summary>The reel the tape leaves; its radius shrinks.</summary>
    SupplyReel,

    /// <summary>The reel the tape fills; its radius grows.</summary>
    TakeUpReel,

    /// <summary>A motor's shaft.</summary>
    Motor,

    /// <summary>A belt, moved by a pulley on another part.</summary>
    Belt,

    /// <summary>A roller turned by the tape.</summary>
    Idler,
}

/// <summary>One wave of the speed for a whole number of waves a turn.</summary>
/// <param name="Number">Waves a turn, from 1.</param>
/// <param name="PercentPeak">Height of the wave, % of speed, peak.</param>
/// <param name="PhaseDegrees">Phase at the tape's beginning, as a sine.</param>
public sealed record PartHarmonic(int Number, double PercentPeak, double PhaseDegrees = 0);

/// <summary>
/// A part that turns and what it does to the speed. Which dimension counts hangs on the kind: a diameter for what touches the tape,
/// <see cref="TurnsPerCapstanTurn"/> or <see cref="RateHz"/> for a motor, length and pulley for a belt; a reel has the tape's own.
/// </summary>
public sealed record PracticePart
{
    public required string Name { get; init; }

    public required PracticePartKind Kind { get; init; }

    /// <summary>Diameter at the tape, mm (capstan, pinch roller, idler).</summary>
    public double? DiameterMm { get; init; }

    /// <summary>Turns for one turn of the capstan (a motor that drives it).</summary>
    public double? TurnsPerCapstanTurn { get; init; }

    /// <summary>Turns a second whatever the tape does (a motor locked to the mains).</summary>
    public double? RateHz { get; init; }

    /// <summary>Length of a belt, mm.</summary>
    public double? BeltLengthMm { get; init; }

    /// <summary>Diameter of the pulley that moves the belt, mm.</summary>
    public double? PulleyDiameterMm { get; init; }

    /// <summary>Name of the part the pulley sits on.</summary>
    public string? PulleyOn { get; init; }

    /// <summary>How far the axis stands off the middle, µm; half of what a dial gauge shows in one turn.</summary>
    public double EccentricityUm { get; init; }

    /// <summary>How much of e/r reaches the tape: 1 for a capstan, a tenth or less for a soft roller.</summary>
    public double Coupling { get; init; } = 1;

    /// <summary>Waves beside the one of the eccentricity: dirt, a flat, an oval.</summary>
    public IReadOnlyList<PartHarmonic> Harmonics { get; init; } = [];

    /// <summary>Direction it works in; null: both.</summary>
    public TapeDirection? Direction { get; init; }

    /// <summary>Every wave it puts on the speed in one turn: the eccentricity's e/r as the first, and the others.</summary>
    public IEnumerable<PartHarmonic> Waves()
    {
        if (EccentricityUm != 0 && DiameterMm is { } diameter)
            yield return new PartHarmonic(1, 100 * Coupling * EccentricityUm / (diameter * 500));
        foreach (var harmonic in Harmonics)
            yield return harmonic;
    }

    internal void Check()
    {
        Faults.InRange(nameof(EccentricityUm), EccentricityUm, -1000, 1000);
        Faults.InRange(nameof(Coupling), Coupling, 0, 2);
        if (DiameterMm is { } diameter)
            Faults.InRange(nameof(DiameterMm), diameter, 0.1, 1000);
        foreach (var harmonic in Harmonics)
        {
            Faults.InRange(nameof(PartHarmonic.Number), harmonic.Number, 1, 1000);
            Faults.InRange(nameof(PartHarmonic.PercentPeak), harmonic.PercentPeak, -20, 20);
        }
    }
}
