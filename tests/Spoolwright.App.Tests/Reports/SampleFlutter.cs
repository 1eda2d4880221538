using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.App.Tests.Reports;

/// <summary>Made-up speed and flutter of one pass.</summary>
internal static class SampleFlutter
{
    public static MeasurementResult Result(Condition c, bool left, Random random)
    {
        double slow = c.SpeedCmPerS < 15 ? 1.6 : 1, worn = left ? 1 : 3.2;
        double Near(double value) => value * (.85 + .3 * random.NextDouble());
        double capstan = c.SpeedCmPerS / .0314 / 100;
        (double Hz, double Peak, string? Part, double? Sure)[] lines =
        [
            (capstan, Near(.021 * slow * (left ? 1 : 1.5)), "capstan", .97),
            (capstan * 2, Near(.006 * slow), "capstan, 2nd harmonic", .9),
            (capstan * .262, Near(.012 * slow * worn), "pinch roller", .93),
            (capstan * .0613 * 10, Near(.010 * slow * worn), "take-up reel", .71),
            (capstan * 1.37, Near(.014 * slow * worn), "capstan belt", .88),
            (25, Near(.009), "capstan motor", .99),
            (100, Near(.002), null, null),
            (41.7, Near(.0025 * worn), null, null),
        ];
        double weighted = left ? .045 * slow : .13 * slow;
        var readings = new List<Reading>
        {
            Of("speed-error", left ? Near(.05) * (c.Direction == Direction.Reverse ? -1 : 1) : Near(-.72), "%", .012,
                "time mean of both channels' common speed against 3150 Hz", [("noise", .0004), ("interface", .002), ("test-tape", .012)]),
            Of("drift", Near(.01), "%", .003, "straight line fitted to the speed", [("noise", .003)]),
            Of("wow-flutter-quasi-peak", Near(weighted), "%", left && c is { SpeedCmPerS: 9.53, Direction: Direction.Reverse } ? null
                : .003, "weighted, quasi-peak, 95th percentile after 5 s of settling [IEC60386:1972]",
                [("noise", .0002), ("method", .003), ("test-tape", null)]),
            Of("wow-flutter-quasi-peak-maximum", Near(weighted * 1.2), "%", .004,
                "weighted, quasi-peak, highest after 5 s of settling [IEC60386:1972]", [("method", .004)]),
            Of("wow-flutter-two-sigma", Near(weighted * .97), "%", .003, "weighted, two-sigma over the usable span [AES6:2008]",
                [("noise", .0002), ("method", .003)]),
            Of("wow-flutter-rms", Near(weighted * .5), "%", .001, "weighted, root mean square", [("noise", .0001), ("method", .001)]),
            Of("wow-flutter-unweighted-rms", Near(weighted * .8), "%", .002, "0.2 to 200 Hz, root mean square",
                [("noise", .0001), ("method", .002)]),
        };
        readings.AddRange(lines.Select(l => Of("flutter-line", l.Peak, "%", .0004, "sine fitted to the speed at the line's frequency",
            [("noise", .0004)]) with
        { FrequencyHz = Math.Round(l.Hz, 2), Part = l.Part, Confidence = l.Sure }));

        var x = Enumerable.Range(1, 1600).Select(i => i * .125).ToArray();
        var y = x.Select(f => .0012 * slow * (left ? 1 : 1.8) / Math.Sqrt(1 + f / 4) * (.5 + random.NextDouble())).ToArray();
        foreach (var l in lines)
        {
            int bin = Math.Clamp((int)Math.Round(l.Hz / .125) - 1, 1, x.Length - 2);
            y[bin] = l.Peak;
            y[bin - 1] = Math.Max(y[bin - 1], l.Peak * .35);
            y[bin + 1] = Math.Max(y[bin + 1], l.Peak * .35);
        }

        return new MeasurementResult(
            "speed",
            readings,
            left
                ? [Note.Hint("scrape-band", "Scrape flutter is read to 1.2 kHz; the 3150 Hz carrier allows no more.")]
                :
                [
                    Note.Warning(
                        "dropouts",
                        "Three dropouts at 12.3, 12.4 and 40.1 s were left out; look at the tape's edge and the tension."
                    ),
                ],
            [new Trace("flutter-spectrum", Channel.Both, "Hz", "%", x, y)]
        );
    }

    private static Reading Of(string quantity, double value, string unit, double? u, string method, (string Name, double? Size)[] parts) =>
        new()
        {
            Quantity = quantity,
            Value = value,
            Unit = unit,
            Uncertainty = u,
            Method = method,
            Parts = [.. parts.Select(p => new UncertaintyPart(p.Name, p.Size))],
        };
}
