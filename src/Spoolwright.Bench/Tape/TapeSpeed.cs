namespace Spoolwright.Bench.Tape;

/// <summary>Nominal tape speeds and how near two must lie to be the same one.</summary>
public static class TapeSpeed
{
    // Nominal speeds are written rounded (9.5, 9.53, 9.525): 0.5 % takes them all and keeps every real speed apart.
    private const double SameWithin = 0.005;

    /// <summary>Usual nominal speeds, cm/s, exact from 15/16 to 30 in/s.</summary>
    public static IReadOnlyList<double> Usual { get; } = [2.38125, 4.7625, 9.525, 19.05, 38.1, 76.2];

    /// <summary>Whether two nominal speeds in cm/s are the same, however they were rounded.</summary>
    public static bool Same(double aCmPerS, double bCmPerS) => Math.Abs(aCmPerS - bCmPerS) <= SameWithin * Math.Max(aCmPerS, bCmPerS);

    /// <summary>The speed of <paramref name="speeds"/> that is the same as <paramref name="speedCmPerS"/>, or null.</summary>
    public static double? Find(IEnumerable<double> speeds, double speedCmPerS)
    {
        ArgumentNullException.ThrowIfNull(speeds);
        foreach (var speed in speeds)
        {
            if (Same(speed, speedCmPerS))
                return speed;
        }

        return null;
    }

    /// <summary>The usual speed in cm/s for a figure that looks like inches per second, or null.</summary>
    public static double? FromInches(double figure)
    {
        var speed = figure * 2.54;
        return Find(Usual, figure) is null ? Find(Usual, speed) : null;
    }
}
