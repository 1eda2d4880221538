using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;

namespace Spoolwright.Bench.Decks;

/// <summary>The two tracks a deck plays in one direction, and which is which.</summary>
public sealed record DirectionTracks(Direction Direction, TrackBand Left, TrackBand Right);

/// <summary>A replay equalization by its time constants.</summary>
/// <param name="SpeedCmPerS">Tape speed it is used at, cm/s.</param>
/// <param name="Name">Its name in the standard or on the deck.</param>
/// <param name="TrebleMicroseconds">Treble time constant t1, µs.</param>
/// <param name="BassMicroseconds">Bass time constant t2, µs; null: infinite.</param>
public sealed record ProfileEqualization(double SpeedCmPerS, string Name, double TrebleMicroseconds, double? BassMicroseconds);

/// <summary>Kinds of part that turn and leave lines in the flutter.</summary>
public enum RotatingPartKind
{
    /// <summary>Drives the tape by its surface.</summary>
    Capstan,

    /// <summary>Presses the tape to the capstan.</summary>
    PinchRoller,

    /// <summary>The reel the tape leaves.</summary>
    SupplyReel,

    /// <summary>The reel the tape fills.</summary>
    TakeUpReel,

    /// <summary>A motor's shaft, turning at a rate of its own.</summary>
    Motor,

    /// <summary>A belt, by its length and a pulley it runs on.</summary>
    Belt,

    /// <summary>A roller or idler turned by the tape.</summary>
    Idler,
}

/// <summary>
/// A part that turns. Parts turned by the tape or driving it have <see cref="DiameterMm"/>; a motor has <see cref="RateHz"/> or
/// <see cref="TurnsPerCapstanTurn"/>; a belt <see cref="BeltLengthMm"/>, with <see cref="PulleyDiameterMm"/> and <see cref="PulleyOn"/>; a
/// reel a hub and full radius.
/// </summary>
public sealed record RotatingPart
{
    public required string Name { get; init; }

    public required RotatingPartKind Kind { get; init; }

    /// <summary>Diameter at the tape, mm.</summary>
    public double? DiameterMm { get; init; }

    /// <summary>A rate that does not hang on tape speed (a synchronous motor), turns per second.</summary>
    public double? RateHz { get; init; }

    /// <summary>Turns of this part for one turn of the capstan.</summary>
    public double? TurnsPerCapstanTurn { get; init; }

    public double? BeltLengthMm { get; init; }

    /// <summary>Diameter of the pulley that moves the belt, mm.</summary>
    public double? PulleyDiameterMm { get; init; }

    /// <summary>Name of the part that pulley sits on.</summary>
    public string? PulleyOn { get; init; }

    /// <summary>Smallest tape radius of a reel (its hub), mm.</summary>
    public double? HubRadiusMm { get; init; }

    /// <summary>Tape radius of the full reel, mm.</summary>
    public double? FullRadiusMm { get; init; }

    /// <summary>Directions it works in; empty: every one.</summary>
    public IReadOnlyList<Direction> Directions { get; init; } = [];

    /// <summary>Speeds it holds for, cm/s; empty: every one (a motor that changes its rate is listed once a speed).</summary>
    public IReadOnlyList<double> SpeedsCmPerS { get; init; } = [];

    /// <summary>Harmonics of its turn worth looking for, 1 is the turn itself.</summary>
    public int Harmonics { get; init; } = 3;
}

/// <summary>The drop past the bias peak that a tape setting is made for.</summary>
/// <param name="TapeSetting">The setting, of the deck's own list.</param>
/// <param name="SpeedCmPerS">Tape speed, cm/s; null: every one.</param>
/// <param name="FrequencyHz">Tone that it is read at, Hz.</param>
/// <param name="DropDb">dB past the peak, above 0.</param>
/// <param name="Source">Who says so: the service manual, the tape's sheet.</param>
public sealed record ProfileWantedDrop(string TapeSetting, double? SpeedCmPerS, double FrequencyHz, double DropDb, string Source);

/// <summary>A kind of deck: what it does, what turns in it, and the limits it is held to.</summary>
public sealed record DeckProfile
{
    public required string Name { get; init; }

    public required IReadOnlyList<Direction> Directions { get; init; }

    public required IReadOnlyList<double> SpeedsCmPerS { get; init; }

    public IReadOnlyList<string> TapeSettings { get; init; } = [];

    /// <summary>Wanted drops past the bias peak by tape setting; empty where none is known.</summary>
    public IReadOnlyList<ProfileWantedDrop> WantedDrops { get; init; } = [];

    /// <summary>Tracks by direction; a direction not listed has unknown track centres.</summary>
    public IReadOnlyList<DirectionTracks> Tracks { get; init; } = [];

    public IReadOnlyList<ProfileEqualization> Equalizations { get; init; } = [];

    public IReadOnlyList<RotatingPart> RotatingParts { get; init; } = [];

    public IReadOnlyList<Limit> Limits { get; init; } = [];

    /// <summary>The plan that jobs on such decks are laid out by; null: the one that comes with the program.</summary>
    public Plan? Plan { get; init; }

    /// <summary>What such decks must do; null: the list that comes with the program.</summary>
    public CheckList? FunctionChecks { get; init; }
}
