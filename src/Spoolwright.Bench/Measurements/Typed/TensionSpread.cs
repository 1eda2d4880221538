using Spoolwright.Bench.Tape;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Measurements.Typed;

/// <summary>
/// How a reel's tension spreads from full to empty, beside what a constant torque would make of it: with M = T·r held, tension goes as 1/r.
/// A deck that keeps its torque has exponent 1; one that keeps its tension (by an arm or a servo), 0.
/// </summary>
internal static class TensionSpread
{
    // Radii closer than this tell nothing of how the tension follows them.
    private const double LeastRadiusRatio = 1.1;

    public static IEnumerable<Reading> Of(IReadOnlyList<PlacedTension> rows, GaugeReader reader)
    {
        if (rows.Count < 2)
            yield break;
        var first = rows[0];
        var place = PlaceReadings.Place(
            PlaceReadings.Word(first.Reel), first.Mode == TransportMode.Wind ? "fast wind" : null, PlaceReadings.Word(first.Direction));
        var high = rows.MaxBy(r => r.Tension.Value)!;
        var low = rows.MinBy(r => r.Tension.Value)!;
        yield return PlaceReadings.Made(
            Quantity.TensionSpread, high.Tension.Value - low.Tension.Value, high.Tension.With(1, low.Tension, -1),
            "highest less lowest tension of one reel; what one gauge errs in both alike falls out [GUM:2008]", place, first.Direction);

        var known = rows.Where(r => r.Radius is not null).ToList();
        if (known.Count < 2)
        {
            reader.Note(
                Note.Hint(
                    "no-radii",
                    $"{place}: without radii the spread cannot be held against a constant torque's; give \"radius\" by row, or \"hubRadius\" and \"fullRadius\""
                )
            );
            yield break;
        }

        var inner = known.MinBy(r => r.Radius!.Mm)!;
        var outer = known.MaxBy(r => r.Radius!.Mm)!;
        if (outer.Radius!.Mm < LeastRadiusRatio * inner.Radius!.Mm || known.Exists(r => r.Tension.Value <= 0))
            yield break;
        yield return Expected(known, inner.Radius, outer.Radius, place, first.Direction);
        var exponent = Exponent(inner, outer, place, first.Direction);
        yield return exponent;
        reader.Note(Kind(exponent, place));
    }

    // The mean torque of all rows, and the spread that it makes between the radii. The rows' errors are taken as common to all of them: the
    // larger figure.
    private static Reading Expected(
        IReadOnlyList<PlacedTension> rows,
        TypedRadius inner,
        TypedRadius outer,
        string place,
        Direction? direction
    )
    {
        var torque = rows.Average(r => ReelTension.TorqueGfCm(r.Tension.Value, r.Radius!.Mm));
        var spread = ReelTension.ConstantTorqueSpreadGf(torque, inner.Mm, outer.Mm);
        double? relative = rows.All(r => r.Tension.Uncertainty is not null)
            ? rows.Average(r => r.Tension.Uncertainty!.Value / r.Tension.Value)
            : null;
        var (atInner, atOuter) = (
            ReelTension.TensionGf(torque, inner.Mm) * inner.UncertaintyMm / inner.Mm,
            ReelTension.TensionGf(torque, outer.Mm) * outer.UncertaintyMm / outer.Mm
        );
        return PlaceReadings.Made(
            Quantity.TensionSpreadExpected,
            spread,
            [new("tension", spread * relative), new("radius", Math.Sqrt(atInner * atInner + atOuter * atOuter))],
            "mean torque of the rows over the smallest and largest radius [WINDING]",
            place,
            direction
        );
    }

    private static Reading Exponent(PlacedTension inner, PlacedTension outer, string place, Direction? direction)
    {
        var (near, far) = (inner.Tension, outer.Tension);
        var (r, big) = (inner.Radius!, outer.Radius!);
        var log = Math.Log(big.Mm / r.Mm);
        var value = ReelTension.Exponent(near.Value, r.Mm, far.Value, big.Mm);
        // p = ln(T1/T2)/ln(r2/r1): its sensitivities to both tensions and both radii.
        IReadOnlyList<UncertaintyPart> parts =
        [
            .. near.With(1 / (near.Value * log), far, -1 / (far.Value * log)),
            new("radii", Math.Abs(value) / log * Math.Sqrt(Math.Pow(r.UncertaintyMm / r.Mm, 2) + Math.Pow(big.UncertaintyMm / big.Mm, 2))),
        ];
        return PlaceReadings.Made(
            Quantity.TensionExponent,
            value,
            parts,
            "p, where tension goes as 1/radius^p, between the smallest and largest radius [WINDING]",
            place,
            direction
        );
    }

    private static Note Kind(Reading exponent, string place)
    {
        if (exponent.Uncertainty is not { } u)
            return Note.Hint(
                "reel-drive",
                $"{place}: exponent {exponent.Value:0.00}; 1 would be constant torque, 0 constant tension; how sure it is is not known"
            );
        var torque = Math.Abs(exponent.Value - 1) <= u;
        var tension = Math.Abs(exponent.Value) <= u;
        return (torque, tension) switch
        {
            (true, false) => Note.Hint("reel-drive", $"{place}: the tension follows the radius as a constant torque makes it"),
            (false, true) => Note.Hint("reel-drive", $"{place}: the tension does not follow the radius, as where an arm or servo holds it"),
            (true, true) => Note.Hint(
                "reel-drive",
                $"{place}: constant torque and constant tension cannot be told apart by these readings"
            ),
            _ => Note.Warning(
                "reel-drive",
                $"{place}: exponent {exponent.Value:0.00} ± {u:0.00} is neither constant torque (1) nor constant tension (0): look for a dragging brake or bearing, a clutch that changes with its load, or a regulator that does not hold"
            ),
        };
    }
}
