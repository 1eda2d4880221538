using System.Globalization;
using Spoolwright.Bench.Units;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Measurements.Typed;

/// <summary>
/// Brakes of both reels, turned either way: each one's ratio, whether the trailing reel brakes harder in both directions, left against
/// right, and the stops that were tried.
/// </summary>
internal static class BrakesMeasurement
{
    private const string RatioMethod = "ratio of two brake torques; what one gauge errs in both alike falls out [GUM:2008]";

    /// <summary>A stopwatch in the hand, s (k = 2): common practice, no source.</summary>
    internal const double ReactionSeconds = 0.3;

    /// <exception cref="CannotMeasureException">There is neither a brake nor a stop, a reading lies outside of the gauge's curve, or a
    /// force has no radius.</exception>
    public static MeasurementResult Measure(BenchSheet sheet, SheetSettings settings)
    {
        if (sheet.Brakes.Count == 0 && sheet.Stops.Count == 0)
            throw new CannotMeasureException(
                "no-rows",
                "the sheet has no \"brakes\" rows; write {\"reel\": \"left\", \"turn\": \"unwind\", \"readings\": [\"1200 g·cm\"]}, or give --reading"
            );
        var reader = new GaugeReader(sheet, settings);
        var brakes = Torques(sheet, settings, reader);
        List<Reading> readings = [.. brakes.SelectMany(b => b.Readings)];
        foreach (var side in Enum.GetValues<ReelSide>())
            readings.AddRange(
                Ratio(
                    Quantity.BrakeRatio,
                    Of(brakes, side, BrakeTurn.Unwind),
                    Of(brakes, side, BrakeTurn.Wind),
                    PlaceReadings.Word(side),
                    null,
                    reader
                )
            );
        // Forward, the left reel gives the tape and the right one takes it.
        readings.AddRange(
            Ratio(
                Quantity.BrakeTrail,
                Of(brakes, ReelSide.Left, BrakeTurn.Unwind),
                Of(brakes, ReelSide.Right, BrakeTurn.Wind),
                "forward",
                Direction.Forward,
                reader
            )
        );
        readings.AddRange(
            Ratio(
                Quantity.BrakeTrail,
                Of(brakes, ReelSide.Right, BrakeTurn.Unwind),
                Of(brakes, ReelSide.Left, BrakeTurn.Wind),
                "reverse",
                Direction.Reverse,
                reader
            )
        );
        foreach (var turn in Enum.GetValues<BrakeTurn>())
        {
            if (Of(brakes, ReelSide.Left, turn) is { } left && Of(brakes, ReelSide.Right, turn) is { } right)
            {
                readings.Add(
                    PlaceReadings.Made(
                        Quantity.BrakeBalance,
                        left.Value - right.Value,
                        left.With(1, right, -1),
                        "left less right; what one gauge errs in both alike falls out [GUM:2008]",
                        PlaceReadings.Word(turn),
                        null
                    )
                );
            }
        }

        readings.AddRange(Stops(sheet.Stops, reader));
        return new MeasurementResult("brakes", readings, reader.Notes, []);
    }

    /// <summary>Each brake's torque, with its readings.</summary>
    internal static IReadOnlyList<BrakeFigure> Torques(BenchSheet sheet, SheetSettings settings, GaugeReader reader)
    {
        var found = new List<BrakeFigure>();
        foreach (var row in sheet.Brakes)
        {
            var place = PlaceReadings.Place(PlaceReadings.Word(row.Side!.Value), PlaceReadings.Word(row.Turn!.Value));
            if (found.Exists(f => f.Row.Side == row.Side && f.Row.Turn == row.Turn))
                throw new CannotMeasureException(
                    "row-twice",
                    $"the brake {place} stands twice in the sheet; write all of its readings in one row"
                );
            var torque = TorqueMeasurement.Torque(row, reader, place);
            found.Add(new BrakeFigure(row, torque, [.. PlaceReadings.Of(Quantity.BrakeTorque, torque, place, null, settings.Unit)]));
        }

        return found;
    }

    private static TypedFigure? Of(IReadOnlyList<BrakeFigure> brakes, ReelSide side, BrakeTurn turn) =>
        brakes.FirstOrDefault(b => b.Row.Side == side && b.Row.Turn == turn)?.Torque;

    private static IEnumerable<Reading> Ratio(
        Quantity quantity,
        TypedFigure? over,
        TypedFigure? under,
        string place,
        Direction? direction,
        GaugeReader reader
    )
    {
        if (over is null || under is not { Value: > 0 })
            yield break;
        var ratio = over.Value / under.Value;
        // One string on one hub has one radius, whichever way it is pulled; two hubs have two.
        var same = quantity == Quantity.BrakeRatio && over.Radius == under.Radius;
        var reading = PlaceReadings.Made(
            quantity,
            ratio,
            over.With(1 / under.Value, under, -ratio / under.Value, same),
            RatioMethod,
            place,
            direction
        );
        if (ratio + (reading.Uncertainty ?? 0) < 1)
        {
            var text = quantity == Quantity.BrakeTrail
                ? $"{place}: the leading reel brakes harder than the trailing one ({Figure(ratio)}): the tape will be thrown in a loop; set the brakes so that the reel that gives tape brakes harder"
                : $"{place}: this brake holds less as the tape comes off than as it goes on ({Figure(ratio)}): its band or lever works the wrong way round, or its lining is worn";
            reader.Note(Note.Warning("brake-differential", text));
        }

        yield return reading;
    }

    private static IEnumerable<Reading> Stops(IReadOnlyList<StopRow> stops, GaugeReader reader)
    {
        foreach (var stop in stops)
        {
            var place = PlaceReadings.Place(PlaceReadings.Word(stop.Fill), PlaceReadings.Word(stop.Direction));
            if (stop.Time is { } time)
                yield return PlaceReadings.Made(
                    Quantity.StopTime,
                    time.In(Unit.Second),
                    [new("reaction", ReactionSeconds)],
                    "stopwatch in the hand; its reaction time is common practice",
                    place,
                    stop.Direction
                );
            var where = place.Length > 0 ? $"stop {place}" : "a stop";
            if (stop.Stretch)
                reader.Note(
                    Note.Warning("tape-stretched", $"{where}: the tape was stretched; try no tape that matters until the brakes hold less")
                );
            else if (stop.Loop)
                reader.Note(
                    Note.Warning(
                        "tape-loop",
                        $"{where}: a loop was thrown; the trailing reel must brake harder, and no later than the leading one"
                    )
                );
        }

        if (stops.Count > 0)
        {
            yield return PlaceReadings.Made(
                Quantity.StopFaults,
                stops.Count(s => s.Loop || s.Stretch),
                [new("seen", 0)],
                $"counted over {stops.Count} stops, by eye",
                "",
                null
            ) with
            {
                Place = null,
            };
        }
    }

    private static string Figure(double value) => value.ToString("0.00", CultureInfo.InvariantCulture);
}

/// <summary>One brake turned one way.</summary>
internal sealed record BrakeFigure(SheetRow Row, TypedFigure Torque, IReadOnlyList<Reading> Readings);
