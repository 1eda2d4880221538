using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Units;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Measurements.Typed;

/// <summary>Turns the rows of a sheet into figures, through the gauges' curves where there are any, and gathers what has to be said of
/// them.</summary>
internal sealed class GaugeReader(BenchSheet sheet, SheetSettings settings)
{
    private readonly List<Note> notes = [];

    /// <summary>What was noted so far, each once.</summary>
    public IReadOnlyList<Note> Notes => notes;

    /// <summary>Says of two readings that they tell next to nothing of their scatter: Student's factor is 12.7 there.</summary>
    public void NoteFew(int readings, string place)
    {
        if (readings == 2)
            Note(
                Signal.Note.Hint(
                    "few-repeats",
                    $"{(place.Length > 0 ? place + ": " : "")}two readings say little of how they scatter, so their uncertainty is large; take three or more, or one with its own uncertainty"
                )
            );
    }

    public void Note(Note note)
    {
        if (!notes.Contains(note))
            notes.Add(note);
    }

    /// <summary>The figure of one row, in gf or g·cm as it was read.</summary>
    /// <param name="row">The row.</param>
    /// <param name="ofForce">The kind of gauge that its forces are read with; torques are read with a torque gauge.</param>
    /// <param name="place">Where, for messages.</param>
    public TypedFigure Figure(SheetRow row, GaugeKind ofForce, string place)
    {
        var isTorque = row.Readings[0].Unit.Dimension == Dimension.Torque;
        var kind = isTorque ? GaugeKind.Torque : ofForce;
        var unit = isTorque ? Unit.GramForceCentimetre : Unit.GramForce;
        return settings.Gauges.FirstOrDefault(g => g.Gauge.Kind == kind) is { } curve
            ? ByCurve(row, curve, unit, place)
            : Plain(row, kind, unit, place);
    }

    /// <summary>Radius of a row: as measured, else by how full the reel was, else null.</summary>
    public TypedRadius? Radius(SheetRow row)
    {
        if (row.RadiusMm is { } mm)
            return new TypedRadius(mm, row.RadiusUncertaintyMm ?? TypedRadius.RulerMm);
        return row.Fill is { } fill ? OfFill(fill) : null;
    }

    /// <summary>Radius of a reel filled so, by the sheet's or the profile's reels.</summary>
    public TypedRadius? OfFill(ReelFill fill)
    {
        var reel = settings.Profile?.RotatingParts.FirstOrDefault(p =>
            p.Kind == Decks.RotatingPartKind.SupplyReel && p.FullRadiusMm is not null
        );
        var (hub, full) = (sheet.HubRadiusMm ?? reel?.HubRadiusMm, sheet.FullRadiusMm ?? reel?.FullRadiusMm);
        if (hub is not { } r || full is not { } big || big <= r)
            return null;
        var mm = fill switch
        {
            ReelFill.Full => big,
            ReelFill.Empty => r,
            _ => Tape.Winding.EqualPacksRadiusMm(r, big),
        };
        return new TypedRadius(mm, TypedRadius.ByEyeMm, FromFill: true);
    }

    private TypedFigure ByCurve(SheetRow row, GaugeCurve curve, Unit unit, string place)
    {
        var gauge = curve.Gauge;
        CheckTape(gauge);
        GaugeFigure figure;
        try
        {
            figure = curve.Read([.. row.Readings.Select(a => a.In(gauge.Unit))]);
        }
        catch (CannotMeasureException e)
        {
            throw new CannotMeasureException(e.Code, $"{place}: {e.Message}", e);
        }

        var share = figure.Reading / gauge.ScaleEnd;
        if (share < GaugeCurve.LowOnScale)
        {
            Note(Signal.Note.Warning("low-on-scale", FormattableString.Invariant(
                $"{place}: {figure.Reading:G4} {gauge.Unit.Symbol} is {100 * share:0} % of the scale of \"{gauge.Name}\"; read near its middle: a scale that ends at about {Round(2 * figure.Value):G4} {gauge.Unit.Symbol} suits")));
        }

        if (figure.ScattersMore)
            Note(
                Signal.Note.Warning(
                    "unsteady",
                    $"{place}: the readings scatter by more than twice what the gauge does; the deck itself is unsteady there"
                )
            );
        var scale = gauge.Unit.Si / unit.Si;
        return new TypedFigure(
            figure.Value * scale,
            unit,
            [.. figure.Parts.Select(p => p with { Expanded = p.Expanded * scale })],
            How(curve)
        )
        {
            Gauge = figure,
            Scale = scale,
            TypedUnit = row.Readings[0].Unit,
        };
    }

    private TypedFigure Plain(SheetRow row, GaugeKind kind, Unit unit, string place)
    {
        double[] read = [.. row.Readings.Select(a => a.In(unit))];
        var mean = read.Average();
        List<UncertaintyPart> parts = [new(TypedFigure.GaugePart, row.Uncertainty?.In(unit))];
        if (read.Length > 1)
        {
            var variance = read.Sum(r => (r - mean) * (r - mean)) / (read.Length - 1);
            parts.Add(new("repeatability", Confidence.Factor(read.Length - 1) * Math.Sqrt(variance / read.Length)));
        }

        NoteFew(read.Length, place);
        if (row.Uncertainty is null)
        {
            Note(Signal.Note.Warning("gauge-not-calibrated",
                $"no file of a {kind.ToString().ToLowerInvariant()} gauge was given: its readings are taken as they stand, their uncertainty is not known, and no limit can be proven; calibrate it (docs/guide/gauges.md)"));
        }

        return new TypedFigure(
            mean,
            unit,
            parts,
            row.Uncertainty is null ? "as the gauge showed it, not calibrated" : "as the gauge showed it, its uncertainty as stated"
        )
        {
            TypedUnit = row.Readings[0].Unit,
        };
    }

    private void CheckTape(Gauge gauge)
    {
        if (gauge.Kind != GaugeKind.Tension || gauge.Tape is not { } calibrated)
            return;
        if (sheet.Tape is not { } threaded)
        {
            Note(Signal.Note.Warning("tape-not-stated",
                $"\"{gauge.Name}\" was calibrated on {calibrated}; which tape was threaded is not stated, and another one's stiffness shifts every reading: say \"tape\" in the sheet, or --tape"));
        }
        else if (!string.Equals(threaded.Trim(), calibrated.Trim(), StringComparison.OrdinalIgnoreCase))
        {
            throw new CannotMeasureException(
                "other-tape",
                $"\"{gauge.Name}\" was calibrated on {calibrated}, but {threaded} was threaded, whose stiffness shifts the reading by an unknown amount; calibrate it on {threaded}"
            );
        }
    }

    private static string How(GaugeCurve curve)
    {
        var gauge = curve.Gauge;
        var on = gauge.Kind == GaugeKind.Tension ? $" on {gauge.Tape}" : "";
        return $"mean of the readings through the curve of \"{gauge.Name}\" ({(curve.IsBent ? "parabola" : "straight line")} over {gauge.Points.Count} {(gauge.Kind == GaugeKind.Torque ? "torques" : "weights")}{on}) [GUM:2008]";
    }

    // To 1, 2 or 5 times a power of ten and their like: scales are made so.
    private static double Round(double value)
    {
        value = Math.Max(value, 1e-3);
        var power = Math.Pow(10, Math.Floor(Math.Log10(value)));
        double[] steps = [1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10];
        return steps.MinBy(s => Math.Abs(s * power - value)) * power;
    }
}
