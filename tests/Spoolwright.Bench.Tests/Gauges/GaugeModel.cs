using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Units;

namespace Spoolwright.Bench.Tests.Gauges;

/// <summary>An invented gauge with a truth: what its scale shows of a force, its scatter, friction and rounding, made without the code that
/// is tested.</summary>
internal sealed class GaugeModel(int seed)
{
    private readonly Random random = new(seed);
    private double? pull;

    /// <summary>Bend of the scale: this share of full scale at its middle.</summary>
    public double Bend { get; init; }

    /// <summary>Standard deviation of one reading, gf.</summary>
    public double Scatter { get; init; } = 1;

    /// <summary>Half of the difference between readings from above and below, as a share of the reading, and at least 0.4 gf.</summary>
    public double Friction { get; init; } = 0.015;

    public double ReadTo { get; init; } = 1;

    /// <summary>Standard deviation of each weight, gf.</summary>
    public double WeightDeviation { get; init; } = 0.2;

    public double[] Weights { get; init; } = [20, 50, 80, 110, 140, 170];

    public int Repeats { get; init; } = 3;

    // Somewhere on the ground, the same place for calibration and use.
    private double Pull => pull ??= 1 + 0.0027 * (2 * random.NextDouble() - 1);

    /// <summary>Calibrates it with weights that are not quite what they say.</summary>
    public Gauge Calibrated()
    {
        var points = new List<GaugePoint>();
        foreach (var weight in Weights)
        {
            var hung = (weight + WeightDeviation * Normal()) * Pull;
            points.Add(new GaugePoint(weight, 2 * WeightDeviation, Readings(hung, -1), Readings(hung, 1)));
        }

        return new Gauge
        {
            Name = "bench gauge",
            Kind = GaugeKind.Tension,
            Unit = Unit.GramForce,
            ScaleEnd = 200,
            ReadTo = ReadTo,
            Tape = "long-play",
            Points = points,
        };
    }

    /// <summary>Reads a true force in use, the approach anywhere within the friction.</summary>
    public double[] Use(double force, int times)
    {
        var approach = 2 * random.NextDouble() - 1;
        return [.. Enumerable.Range(0, times).Select(_ => Read(force, approach))];
    }

    public double Somewhere(double low, double high) => low + (high - low) * random.NextDouble();

    private double[] Readings(double force, double approach) => [.. Enumerable.Range(0, Repeats).Select(_ => Read(force, approach))];

    private double Read(double force, double approach)
    {
        // An offset from the tape's stiffness, a scale a little long, and a bend.
        var shown = 4 + 0.95 * force + Bend * 4 * force * (1 - force / 200);
        shown += approach * (0.4 + Friction * shown) + Scatter * Normal();
        return Math.Round(shown / ReadTo) * ReadTo;
    }

    private double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
