using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Units;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Measurements.Typed;

/// <summary>Tension of the tape at each reel, how far it spreads from full to empty, and the torque behind it.</summary>
internal static class TensionMeasurement
{
    /// <exception cref="CannotMeasureException">There is no row of tension, a reading lies outside of the gauge's curve, or a torque has no
    /// radius.</exception>
    public static MeasurementResult Measure(BenchSheet sheet, SheetSettings settings)
    {
        if (sheet.Tension.Count == 0)
            throw new CannotMeasureException(
                "no-rows",
                "the sheet has no \"tension\" rows; write {\"reel\": \"supply\", \"fill\": \"full\", \"readings\": [\"62 gf\"]}, or give --reading"
            );
        var reader = new GaugeReader(sheet, settings);
        List<Reading> tensions = [], torques = [];
        var placed = new List<PlacedTension>();
        foreach (var row in sheet.Tension)
        {
            var direction = row.Direction ?? settings.Direction;
            var reel = row.Reel!.Value;
            var place = PlaceReadings.Place(PlaceReadings.Word(reel), PlaceReadings.Word(row.Fill), PlaceReadings.Word(direction));
            var read = reader.Figure(row, GaugeKind.Tension, place);
            var radius = reader.Radius(row);
            var isTorque = read.Unit.Dimension == Dimension.Torque;
            if (isTorque && radius is null)
                throw new CannotMeasureException(
                    "no-radius",
                    $"{place}: a torque makes a tension at a radius, which is not stated; give \"radius\", or \"hubRadius\", \"fullRadius\" and \"fill\""
                );
            var tension = isTorque ? read.Through(radius!, toForce: true) : read;
            tensions.AddRange(PlaceReadings.Of(ReelQuantities.Tension(reel, row.Mode), tension, place, direction, settings.Unit));
            if (radius is not null)
            {
                var torque = isTorque ? read : read.Through(radius, toForce: false);
                torques.AddRange(PlaceReadings.Of(ReelQuantities.Torque(reel, row.Mode), torque, place, direction, settings.Unit));
            }

            placed.Add(new PlacedTension(reel, row.Mode, direction, tension, radius));
        }

        List<Reading> spreads = [];
        foreach (var group in placed.GroupBy(p => (p.Reel, p.Mode, p.Direction)))
            spreads.AddRange(TensionSpread.Of([.. group], reader));
        return new MeasurementResult("tension", [.. tensions, .. spreads, .. torques], reader.Notes, []);
    }
}

/// <summary>One tension at one radius of one reel.</summary>
internal sealed record PlacedTension(ReelRole Reel, TransportMode Mode, Direction? Direction, TypedFigure Tension, TypedRadius? Radius);

/// <summary>Which quantity a reel's tension and torque are.</summary>
internal static class ReelQuantities
{
    public static Quantity Tension(ReelRole reel, TransportMode mode) => (reel, mode) switch
    {
        (ReelRole.Supply, TransportMode.Play) => Quantity.SupplyTension,
        (ReelRole.TakeUp, TransportMode.Play) => Quantity.TakeUpTension,
        (ReelRole.Supply, _) => Quantity.WindSupplyTension,
        _ => Quantity.WindTakeUpTension,
    };

    public static Quantity Torque(ReelRole reel, TransportMode mode) => (reel, mode) switch
    {
        (ReelRole.Supply, TransportMode.Play) => Quantity.HoldBackTorque,
        (ReelRole.TakeUp, TransportMode.Play) => Quantity.TakeUpTorque,
        (ReelRole.Supply, _) => Quantity.WindHoldBackTorque,
        _ => Quantity.WindTakeUpTorque,
    };
}
