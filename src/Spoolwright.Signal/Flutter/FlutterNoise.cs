using System.Numerics;

namespace Spoolwright.Signal.Flutter;

/// <summary>
/// The noise of the speed signal, told from the deck's own motion: of two channels, by what they do not share; of one, by the quiet
/// parts of the spectrum above the flutter band, where white phase noise grows with the square of the rate.
/// </summary>
internal sealed class FlutterNoise
{
    private readonly double[] _density;
    private readonly double[] _common;
    private readonly double _bin;
    private readonly double _seconds;
    private readonly double _rate;

    public FlutterNoise(SpeedStatistics statistics, double weightLeft, bool stereo, double seconds)
    {
        _bin = statistics.Narrow.BinHz;
        _rate = statistics.RateHz;
        _seconds = seconds;
        _common = statistics.Narrow.Density();
        var share = weightLeft * (1 - weightLeft);
        var wide = statistics.Wide.Density();
        var compare = stereo && share > 1e-4;
        var wideDifference = compare ? statistics.WideDifference.Density() : wide;
        PhaseDensity = WhitePhase(wideDifference, statistics.Wide.BinHz, statistics.HighestHz, compare) * (compare ? share : 1);
        if (compare)
        {
            _density = statistics.NarrowDifference.Density();
            for (var k = 0; k < _density.Length; k++)
            {
                _density[k] *= share;
            }
        }
        else
        {
            _density = new double[_common.Length];
            for (var k = 0; k < _density.Length; k++)
            {
                var f = k * _bin;
                _density[k] = PhaseDensity * f * f;
            }
        }

        WideDensity = new double[wide.Length];
        for (var k = 0; k < wide.Length; k++)
        {
            var f = k * statistics.Wide.BinHz;
            WideDensity[k] = compare ? wideDifference[k] * share : PhaseDensity * f * f;
        }

        WideCommon = wide;
    }

    /// <summary>Density of the phase noise, rad²/Hz, one-sided.</summary>
    public double PhaseDensity { get; }

    /// <summary>Noise density at the full rate, Hz²/Hz.</summary>
    public double[] WideDensity { get; }

    /// <summary>Density of the speed signal itself at the full rate.</summary>
    public double[] WideCommon { get; }

    /// <summary>
    /// Takes the noise out of a mean square found behind a filter, and says how uncertain it leaves the root: cross terms of signal and
    /// noise, and the noise's own scatter.
    /// </summary>
    /// <param name="power">Mean square found, Hz².</param>
    /// <param name="gain">The filter's gain at a rate in Hz.</param>
    /// <param name="highestHz">Where the band stops.</param>
    public Estimate Root(double power, Func<double, Complex> gain, double highestHz)
    {
        double noise = 0, cross = 0, scatter = 0;
        for (var k = 1; k < _density.Length && k * _bin < 1.2 * highestHz; k++)
        {
            var g = gain(k * _bin).Magnitude;
            var g2 = g * g * (k * _bin <= highestHz ? 1 : 0.5);
            var n = _density[k] * g2;
            var s = Math.Max(0, _common[k] - _density[k]) * g2;
            noise += n * _bin;
            cross += n * s * _bin;
            scatter += n * n * _bin;
        }

        // var(mean of s·n) = ∫ Ss·Sn df / (2T), one-sided densities; it comes twice. The noise's square, and the estimate of it, each ∫Sn²df/T.
        return Root(Math.Max(0, power - noise), Math.Sqrt(((2 * cross) + (2 * scatter)) / _seconds));
    }

    /// <summary>Root mean square of the speed signal above the flutter band, Hz, noise taken out, the demodulator's droop made good.</summary>
    public Estimate Scrape(double fromHz, double toHz, double binHz)
    {
        double power = 0, noise = 0, scatter = 0;
        for (var k = (int)Math.Ceiling(fromHz / binHz); k < WideCommon.Length && k * binHz <= toHz; k++)
        {
            var droop = Droop(k * binHz, _rate);
            power += WideCommon[k] * binHz / (droop * droop);
            noise += WideDensity[k] * binHz / (droop * droop);
            scatter += WideDensity[k] * Math.Max(WideCommon[k], WideDensity[k]) * binHz / Math.Pow(droop, 4);
        }

        return Root(Math.Max(0, power - noise), Math.Sqrt(4 * scatter / _seconds));
    }

    // Root of a power known to ±2σ: where the power is little more than its own scatter, the root's interval reaches down to nothing.
    private static Estimate Root(double power, double sigma)
    {
        var root = Math.Sqrt(power);
        return new Estimate(root, Math.Max(Math.Sqrt(power + (2 * sigma)) - root, root - Math.Sqrt(Math.Max(0, power - (2 * sigma)))));
    }

    /// <summary>Loss by differencing the phase over one sample: sin(x)/x with x = πf/rate.</summary>
    public static double Droop(double hz, double rateHz)
    {
        var x = Math.PI * hz / rateHz;
        return x < 1e-9 ? 1 : Math.Sin(x) / x;
    }

    private static double WhitePhase(double[] density, double binHz, double fromHz, bool noiseOnly)
    {
        var values = new List<double>();
        for (var k = (int)(1.5 * fromHz / binHz); k < density.Length * 3 / 5; k++)
        {
            var f = k * binHz;
            values.Add(density[k] / (f * f));
        }

        if (values.Count == 0)
        {
            return 0;
        }

        // Differences of the channels hold noise alone: the mean. One channel holds the deck's scrape too: a low quantile, which lines and
        // humps do not move.
        values.Sort();
        return noiseOnly ? values.Average() : values[values.Count / 5];
    }
}
