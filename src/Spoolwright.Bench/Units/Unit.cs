namespace Spoolwright.Bench.Units;

/// <summary>What kind of thing an amount is; amounts of different kinds are never converted into each other.</summary>
public enum Dimension
{
    /// <summary>Force; a mass hung on a string is told by the force it pulls with.</summary>
    Force,

    /// <summary>Torque.</summary>
    Torque,

    /// <summary>Length.</summary>
    Length,

    /// <summary>Time.</summary>
    Time,

    /// <summary>Turns in a time.</summary>
    Rate,

    /// <summary>Speed.</summary>
    Speed,
}

/// <summary>A unit that people type and read.</summary>
/// <param name="Symbol">As printed.</param>
/// <param name="Dimension">What it measures.</param>
/// <param name="Si">How many SI units (N, N·m, m, s, 1/s, m/s) one of it is.</param>
public sealed record Unit(string Symbol, Dimension Dimension, double Si)
{
    /// <summary>Standard acceleration of free fall, m/s², exact by definition [SI:2019].</summary>
    public const double StandardGravity = 9.80665;

    /// <summary>Avoirdupois pound, kg, exact by definition [NIST-SP811:2008]; the ounce is its sixteenth, 28.349523125 g.</summary>
    public const double PoundKg = 0.45359237;

    /// <summary>Inch, m, exact by definition [NIST-SP811:2008].</summary>
    public const double InchM = 0.0254;

    private const double OunceForceN = PoundKg / 16 * StandardGravity;

    public static readonly Unit GramForce = new("gf", Dimension.Force, StandardGravity / 1000);
    public static readonly Unit KilogramForce = new("kgf", Dimension.Force, StandardGravity);
    public static readonly Unit Newton = new("N", Dimension.Force, 1);
    public static readonly Unit Centinewton = new("cN", Dimension.Force, 0.01);
    public static readonly Unit Millinewton = new("mN", Dimension.Force, 0.001);
    public static readonly Unit OunceForce = new("oz", Dimension.Force, OunceForceN);
    public static readonly Unit PoundForce = new("lb", Dimension.Force, PoundKg * StandardGravity);

    public static readonly Unit GramForceCentimetre = new("g·cm", Dimension.Torque, StandardGravity * 1e-5);
    public static readonly Unit KilogramForceCentimetre = new("kg·cm", Dimension.Torque, StandardGravity * 0.01);
    public static readonly Unit NewtonMetre = new("N·m", Dimension.Torque, 1);
    public static readonly Unit NewtonCentimetre = new("N·cm", Dimension.Torque, 0.01);
    public static readonly Unit MillinewtonMetre = new("mN·m", Dimension.Torque, 0.001);
    public static readonly Unit OunceForceInch = new("oz·in", Dimension.Torque, OunceForceN * InchM);

    public static readonly Unit Metre = new("m", Dimension.Length, 1);
    public static readonly Unit Centimetre = new("cm", Dimension.Length, 0.01);
    public static readonly Unit Millimetre = new("mm", Dimension.Length, 0.001);
    public static readonly Unit Micrometre = new("µm", Dimension.Length, 1e-6);
    public static readonly Unit Inch = new("in", Dimension.Length, InchM);
    public static readonly Unit Mil = new("mil", Dimension.Length, InchM / 1000);
    public static readonly Unit Foot = new("ft", Dimension.Length, 12 * InchM);

    public static readonly Unit Second = new("s", Dimension.Time, 1);
    public static readonly Unit Millisecond = new("ms", Dimension.Time, 0.001);
    public static readonly Unit Minute = new("min", Dimension.Time, 60);

    public static readonly Unit PerSecond = new("1/s", Dimension.Rate, 1);
    public static readonly Unit PerMinute = new("rpm", Dimension.Rate, 1 / 60.0);

    public static readonly Unit MetrePerSecond = new("m/s", Dimension.Speed, 1);
    public static readonly Unit CentimetrePerSecond = new("cm/s", Dimension.Speed, 0.01);
    public static readonly Unit InchPerSecond = new("in/s", Dimension.Speed, InchM);

    /// <summary>Every unit known.</summary>
    public static IReadOnlyList<Unit> All { get; } =
    [
        GramForce, KilogramForce, Newton, Centinewton, Millinewton, OunceForce, PoundForce,
        GramForceCentimetre, KilogramForceCentimetre, NewtonMetre, NewtonCentimetre, MillinewtonMetre, OunceForceInch,
        Metre, Centimetre, Millimetre, Micrometre, Inch, Mil, Foot,
        Second, Millisecond, Minute, PerSecond, PerMinute, MetrePerSecond, CentimetrePerSecond, InchPerSecond,
    ];

    // What people write beside the symbols themselves. A gram on a force scale is the gram-force; M and m are never taken for each other.
    private static readonly Dictionary<string, Unit> Spellings = new(StringComparer.Ordinal)
    {
        ["g"] = GramForce,
        ["gr"] = GramForce,
        ["gram"] = GramForce,
        ["grams"] = GramForce,
        ["p"] = GramForce,
        ["pond"] = GramForce,
        ["kg"] = KilogramForce,
        ["kp"] = KilogramForce,
        ["n"] = Newton,
        ["newton"] = Newton,
        ["cn"] = Centinewton,
        ["ozf"] = OunceForce,
        ["ounce"] = OunceForce,
        ["ounces"] = OunceForce,
        ["lbf"] = PoundForce,
        ["lbs"] = PoundForce,
        ["gcm"] = GramForceCentimetre,
        ["gf·cm"] = GramForceCentimetre,
        ["gfcm"] = GramForceCentimetre,
        ["p·cm"] = GramForceCentimetre,
        ["pcm"] = GramForceCentimetre,
        ["cm·g"] = GramForceCentimetre,
        ["kgcm"] = KilogramForceCentimetre,
        ["kgf·cm"] = KilogramForceCentimetre,
        ["kgfcm"] = KilogramForceCentimetre,
        ["kp·cm"] = KilogramForceCentimetre,
        ["Nm"] = NewtonMetre,
        ["Ncm"] = NewtonCentimetre,
        ["mNm"] = MillinewtonMetre,
        ["ozin"] = OunceForceInch,
        ["ozf·in"] = OunceForceInch,
        ["ozfin"] = OunceForceInch,
        ["in·oz"] = OunceForceInch,
        ["inoz"] = OunceForceInch,
        ["um"] = Micrometre,
        ["μm"] = Micrometre,
        ["\""] = Inch,
        ["inch"] = Inch,
        ["inches"] = Inch,
        ["feet"] = Foot,
        ["'"] = Foot,
        ["sec"] = Second,
        ["seconds"] = Second,
        ["minutes"] = Minute,
        ["/s"] = PerSecond,
        ["rps"] = PerSecond,
        ["Hz"] = PerSecond,
        ["1/min"] = PerMinute,
        ["/min"] = PerMinute,
        ["ips"] = InchPerSecond,
    };

    /// <summary>The unit that somebody wrote, or null. Any of <c>· * - .</c> or a space may stand between the two units of a
    /// torque.</summary>
    public static Unit? Find(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var plain = string.Join('·', text.Split(['·', '⋅', '∙', '*', '-', '.', ' ', '\u00A0'], StringSplitOptions.RemoveEmptyEntries));
        return Spellings.TryGetValue(plain, out var spelled)
            ? spelled
            : All.FirstOrDefault(u => string.Equals(u.Symbol, plain, StringComparison.Ordinal));
    }

    /// <summary>The units of a kind, as a list to read.</summary>
    public static string Known(Dimension dimension) => string.Join(", ", All.Where(u => u.Dimension == dimension).Select(u => u.Symbol));
}
