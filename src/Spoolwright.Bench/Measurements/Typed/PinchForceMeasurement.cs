using Spoolwright.Bench.Instruments;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Measurements.Typed;

/// <summary>Force of the pinch roller by a spring balance on its shaft.</summary>
internal static class PinchForceMeasurement
{
    /// <exception cref="CannotMeasureException">There is no row, or a reading lies outside of the gauge's curve.</exception>
    public static MeasurementResult Measure(BenchSheet sheet, SheetSettings settings)
    {
        if (sheet.PinchForce.Count == 0)
            throw new CannotMeasureException(
                "no-rows",
                "the sheet has no \"pinchForce\" rows; write {\"criterion\": \"tape-stops\", \"readings\": [\"1.9 kgf\"]}, or give --reading"
            );
        var reader = new GaugeReader(sheet, settings);
        List<Reading> readings = [];
        foreach (var row in sheet.PinchForce)
        {
            var direction = row.Direction ?? settings.Direction;
            var place = PlaceReadings.Place(row.Criterion?.Replace('-', ' '), PlaceReadings.Word(direction));
            if (row.Criterion is null)
            {
                reader.Note(Note.Warning("no-criterion",
                    $"what told that the roller was lifted is not stated ({string.Join(", ", BenchSheetFile.Criteria)}); the three give different forces, so say \"criterion\""));
            }

            readings.AddRange(
                PlaceReadings.Of(
                    Quantity.PinchForce,
                    reader.Figure(row, GaugeKind.Force, place.Length > 0 ? place : "the pinch roller"),
                    place,
                    direction,
                    settings.Unit
                )
            );
        }

        return new MeasurementResult("pinch-force", readings, reader.Notes, []);
    }
}
