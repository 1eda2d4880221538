using Spoolwright.Signal;

namespace Spoolwright.Bench.Instruments;

/// <summary>
/// The curve of a calibrated gauge: force (or torque) from what its scale shows, with an uncertainty from named parts. The weights' values
/// are fitted over the mean readings by weighted least squares.
/// </summary>
/// <remarks>
/// Straight unless the residuals ask for a bend: a parabola is taken where it lowers chi square by more than <see cref="BendAsksFor"/>
/// (twice the one number that it adds, Akaike's rule), there are four points or more, and it rises all along. Where the residuals are still
/// larger than weights and repeats explain (chi square beyond its 95th percentile), the fit's part grows by their ratio. Computed after
/// [GUM:2008].
/// </remarks>
public sealed class GaugeCurve
{
    /// <summary>How far chi square must fall before the curve is bent.</summary>
    public const double BendAsksFor = 2;

    /// <summary>
    /// Half of the range of free fall on the ground, against its standard value: 9.780 m/s² at the equator to 9.832 at the poles
    /// [NORMAL-GRAVITY]. Its part is this over √3 where the place is not stated.
    /// </summary>
    public const double GravityHalfRange = 0.0027;

    /// <summary>Under this share of the scale a reading is warned of: common practice, no source.</summary>
    public const double LowOnScale = 0.25;

    private readonly WeightedPolynomial fit;
    private readonly WeightedPolynomial hysteresis;
    private readonly double[] truthVariances;
    private readonly double[] readingVariances;
    private readonly double repeatVariance;
    private readonly double repeatFreedom;
    private readonly double stretch;
    private readonly double fitFreedom;

    /// <summary>Fits the curve.</summary>
    /// <exception cref="ArgumentException">There are fewer than three different points, too few repeats, or the readings do not rise with
    /// the weights.</exception>
    public GaugeCurve(Gauge gauge)
    {
        ArgumentNullException.ThrowIfNull(gauge);
        if (Refusal(gauge) is { } refusal)
            throw new ArgumentException(refusal, nameof(gauge));
        Gauge = gauge;
        var points = gauge.Points;
        var pull = gauge.LocalGravity is { } local ? local / Units.Unit.StandardGravity : 1;
        double[] x = [.. points.Select(p => p.Reading)];
        double[] y = [.. points.Select(p => p.Truth * pull)];
        truthVariances = [.. points.Select(p => Square((p.TruthUncertainty ?? 0) / 2))];
        (repeatVariance, repeatFreedom) = Repeats(gauge);

        // Variance of a point's mean reading, and (the same figure) of half the difference of its two approaches.
        double[] means = [.. points.Select(p => (MeanVariance(p.Up.Count) + MeanVariance(p.Down.Count)) / 4)];
        hysteresis = new WeightedPolynomial(x, [.. points.Select(p => (p.Down.Average() - p.Up.Average()) / 2)], means, 1);
        // The slope turns a variance of the reading into one of the force; a first line gives it.
        var first = new WeightedPolynomial(x, y, [.. points.Select(_ => 1.0)], 1);
        readingVariances = [.. means.Select(v => v * Square(first.Slope(0)))];
        double[] variances = [.. truthVariances.Zip(readingVariances, (a, b) => a + b)];
        var line = new WeightedPolynomial(x, y, variances, 1);
        fit = line;
        LineChiSquare = line.ChiSquare;
        (LowReading, HighReading) = (x.Min(), x.Max());
        if (points.Count >= 4)
        {
            var bent = new WeightedPolynomial(x, y, variances, 2);
            BentChiSquare = bent.ChiSquare;
            if (line.ChiSquare - bent.ChiSquare > BendAsksFor && bent.Slope(LowReading) > 0 && bent.Slope(HighReading) > 0)
                fit = bent;
        }

        var freedom = points.Count - fit.Order - 1;
        var unexplained = freedom > 0 && fit.ChiSquare > Confidence.ChiSquare95(freedom);
        stretch = unexplained ? fit.ChiSquare / freedom : 1;
        fitFreedom = unexplained ? freedom : repeatFreedom;
    }

    public Gauge Gauge { get; }

    /// <summary>True: a parabola; false: a straight line.</summary>
    public bool IsBent => fit.Order == 2;

    /// <summary>Coefficients of 1, x and (where bent) x², in the scale's unit.</summary>
    public IReadOnlyList<double> Coefficients => fit.Plain();

    /// <summary>Chi square of the straight line.</summary>
    public double LineChiSquare { get; }

    /// <summary>Chi square of the parabola; null where there are too few points for one.</summary>
    public double? BentChiSquare { get; }

    /// <summary>By how much the residuals exceed what weights and repeats explain, as a ratio of standard deviations; 1: not at
    /// all.</summary>
    public double Unexplained => Math.Sqrt(stretch);

    /// <summary>Lowest reading that was calibrated.</summary>
    public double LowReading { get; }

    /// <summary>Highest reading that was calibrated.</summary>
    public double HighReading { get; }

    /// <summary>Standard deviation of one reading around its mean, rounding taken out, in the scale's unit.</summary>
    public double Repeatability => Math.Sqrt(repeatVariance);

    /// <summary>Half of the difference between readings from above and from below.</summary>
    public double HysteresisAt(double reading) => hysteresis.At(reading);

    /// <summary>The curve without its uncertainty, also outside of its range.</summary>
    public double At(double reading) => fit.At(reading);

    /// <summary>Each weight's true pull less the curve at its mean reading, in the scale's unit.</summary>
    public IReadOnlyList<double> Residuals =>
        [
            .. Gauge.Points.Select(p =>
                p.Truth * (Gauge.LocalGravity ?? Units.Unit.StandardGravity) / Units.Unit.StandardGravity - fit.At(p.Reading)
            ),
        ];

    /// <summary>What the gauge says of one place, read once or several times.</summary>
    /// <param name="readings">What its scale showed, in its unit.</param>
    /// <exception cref="ArgumentException">There is no reading.</exception>
    /// <exception cref="CannotMeasureException">The mean lies outside of what was calibrated.</exception>
    public GaugeFigure Read(IReadOnlyList<double> readings)
    {
        ArgumentNullException.ThrowIfNull(readings);
        if (readings.Count == 0)
            throw new ArgumentException("there is no reading", nameof(readings));
        var mean = readings.Average();
        RefuseOutside(mean);
        var (n, slope) = (readings.Count, fit.Slope(mean));
        var (scatter, freedom, moves) = (repeatVariance, repeatFreedom, false);
        if (n >= 3)
        {
            var own = readings.Sum(r => Square(r - mean)) / (n - 1);
            // Twice what the gauge itself scatters: the deck moves, and only its own readings tell by how much.
            moves = own > 4 * (repeatVariance + Rounding);
            if (moves)
                (scatter, freedom) = (own, n - 1);
        }

        return new GaugeFigure(this, mean, n, fit.At(mean), fit.Shares(mean))
        {
            RepeatVariance = Square(slope) * scatter / n,
            RepeatFreedom = freedom,
            ScattersMore = moves,
            HysteresisVariance = Square(slope * hysteresis.At(mean)) / 3,
            ResolutionVariance = Square(slope) * RoundingOfMean(n),
        };
    }

    /// <summary>Variance from the weights and from the fit for these shares of the points, and the fit's degrees of freedom.</summary>
    internal (double Weights, double Fit, double FitFreedom) Variances(IReadOnlyList<double> shares)
    {
        double weights = 0, reading = 0;
        for (var j = 0; j < shares.Count; j++)
        {
            weights += Square(shares[j]) * truthVariances[j];
            reading += Square(shares[j]) * (readingVariances[j] + (stretch - 1) * (readingVariances[j] + truthVariances[j]));
        }

        return (weights, reading, fitFreedom);
    }

    /// <summary>Why no curve can be fitted, or null.</summary>
    internal static string? Refusal(Gauge gauge)
    {
        var points = gauge.Points;
        if (points.Select(p => p.Truth).Distinct().Count() < 3)
            return "three different weights or more are needed for a curve";
        if (points.Any(p => p.Up.Count == 0 || p.Down.Count == 0))
            return "each weight needs readings approached from below (\"up\") and from above (\"down\")";
        if (Repeats(gauge).Freedom < 4)
            return "the repeats are too few to tell how well the gauge repeats; read each weight twice or more from either side";
        var ordered = points.OrderBy(p => p.Truth).ToList();
        for (var i = 1; i < ordered.Count; i++)
        {
            if (ordered[i].Truth > ordered[i - 1].Truth && ordered[i].Reading <= ordered[i - 1].Reading)
                return $"the reading does not rise from the weight {ordered[i - 1].Truth:G6} to {ordered[i].Truth:G6}; a figure stands in the wrong place, or the gauge sticks";
        }

        return null;
    }

    private double Rounding => Square(Gauge.ReadTo) / 12;

    // Where the scatter is small against the step, all readings are rounded alike and a mean is no better than one of them.
    private double RoundingOfMean(int n) => Repeatability >= Gauge.ReadTo / 2 ? Rounding / n : Rounding;

    private double MeanVariance(int n) => repeatVariance / n + RoundingOfMean(n);

    private void RefuseOutside(double mean)
    {
        var unit = Gauge.Unit.Symbol;
        var range = $"\"{Gauge.Name}\" is calibrated from {LowReading:G4} to {HighReading:G4} {unit} on its scale";
        if (mean > HighReading + Gauge.ReadTo / 2)
            throw new CannotMeasureException(
                "outside-gauge",
                $"the reading {mean:G4} {unit} lies above the curve: {range}; calibrate with a heavier weight, or take a gauge with a longer scale"
            );
        if (mean < LowReading - Gauge.ReadTo / 2)
            throw new CannotMeasureException(
                "outside-gauge",
                $"the reading {mean:G4} {unit} lies below the curve: {range}; calibrate with a lighter weight, or take a gauge with a shorter scale"
            );
    }

    // Pooled within each approach to each weight; the rounding that every reading carries is taken out once more.
    private static (double Variance, double Freedom) Repeats(Gauge gauge)
    {
        double sum = 0, freedom = 0;
        foreach (var group in gauge.Points.SelectMany(p => new[] { p.Up, p.Down }).Where(g => g.Count > 1))
        {
            var mean = group.Average();
            sum += group.Sum(r => Square(r - mean));
            freedom += group.Count - 1;
        }

        return (freedom == 0 ? 0 : Math.Max(0, sum / freedom - Square(gauge.ReadTo) / 12), freedom);
    }

    private static double Square(double x) => x * x;
}
