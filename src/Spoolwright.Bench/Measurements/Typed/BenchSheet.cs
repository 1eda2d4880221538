using Spoolwright.Bench.Units;

namespace Spoolwright.Bench.Measurements.Typed;

/// <summary>Which reel by what it does, which changes sides with the direction.</summary>
public enum ReelRole
{
    /// <summary>Gives the tape.</summary>
    Supply,

    /// <summary>Takes the tape.</summary>
    TakeUp,
}

/// <summary>Which reel by where it stands, facing the deck.</summary>
public enum ReelSide
{
    /// <summary>The left one: supply when running forward.</summary>
    Left,

    /// <summary>The right one.</summary>
    Right,
}

/// <summary>How much tape the reel holds.</summary>
public enum ReelFill
{
    /// <summary>All of it.</summary>
    Full,

    /// <summary>As much as the other reel.</summary>
    Half,

    /// <summary>Next to nothing: the hub.</summary>
    Empty,
}

/// <summary>What the deck did.</summary>
public enum TransportMode
{
    /// <summary>Playing.</summary>
    Play,

    /// <summary>Winding fast.</summary>
    Wind,
}

/// <summary>Which way a braked reel was turned by hand.</summary>
public enum BrakeTurn
{
    /// <summary>As the tape comes off it: the brake of the reel that trails.</summary>
    Unwind,

    /// <summary>As the tape goes onto it: the brake of the reel that leads.</summary>
    Wind,
}

/// <summary>One place read with a gauge or stopwatch, once or several times.</summary>
public sealed record SheetRow
{
    public ReelRole? Reel { get; init; }

    /// <summary>For brakes.</summary>
    public ReelSide? Side { get; init; }

    public ReelFill? Fill { get; init; }

    public Direction? Direction { get; init; }

    public TransportMode Mode { get; init; } = TransportMode.Play;

    /// <summary>For brakes.</summary>
    public BrakeTurn? Turn { get; init; }

    /// <summary>For the pinch roller: what told that it was lifted.</summary>
    public string? Criterion { get; init; }

    /// <summary>Radius at which the force acts: of the tape, or of the string on the hub, mm.</summary>
    public double? RadiusMm { get; init; }

    /// <summary>Expanded uncertainty of it, mm; null: <see cref="Typed.TypedRadius.RulerMm"/>.</summary>
    public double? RadiusUncertaintyMm { get; init; }

    /// <summary>For a torque: radius of the tape whose tension it makes, mm.</summary>
    public double? TapeRadiusMm { get; init; }

    /// <summary>What was read; one or more, all of one dimension.</summary>
    public required IReadOnlyList<Amount> Readings { get; init; }

    /// <summary>Expanded uncertainty (k = 2) of one reading, where no gauge file tells it.</summary>
    public Amount? Uncertainty { get; init; }
}

/// <summary>One stop out of fast wind, as it was seen.</summary>
/// <param name="Direction">Which way it ran.</param>
/// <param name="Fill">How full the supply reel was; null: not stated.</param>
/// <param name="Loop">A loop was thrown.</param>
/// <param name="Stretch">The tape was stretched or edge-curled.</param>
/// <param name="Time">From the key to rest; null: not timed.</param>
public sealed record StopRow(Direction? Direction, ReelFill? Fill, bool Loop, bool Stretch, Amount? Time);

/// <summary>What the tape and the wind are, for the time to expect.</summary>
public sealed record WindFacts
{
    /// <summary>Length of tape, m.</summary>
    public double? LengthM { get; init; }

    /// <summary>Thickness of a turn, µm.</summary>
    public double? ThicknessMicrometres { get; init; }

    /// <summary>Steady rate of the driven reel, turns per second.</summary>
    public double? RateHz { get; init; }

    /// <summary>Steady speed of the tape, m/s.</summary>
    public double? SpeedMPerS { get; init; }
}

/// <summary>A sheet of readings from gauges and stopwatch, as somebody wrote it at the bench.</summary>
public sealed record BenchSheet
{
    /// <summary>Kind of tape that was threaded; null: not stated.</summary>
    public string? Tape { get; init; }

    /// <summary>Radius of the empty hub, mm.</summary>
    public double? HubRadiusMm { get; init; }

    /// <summary>Radius of the tape on the full reel, mm.</summary>
    public double? FullRadiusMm { get; init; }

    public WindFacts Wind { get; init; } = new();

    public IReadOnlyList<SheetRow> Tension { get; init; } = [];

    public IReadOnlyList<SheetRow> Torque { get; init; } = [];

    public IReadOnlyList<SheetRow> Brakes { get; init; } = [];

    public IReadOnlyList<StopRow> Stops { get; init; } = [];

    public IReadOnlyList<SheetRow> WindTime { get; init; } = [];

    public IReadOnlyList<SheetRow> PinchForce { get; init; } = [];
}
