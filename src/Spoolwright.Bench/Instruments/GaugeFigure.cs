namespace Spoolwright.Bench.Instruments;

/// <summary>One place read with a calibrated gauge, in the unit of its scale, with what its uncertainty is made of.</summary>
public sealed class GaugeFigure
{
    private readonly double[] shares;

    internal GaugeFigure(GaugeCurve curve, double reading, int count, double value, double[] shares)
    {
        (Curve, Reading, Count, Value) = (curve, reading, count, value);
        this.shares = shares;
    }

    public GaugeCurve Curve { get; }

    /// <summary>Mean of what the scale showed.</summary>
    public double Reading { get; }

    /// <summary>How many readings that mean has.</summary>
    public int Count { get; }

    /// <summary>The force or torque by the curve.</summary>
    public double Value { get; }

    /// <summary>The readings scatter by more than twice what the gauge does: the deck itself moves.</summary>
    public bool ScattersMore { get; init; }

    internal double RepeatVariance { get; init; }

    internal double RepeatFreedom { get; init; }

    internal double HysteresisVariance { get; init; }

    internal double ResolutionVariance { get; init; }

    /// <summary>
    /// The parts of the uncertainty, each expanded so that their root sum of squares is the whole: <c>weights</c>, <c>gravity</c>,
    /// <c>fit</c>,
    /// <c>repeatability</c>, <c>hysteresis</c>, <c>resolution</c>.
    /// </summary>
    public IReadOnlyList<UncertaintyPart> Parts =>
        Expanded(shares, Value, RepeatVariance, RepeatFreedom, HysteresisVariance, ResolutionVariance, HysteresisVariance);

    /// <summary>Expanded uncertainty (k = 2) in the unit of the scale.</summary>
    public double Uncertainty => Total(Parts);

    /// <summary>
    /// Parts of the uncertainty of <paramref name="own"/> times this figure plus <paramref name="others"/> times another of the same gauge:
    /// what the curve errs in both alike falls out of a difference or a ratio.
    /// </summary>
    /// <exception cref="ArgumentException">The other was read with another gauge.</exception>
    public IReadOnlyList<UncertaintyPart> PartsWith(double own, GaugeFigure other, double others)
    {
        ArgumentNullException.ThrowIfNull(other);
        if (!ReferenceEquals(other.Curve, Curve))
            throw new ArgumentException("the figures were read with different gauges", nameof(other));
        double sum(double mine, double its) => own * own * mine + others * others * its;
        var freedom = Confidence.Effective(
            (own * own * RepeatVariance, RepeatFreedom),
            (others * others * other.RepeatVariance, other.RepeatFreedom)
        );
        return Expanded(
            [.. shares.Zip(other.shares, (a, b) => own * a + others * b)],
            own * Value + others * other.Value,
            sum(RepeatVariance, other.RepeatVariance),
            freedom,
            sum(HysteresisVariance, other.HysteresisVariance),
            sum(ResolutionVariance, other.ResolutionVariance),
            rectangle: 0
        );
    }

    /// <summary>Root of the sum of squares of the parts known.</summary>
    public static double Total(IEnumerable<UncertaintyPart> parts) => Math.Sqrt(parts.Sum(p => (p.Expanded ?? 0) * (p.Expanded ?? 0)));

    private IReadOnlyList<UncertaintyPart> Expanded(
        double[] of,
        double value,
        double repeat,
        double repeatFreedom,
        double hysteresis,
        double resolution,
        double rectangle
    )
    {
        var (weights, fit, fitFreedom) = Curve.Variances(of);
        var gravity = Curve.Gauge.LocalGravity is null ? Math.Pow(value * GaugeCurve.GravityHalfRange, 2) / 3 : 0;
        var freedom = Confidence.Effective(
            (weights + gravity + hysteresis + resolution, double.PositiveInfinity), (fit, fitFreedom), (repeat, repeatFreedom));
        // The approach in use lies anywhere between up and down: one rectangle, which may lead. Two of them, in a difference, are nearer to
        // a normal law.
        var whole = weights + gravity + fit + repeat + hysteresis + resolution;
        var factor = Confidence.Factor(freedom) * Confidence.FactorWithRectangle(whole - rectangle, rectangle) / 2;
        return
        [
            new("weights", factor * Math.Sqrt(weights)),
            new("gravity", factor * Math.Sqrt(gravity)),
            new("fit", factor * Math.Sqrt(fit)),
            new("repeatability", factor * Math.Sqrt(repeat)),
            new("hysteresis", factor * Math.Sqrt(hysteresis)),
            new("resolution", factor * Math.Sqrt(resolution)),
        ];
    }
}
