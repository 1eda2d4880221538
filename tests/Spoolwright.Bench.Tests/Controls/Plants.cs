using Spoolwright.Bench.Controls;

namespace Spoolwright.Bench.Tests.Controls;

/// <summary>
/// Random decks in miniature. Effects vary by a factor of five either way about the usual ones and run either way; backlash is up to what
/// the advisor allows for (a twentieth of the range); the start is anywhere in the range, the true target anywhere in the middle eight
/// tenths.
/// </summary>
internal static class Plants
{
    /// <summary>Kinds with one control.</summary>
    public static IReadOnlyList<string> One { get; } = ["linear", "unknown", "pot", "azimuth", "overbias", "treble"];

    /// <summary>Kinds with two controls that interact.</summary>
    public static IReadOnlyList<string> Two { get; } = ["bias-equalization", "level-bias", "unknown-pair"];

    public static Plant Of(string kind, int seed)
    {
        var random = new Random(seed * 7919 + kind.Length * 131 + kind[0]);
        return kind switch
        {
            "linear" => Linear(random, ControlKind.PlaybackLevel, "tone-level", 12, 0.25, 0.04),
            "unknown" => Linear(random, ControlKind.Other, "channel-balance", 12, 0.25, 0.04),
            "pot" => Pot(random),
            "azimuth" => Azimuth(random),
            "overbias" => Overbias(random),
            "treble" => Treble(random),
            "bias-equalization" => BiasAndEqualization(random),
            "level-bias" => LevelAndBias(random),
            "unknown-pair" => UnknownPair(random),
            _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "no such plant"),
        };
    }

    // Between a fifth and five times, either way.
    private static double Gain(Random random, double usual) => (random.Next(2) * 2 - 1) * usual * Math.Pow(5, 2 * random.NextDouble() - 1);

    private static double Magnitude(Random random, double usual, double factor) => usual * Math.Pow(factor, 2 * random.NextDouble() - 1);

    private static Control Trimmer(Random random, string name, ControlKind kind) => new()
    {
        Name = name,
        Unit = TurnUnit.Clock,
        From = -5,
        To = 5,
        Start = -5 + 10 * random.NextDouble(),
        Kind = kind,
        Approach = random.Next(2) * 2 - 1,
    };

    private static double Backlash(Random random, Control control) => (control.To - control.From) / 20 * random.NextDouble();

    private static double Place(Random random) => 0.1 + 0.8 * random.NextDouble();

    private static TurnTarget Target(string quantity, double aim, double halfWidth, double? hz = null) =>
        new() { Quantity = quantity, Unit = "dB", Min = aim - halfWidth, Max = aim + halfWidth, FrequencyHz = hz };

    private static Plant Single(
        Random random,
        Control control,
        string quantity,
        Func<double, double> law,
        double halfWidth,
        double noise,
        double place,
        double? hz = null
    ) => new([control], [Target(quantity, law(place), halfWidth, hz)], p => [law(p[0])], [Backlash(random, control)], [noise], random);

    private static Plant Linear(Random random, ControlKind kind, string quantity, double usual, double halfWidth, double noise)
    {
        var gain = Gain(random, usual);
        var bend = 0.2 * (2 * random.NextDouble() - 1);
        return Single(
            random,
            Trimmer(random, "trimmer", kind),
            quantity,
            p => gain * (p + bend * Math.Sin(5 * p) / 5),
            halfWidth,
            noise,
            Place(random)
        );
    }

    // A divider loaded by what follows it: steep at the foot, flat at the top.
    private static Plant Pot(Random random)
    {
        var way = random.Next(2) * 2 - 1;
        var load = 0.5 + 2 * random.NextDouble();
        var foot = 0.15 + 0.3 * random.NextDouble();
        double Law(double p)
        {
            var x = foot + (1 - foot) * (way > 0 ? p : 1 - p);
            return 20 * Math.Log10(x / (1 + load * x * (1 - x)));
        }

        return Single(random, Trimmer(random, "playback level", ControlKind.PlaybackLevel), "tone-level", Law, 0.25, 0.04, Place(random));
    }

    // The spring gives way as it is pressed together, and the plate rocks on a ball: a sine and a little of its cube.
    private static Plant Azimuth(Random random)
    {
        var gain = Gain(random, 500);
        var rock = 0.4 * random.NextDouble();
        var screw = new Control
        {
            Name = "azimuth",
            Unit = TurnUnit.Turn,
            From = -0.75,
            To = 0.75,
            Start = -0.75 + 1.5 * random.NextDouble(),
            Kind = ControlKind.AzimuthScrew,
        };
        double Law(double p)
        {
            var t = 1.5 * (p - 0.5);
            return gain * (Math.Sin(t) + rock * t * t * t);
        }

        return Single(random, screw, "time-skew", Law, 5, 0.8, Place(random));
    }

    // Sensitivity at 10 kHz against bias: rises, peaks, falls off more slowly than a parabola. Negative: the drop on the near side of the
    // peak.
    private static double DropAt(double bias, double peak, double sharpness)
    {
        var x = Math.Log(Math.Max(bias, 0.01) / peak);
        var drop = sharpness * (Math.Cosh(2.2 * x) - 1) * (x < 0 ? 1.3 : 1);
        return x < 0 ? -drop : drop;
    }

    private static Plant Overbias(Random random)
    {
        var peak = 0.5 + 0.3 * random.NextDouble();
        var sharpness = Magnitude(random, 6, 2);
        var flipped = random.Next(2) == 0;
        double Law(double p) => DropAt(0.45 + 1.0 * (flipped ? 1 - p : p), peak, sharpness);
        var wanted = 0.5 + 2 * random.NextDouble();
        var control = Trimmer(random, "bias", ControlKind.Bias);
        return new Plant(
            [control],
            [Target("overbias", wanted, 0.3, 10000)],
            p => [Law(p[0])],
            [Backlash(random, control)],
            [0.05],
            random
        );
    }

    private static Plant Treble(Random random)
    {
        var gain = Gain(random, 10);
        return Single(
            random,
            Trimmer(random, "equalizer", ControlKind.PlaybackEqualization),
            "treble-tilt",
            p => gain * Math.Tanh(1.6 * (p - 0.45)) / 1.6,
            0.3,
            0.05,
            Place(random)
        );
    }

    // Bias sets the drop past the peak and takes treble with it; record equalization gives treble back.
    private static Plant BiasAndEqualization(Random random)
    {
        var peak = 0.5 + 0.25 * random.NextDouble();
        var sharpness = Magnitude(random, 5, 1.6);
        var lift = Gain(random, 8);
        var flipped = random.Next(2) == 0;
        double[] Law(double[] p)
        {
            var bias = 0.45 + 1.0 * (flipped ? 1 - p[0] : p[0]);
            var drop = DropAt(bias, peak, sharpness);
            return [drop, -1.4 * Math.Abs(drop) - 2 * (bias - peak) + lift * (p[1] + 0.15 * Math.Sin(4 * p[1]) / 4)];
        }

        Control[] controls =
        [
            Trimmer(random, "bias", ControlKind.Bias),
            Trimmer(random, "record equalizer", ControlKind.RecordEqualization),
        ];
        var wanted = 0.5 + 2 * random.NextDouble();
        var place = Enumerable.Range(0, 4001).Select(i => i / 4000.0).MinBy(p => Math.Abs(Law([p, 0])[0] - wanted));
        var truth = Law([place, Place(random)]);
        return new Plant(controls, [Target("overbias", truth[0], 0.4, 10000), Target("response", truth[1], 0.6, 10000)],
            Law, [.. controls.Select(c => Backlash(random, c))], [0.05, 0.06], random);
    }

    // Record level sets the level; bias takes some of it back, and both move the third harmonic.
    private static Plant LevelAndBias(Random random)
    {
        var (level, loss) = (Gain(random, 12), Magnitude(random, 2, 2.5));
        var flipped = random.Next(2) == 0;
        var peak = 0.5 + 0.25 * random.NextDouble();
        var sharpness = Magnitude(random, 5, 1.6);
        double[] Law(double[] p)
        {
            var bias = 0.45 + 1.0 * (flipped ? 1 - p[1] : p[1]);
            return [level * Math.Tanh(1.3 * (p[0] - 0.4)) / 1.3 - loss * bias * bias, DropAt(bias, peak, sharpness)];
        }

        Control[] controls = [Trimmer(random, "record level", ControlKind.RecordLevel), Trimmer(random, "bias", ControlKind.Bias)];
        var wanted = 0.5 + 2 * random.NextDouble();
        var place = Enumerable.Range(0, 4001).Select(i => i / 4000.0).MinBy(p => Math.Abs(Law([0, p])[1] - wanted));
        var truth = Law([Place(random), place]);
        return new Plant(controls, [Target("tone-level", truth[0], 0.4, 1000), Target("overbias", truth[1], 0.4, 10000)],
            Law, [.. controls.Select(c => Backlash(random, c))], [0.05, 0.05], random);
    }

    // Nothing is known of either, and both move both.
    private static Plant UnknownPair(Random random)
    {
        var (a, d) = (Gain(random, 10), Gain(random, 10));
        var (b, c) = (0.6 * a * (2 * random.NextDouble() - 1), 0.6 * d * (2 * random.NextDouble() - 1));
        double[] Law(double[] p) => [a * Math.Sinh(p[0]) + b * p[1], c * p[0] + d * Math.Tanh(1.3 * p[1])];
        Control[] controls = [Trimmer(random, "first", ControlKind.Other), Trimmer(random, "second", ControlKind.Other)];
        var truth = Law([Place(random), Place(random)]);
        return new Plant(
            controls,
            [Target("level", truth[0], 0.4), Target("treble", truth[1], 0.4)],
            Law,
            [.. controls.Select(k => Backlash(random, k))],
            [0.05, 0.05],
            random
        );
    }
}
