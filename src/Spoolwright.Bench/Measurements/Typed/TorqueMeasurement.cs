using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Units;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Measurements.Typed;

/// <summary>Torques of the reels, by a torque gauge or by a string pulled off the hub, and the tensions that they make.</summary>
internal static class TorqueMeasurement
{
    private static readonly ReelFill[] Fills = [ReelFill.Full, ReelFill.Half, ReelFill.Empty];

    /// <exception cref="CannotMeasureException">There is no row of torque or brakes, a reading lies outside of the gauge's curve, or a
    /// force has no radius.</exception>
    public static MeasurementResult Measure(BenchSheet sheet, SheetSettings settings)
    {
        if (sheet.Torque.Count == 0 && sheet.Brakes.Count == 0)
            throw new CannotMeasureException(
                "no-rows",
                "the sheet has no \"torque\" rows; write {\"reel\": \"take-up\", \"readings\": [\"300 g·cm\"]}, or give --reading"
            );
        var reader = new GaugeReader(sheet, settings);
        List<Reading> torques = [], tensions = [];
        foreach (var row in sheet.Torque)
        {
            var direction = row.Direction ?? settings.Direction;
            var reel = row.Reel!.Value;
            var place = PlaceReadings.Place(PlaceReadings.Word(reel), PlaceReadings.Word(row.Fill), PlaceReadings.Word(direction));
            var torque = Torque(row, reader, place);
            torques.AddRange(PlaceReadings.Of(ReelQuantities.Torque(reel, row.Mode), torque, place, direction, settings.Unit));
            foreach (var (fill, radius) in TapeRadii(row, reader))
            {
                // A string's radius and the tape's are measured apart.
                var at = PlaceReadings.Place(PlaceReadings.Word(reel), PlaceReadings.Word(fill), PlaceReadings.Word(direction));
                tensions.AddRange(
                    PlaceReadings.Of(ReelQuantities.Tension(reel, row.Mode), Tension(torque, radius), at, direction, settings.Unit)
                );
            }
        }

        torques.AddRange(BrakesMeasurement.Torques(sheet, settings, reader).SelectMany(b => b.Readings));
        return new MeasurementResult("torque", [.. torques, .. tensions], reader.Notes, []);
    }

    /// <summary>The torque of a row: read, or force times radius.</summary>
    public static TypedFigure Torque(SheetRow row, GaugeReader reader, string place)
    {
        var read = reader.Figure(row, GaugeKind.Force, place);
        if (read.Unit.Dimension == Dimension.Torque)
            return read;
        return row.RadiusMm is { } mm
            ? read.Through(new TypedRadius(mm, row.RadiusUncertaintyMm ?? TypedRadius.RulerMm), toForce: false)
            : throw new CannotMeasureException(
                "no-radius",
                $"{place}: a force makes a torque at a radius, which is not stated; give the radius at which the string left the reel (\"radius\", --radius)"
            );
    }

    private static TypedFigure Tension(TypedFigure torque, TypedRadius radius)
    {
        var made = torque.Through(radius, toForce: true);
        var parts = made.Parts.Where(p => p.Name != "radius").ToList();
        var squares = made.Parts.Where(p => p.Name == "radius").Sum(p => p.Expanded * p.Expanded);
        parts.Add(new UncertaintyPart("radius", squares is { } s ? Math.Sqrt(s) : null));
        return made with { Parts = parts };
    }

    // The tape's radius where it is stated, else the three fills of the reels where those are known.
    private static IEnumerable<(ReelFill? Fill, TypedRadius Radius)> TapeRadii(SheetRow row, GaugeReader reader)
    {
        if (row.TapeRadiusMm is { } mm)
            return [(row.Fill, new TypedRadius(mm, row.RadiusUncertaintyMm ?? TypedRadius.RulerMm))];
        var fills = row.Fill is { } one ? [one] : Fills;
        return fills.Select(f => ((ReelFill?)f, reader.OfFill(f))).Where(f => f.Item2 is not null).Select(f => (f.Item1, f.Item2!));
    }
}
