namespace Spoolwright.Practice.Deck;

/// <summary>Bounds of what a fault may be.</summary>
internal static class Faults
{
    /// <summary>Throws, naming the fault and its value, when it is not a number above 0.</summary>
    public static void Positive(string name, double value)
    {
        if (!(value > 0) || !double.IsFinite(value))
            throw new ArgumentOutOfRangeException(name, value, $"{name} must be above 0.");
    }

    /// <summary>Throws, naming the fault and its value, when it is not a number within its bounds (ends included).</summary>
    public static void InRange(string name, double value, double from, double to)
    {
        if (!(value >= from) || !(value <= to))
            throw new ArgumentOutOfRangeException(name, value, $"{name} must lie from {from} to {to}.");
    }
}
