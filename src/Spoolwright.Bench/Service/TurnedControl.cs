namespace Spoolwright.Bench.Service;

/// <summary>A note that something was turned or bent on a job's deck: what was measured before it may be so no more. The program writes it
/// at the bench.</summary>
public sealed record TurnedControl : BookEntry
{
    public required Guid JobId { get; init; }

    /// <summary>The adjustment, one of <see cref="Doubt.All"/>.</summary>
    public required string What { get; init; }

    /// <summary>The direction that the deck ran in meanwhile.</summary>
    public required Direction Direction { get; init; }

    /// <summary>Its tape speed, cm/s.</summary>
    public required double SpeedCmPerS { get; init; }

    /// <summary>Its tape setting; null: not said.</summary>
    public string? TapeSetting { get; init; }

    public override void Check()
    {
        Hold(Doubt.All.Any(d => d.Adjustment == What), $"there is no adjustment \"{What}\"");
        Hold(SpeedCmPerS is > 0 and <= 200, $"a tape speed of {SpeedCmPerS} cm/s is none");
        AtMost(TapeSetting, "the tape setting", 200);
    }

    /// <summary>As the matrix weighs it.</summary>
    public Adjusted ToAdjusted() => new(What, new Condition(Direction, SpeedCmPerS, TapeSetting), Entered);
}
