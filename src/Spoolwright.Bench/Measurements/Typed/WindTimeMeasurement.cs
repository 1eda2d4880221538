using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Tape;
using Spoolwright.Bench.Units;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Measurements.Typed;

/// <summary>Fast wind from end to end by a stopwatch, beside what the reels make of it.</summary>
internal static class WindTimeMeasurement
{
    /// <summary>
    /// Effective thickness of a turn against the tape's own, k = 2 as a share: air between the turns adds 0 to 4 % [memory].
    /// </summary>
    private const double ThicknessShare = 0.04;

    /// <summary>Longer than expected by this factor is worth a word: common practice, no source.</summary>
    private const double Slow = 1.5;

    /// <exception cref="CannotMeasureException">There is no time in the sheet.</exception>
    public static MeasurementResult Measure(BenchSheet sheet, SheetSettings settings)
    {
        if (sheet.WindTime.Count == 0)
            throw new CannotMeasureException(
                "no-rows",
                "the sheet has no \"windTime\" rows; write {\"direction\": \"forward\", \"readings\": [\"1:35\"]}, or give --reading"
            );
        var reader = new GaugeReader(sheet, settings);
        var facts = sheet.Wind;
        var (hub, full) = (reader.OfFill(ReelFill.Empty), reader.OfFill(ReelFill.Full));
        var (thickness, length) = (facts.ThicknessMicrometres, facts.LengthM);
        if (thickness is null && length is { } l && hub is not null && full is not null)
            thickness = Winding.ThicknessMicrometres(hub.Mm, full.Mm, l);
        if (length is null && thickness is { } t && hub is not null && full is not null)
            length = Winding.LengthM(hub.Mm, full.Mm, t);
        var expected = Expected(facts, hub, full, thickness, length);
        List<Reading> readings = [];
        foreach (var row in sheet.WindTime)
        {
            var direction = row.Direction ?? settings.Direction;
            var place = PlaceReadings.Place(PlaceReadings.Word(direction));
            var time = Time(row);
            reader.NoteFew(row.Readings.Count, place);
            readings.AddRange(PlaceReadings.Of(Quantity.WindTime, time, place, direction, null));
            if (expected is not null)
            {
                readings.Add(expected with { Place = place, Direction = direction });
                if (time.Value - time.Uncertainty > Slow * expected.Value)
                {
                    reader.Note(Note.Warning("slow-wind", FormattableString.Invariant(
                        $"{(place.Length > 0 ? place + ": " : "")}{time.Value:0} s is more than {Slow} times the {expected.Value:0} s expected; look for friction, a dragging brake, or a tired motor capacitor")));
                }
            }

            if (length is { } metres)
            {
                var speed = metres / time.Value;
                readings.Add(
                    PlaceReadings.Made(
                        Quantity.WindSpeed,
                        speed,
                        [new("time", speed * time.Uncertainty / time.Value), new("length", null)],
                        "length of tape over the time measured",
                        place,
                        direction
                    )
                );
            }
        }

        if (expected is null)
            reader.Note(
                Note.Hint(
                    "no-expected-time",
                    "the time to expect needs \"windSpeed\" with the length of tape, or \"reelRate\" with the reels' radii and the tape's thickness or length"
                )
            );
        return new MeasurementResult("wind-time", readings, reader.Notes, []);
    }

    private static TypedFigure Time(SheetRow row)
    {
        double[] read = [.. row.Readings.Select(a => a.In(Unit.Second))];
        var mean = read.Average();
        if (mean < 1)
            throw new CannotMeasureException("no-time", "a wind time under 1 s is none; give the seconds from end to end");
        var n = read.Length;
        // Whole seconds were read to a second, others to a tenth; a rectangle's k = 2.
        var step = read.All(r => r == Math.Round(r)) ? 1 : 0.1;
        List<UncertaintyPart> parts =
        [
            new("reaction", row.Uncertainty?.In(Unit.Second) ?? BrakesMeasurement.ReactionSeconds),
            new("resolution", 2 * step / Math.Sqrt(12)),
        ];
        if (n > 1)
            parts.Add(new("repeatability", Confidence.Factor(n - 1) * Math.Sqrt(read.Sum(r => (r - mean) * (r - mean)) / (n - 1) / n)));
        return new TypedFigure(
            mean,
            Unit.Second,
            parts,
            row.Uncertainty is null
                ? "stopwatch in the hand; its reaction time of 0.3 s (k = 2) is common practice"
                : "stopwatch, its uncertainty as stated"
        );
    }

    private static Reading? Expected(WindFacts facts, TypedRadius? hub, TypedRadius? full, double? thickness, double? length)
    {
        if (facts.SpeedMPerS is { } speed && length is { } metres)
        {
            return PlaceReadings.Made(
                Quantity.WindTimeExpected, ReelTension.WindSecondsAtSpeed(metres, speed), [new("speed", null), new("length", null)],
                "length of tape over a steady wind speed, without starting and stopping [WINDING]", "", null);
        }

        if (facts.RateHz is not { } rate || hub is null || full is null || thickness is not { } microns)
            return null;
        var seconds = ReelTension.WindSecondsAtRate(hub.Mm, full.Mm, microns, rate);
        var perMm = seconds / (full.Mm - hub.Mm);
        // A thickness that came from length and radii of this very reel holds the air already.
        var air = facts.ThicknessMicrometres is null ? 0 : seconds * ThicknessShare;
        return PlaceReadings.Made(
            Quantity.WindTimeExpected,
            seconds,
            [
                new("radii", perMm * Math.Sqrt(hub.UncertaintyMm * hub.UncertaintyMm + full.UncertaintyMm * full.UncertaintyMm)),
                new("thickness", air),
                new("rate", null),
            ],
            "turns of the driven reel over its steady rate, without starting and stopping [WINDING]",
            "",
            null
        );
    }
}
