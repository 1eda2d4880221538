namespace Spoolwright.Practice.Waves;

/// <summary>A second-order section, as a low pass or high pass of maximally flat shape.</summary>
internal sealed class SecondOrderFilter
{
    private readonly double _b0;
    private readonly double _b1;
    private readonly double _b2;
    private readonly double _a1;
    private readonly double _a2;
    private double _s1;
    private double _s2;

    private SecondOrderFilter(double b0, double b1, double b2, double a1, double a2) =>
        (_b0, _b1, _b2, _a1, _a2) = (b0, b1, b2, a1, a2);

    public static SecondOrderFilter LowPass(double cornerHz, double rateHz)
    {
        var w = Math.Tan(Math.PI * cornerHz / rateHz);
        var norm = 1 / (1 + (Math.Sqrt(2) * w) + (w * w));
        return new(w * w * norm, 2 * w * w * norm, w * w * norm, 2 * ((w * w) - 1) * norm, (1 - (Math.Sqrt(2) * w) + (w * w)) * norm);
    }

    public static SecondOrderFilter HighPass(double cornerHz, double rateHz)
    {
        var w = Math.Tan(Math.PI * cornerHz / rateHz);
        var norm = 1 / (1 + (Math.Sqrt(2) * w) + (w * w));
        return new(norm, -2 * norm, norm, 2 * ((w * w) - 1) * norm, (1 - (Math.Sqrt(2) * w) + (w * w)) * norm);
    }

    public double Next(double x)
    {
        var y = (_b0 * x) + _s1;
        _s1 = (_b1 * x) - (_a1 * y) + _s2;
        _s2 = (_b2 * x) - (_a2 * y);
        return y;
    }

    public void Reset() => _s1 = _s2 = 0;
}
