using Spoolwright.Bench.Instruments;

namespace Spoolwright.Bench.Service.Field;

/// <summary>What several figures of one kind say together.</summary>
/// <param name="Count">How many.</param>
/// <param name="Mean">Their mean.</param>
/// <param name="Deviation">Sample standard deviation; null: fewer than two.</param>
/// <param name="Median">Middle one, mean of the middle two.</param>
/// <param name="Least">Smallest.</param>
/// <param name="Most">Largest.</param>
public sealed record Spread(int Count, double Mean, double? Deviation, double Median, double Least, double Most)
{
    /// <summary>The spread of figures.</summary>
    /// <exception cref="ArgumentException">There is none, or one is not finite.</exception>
    public static Spread Of(IEnumerable<double> figures)
    {
        ArgumentNullException.ThrowIfNull(figures);
        var sorted = figures.Order().ToArray();
        if (sorted.Length == 0 || !sorted.All(double.IsFinite))
            throw new ArgumentException(sorted.Length == 0 ? "there is no figure" : "a figure is not finite", nameof(figures));
        var mean = sorted.Average();
        double? deviation = sorted.Length < 2 ? null : Math.Sqrt(sorted.Sum(f => (f - mean) * (f - mean)) / (sorted.Length - 1));
        var median = (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2;
        return new Spread(sorted.Length, mean, deviation, median, sorted[0], sorted[^1]);
    }

    /// <summary>
    /// Half the width of the range that holds the next such figure in 95 of 100 cases: Student's, t·s·√(1 + 1/n), if they scatter by the
    /// normal law. Null: fewer than two.
    /// </summary>
    public double? NextWithin => Deviation is { } s ? Confidence.Student(Count - 1) * s * Math.Sqrt(1 + 1.0 / Count) : null;

    /// <summary>Half the width of the range that holds the mean in 95 of 100 cases: t·s/√n. Null: fewer than two.</summary>
    public double? MeanWithin => Deviation is { } s ? Confidence.Student(Count - 1) * s / Math.Sqrt(Count) : null;
}
