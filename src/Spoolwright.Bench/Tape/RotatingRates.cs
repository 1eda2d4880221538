using Spoolwright.Bench.Decks;

namespace Spoolwright.Bench.Tape;

/// <summary>Present tape radii of the two reels, as they stand in the direction of play.</summary>
/// <param name="SupplyMm">Radius of the reel the tape leaves, mm; null: not known.</param>
/// <param name="TakeUpMm">Radius of the reel the tape fills, mm; null: not known.</param>
public sealed record ReelRadii(double? SupplyMm, double? TakeUpMm);

/// <summary>How fast a part turns: one rate, or a range where a reel's present radius is not known.</summary>
/// <param name="Part">The part.</param>
/// <param name="LowHz">Lowest rate, turns per second.</param>
/// <param name="HighHz">Highest rate; the same as <paramref name="LowHz"/> where it is known.</param>
/// <param name="RelativeTolerance">How far the part may turn from it (slip, creep, wear, a rounded diameter), k = 2, as a fraction.</param>
public sealed record RotatingRate(RotatingPart Part, double LowHz, double HighHz, double RelativeTolerance)
{
    /// <summary>Whether it is only known within a range.</summary>
    public bool IsRange => HighHz > LowHz;

    /// <summary>The rates of a harmonic of the turn, 1 being the turn itself.</summary>
    public (double LowHz, double HighHz) Harmonic(int number) =>
        number >= 1
            ? (number * LowHz, number * HighHz)
            : throw new ArgumentOutOfRangeException(nameof(number), number, "expected 1 or more");
}

/// <summary>Rates of everything that turns in a deck: a part moved by the tape turns v/(πD) times a second.</summary>
public static class RotatingRates
{
    // How far parts turn from their calculated rate, k = 2. Common practice, no source: metal on tape hardly slips; rubber creeps and
    // wears; belts creep, and their working length is not their cut length; a reel's radius is read with a ruler.
    private const double CapstanTolerance = 0.003;
    private const double RollerTolerance = 0.01;
    private const double MotorTolerance = 0.01;
    private const double BeltTolerance = 0.02;
    private const double ReelTolerance = 0.015;

    /// <summary>The rate of every part of the profile that works in this direction at this speed, in the profile's order.</summary>
    /// <param name="profile">The deck.</param>
    /// <param name="direction">Direction of play.</param>
    /// <param name="speedCmPerS">Nominal speed, cm/s.</param>
    /// <param name="radii">Present radii of the reels; a radius that is not given yields a range from full reel to hub.</param>
    /// <param name="speedErrorPercent">Measured speed error, %: parts moved by the tape or moving it turn with it.</param>
    public static IReadOnlyList<RotatingRate> Of(
        DeckProfile profile, Direction direction, double speedCmPerS, ReelRadii? radii = null, double speedErrorPercent = 0)
    {
        ArgumentNullException.ThrowIfNull(profile);
        var speed = Wavelength.Positive(speedCmPerS) * (1 + Wavelength.Finite(speedErrorPercent) / 100);
        Wavelength.Positive(speed, nameof(speedErrorPercent));
        var working = profile.RotatingParts.Where(p => Works(p, direction, speedCmPerS)).ToList();
        return [.. working.Select(p => Rate(p, working, speed, radii)).OfType<RotatingRate>()];
    }

    private static bool Works(RotatingPart part, Direction direction, double speedCmPerS) =>
        (part.Directions.Count == 0 || part.Directions.Contains(direction))
        && (part.SpeedsCmPerS.Count == 0 || TapeSpeed.Find(part.SpeedsCmPerS, speedCmPerS) is not null);

    private static RotatingRate? Rate(RotatingPart part, List<RotatingPart> working, double speedCmPerS, ReelRadii? radii)
    {
        if (part.Kind is RotatingPartKind.SupplyReel or RotatingPartKind.TakeUpReel)
            return Reel(part, speedCmPerS, part.Kind == RotatingPartKind.SupplyReel ? radii?.SupplyMm : radii?.TakeUpMm);
        if (part.Kind == RotatingPartKind.Belt)
            return Belt(part, working, speedCmPerS, radii);
        if (part.RateHz is { } own)
            return new RotatingRate(part, own, own, MotorTolerance);
        if (part.TurnsPerCapstanTurn is { } turns)
        {
            var capstan = working.Find(p => p is { Kind: RotatingPartKind.Capstan, DiameterMm: not null });
            return capstan is null ? null : Single(part, turns * SurfaceHz(capstan.DiameterMm!.Value, speedCmPerS), MotorTolerance);
        }

        if (part.DiameterMm is not { } diameter)
            return null;
        return Single(part, SurfaceHz(diameter, speedCmPerS), part.Kind == RotatingPartKind.Capstan ? CapstanTolerance : RollerTolerance);
    }

    private static RotatingRate? Reel(RotatingPart part, double speedCmPerS, double? radiusMm)
    {
        if (radiusMm is { } present)
            return Single(part, Winding.RateHz(present, speedCmPerS), ReelTolerance);
        if (part.HubRadiusMm is not { } hub || part.FullRadiusMm is not { } full)
            return null;
        return new RotatingRate(part, Winding.RateHz(full, speedCmPerS), Winding.RateHz(hub, speedCmPerS), ReelTolerance);
    }

    // A belt comes round π·Dp·n/L times a second, Dp and n being diameter and rate of a pulley that moves it.
    private static RotatingRate? Belt(RotatingPart part, List<RotatingPart> working, double speedCmPerS, ReelRadii? radii)
    {
        if (part.BeltLengthMm is not { } length || part.PulleyDiameterMm is not { } pulley)
            return null;
        var holder = working.Find(p => p.Name == part.PulleyOn && p.Kind != RotatingPartKind.Belt);
        if (holder is null || Rate(holder, working, speedCmPerS, radii) is not { } moved)
            return null;
        var ratio = Math.PI * pulley / length;
        return new RotatingRate(part, ratio * moved.LowHz, ratio * moved.HighHz, BeltTolerance);
    }

    private static RotatingRate Single(RotatingPart part, double rateHz, double tolerance) => new(part, rateHz, rateHz, tolerance);

    private static double SurfaceHz(double diameterMm, double speedCmPerS) =>
        speedCmPerS * 10 / (Math.PI * Wavelength.Positive(diameterMm));
}
