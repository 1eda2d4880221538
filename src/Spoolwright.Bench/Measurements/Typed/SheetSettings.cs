using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Units;

namespace Spoolwright.Bench.Measurements.Typed;

/// <summary>What is known beside a sheet of readings; null means not stated.</summary>
public sealed record SheetSettings
{
    /// <summary>Nothing stated.</summary>
    public static readonly SheetSettings None = new();

    /// <summary>The gauges that were used, one of a kind.</summary>
    public IReadOnlyList<GaugeCurve> Gauges { get; init; } = [];

    public DeckProfile? Profile { get; init; }

    /// <summary>Direction of every row that does not say its own.</summary>
    public Direction? Direction { get; init; }

    /// <summary>Nominal tape speed of the play rows, cm/s.</summary>
    public double? SpeedCmPerS { get; init; }

    public string? TapeSetting { get; init; }

    /// <summary>The unit that forces (or torques) are told in beside gf (or g·cm); null: as they were typed, else N (or mN·m).</summary>
    public Unit? Unit { get; init; }
}
