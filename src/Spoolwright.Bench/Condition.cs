namespace Spoolwright.Bench;

/// <summary>Which way the tape runs.</summary>
public enum Direction
{
    /// <summary>From the left (supply) reel to the right.</summary>
    Forward,

    /// <summary>From the right reel to the left.</summary>
    Reverse,
}

/// <summary>At which point of the job a reading was taken.</summary>
public enum Mark
{
    /// <summary>Before anything was touched.</summary>
    AsFound,

    /// <summary>First run after cleaning, where the deck could not run as found.</summary>
    FirstRun,

    /// <summary>As the deck leaves the bench.</summary>
    AsLeft,
}

/// <summary>Under what a reading was taken: direction, speed and, where it applies, tape setting.</summary>
/// <param name="Direction">Which way the tape ran.</param>
/// <param name="SpeedCmPerS">Nominal tape speed, cm/s.</param>
/// <param name="TapeSetting">The deck's tape setting where it matters, else null.</param>
public sealed record Condition(Direction Direction, double SpeedCmPerS, string? TapeSetting = null);
