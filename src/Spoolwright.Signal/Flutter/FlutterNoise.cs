using System.Numerics;

namespace Spoolwright.Signal.Flutter;

/// <summary>
/// The noise of the speed signal, told from the deck's own motion: of two channels, by what they do not share; of one (or two that carry
/// the same noise), by the quiet parts of the spectrum above the flutter band, where white phase noise grows with the square of the rate.
/// </summary>
internal sealed class FlutterNoise
{
    // Share of the bins under the density taken for noise, where the deck's scrape may stand in the others.
    private const double QuietShare = 0.2;

    // Where the motion is nothing, only noise drawn upwards can lie beyond the interval, so the one-sided limit of 95 % (1.65, a little
    // more for the skew of a power) stands in for the two-sided.
    private const double NothingSigmas = 1.7;
    private readonly double[] _density;
    private readonly double[] _common;
    private readonly double _bin;
    private readonly double _seconds;
    private readonly double _rate;
    private readonly double _estimates;
    private readonly double _squares = 1;
    private readonly double[] _stop;

    public FlutterNoise(SpeedStatistics statistics, double weightLeft, bool stereo, double seconds)
    {
        _bin = statistics.Narrow.BinHz;
        _rate = statistics.RateHz;
        _seconds = seconds;
        _common = statistics.Narrow.Density();
        _stop = statistics.StopGain(_bin, _common.Length);
        WideCommon = statistics.Wide.Density();
        var wideBin = statistics.Wide.BinHz;
        var alone = WhitePhase(WideCommon, wideBin, statistics, noiseOnly: false);
        var share = weightLeft * (1 - weightLeft);
        if (stereo && share > 1e-4)
        {
            // With the weights at their best, the common signal's noise is wL·wR of the difference's, and the two are independent. Where
            // the weights are off, what they share sets it right: var(nC) = wL·wR·var(nD) + (wL − wR)·cov(nC, nD).
            share = Math.Max(0, share + (((2 * weightLeft) - 1) * statistics.DifferenceInCommon));
            var difference = statistics.WideDifference.Density();
            PhaseDensity = WhitePhase(difference, wideBin, statistics, noiseOnly: true) * share;
            if (PhaseDensity > 0.02 * alone)
            {
                _density = Scaled(Smoothed(statistics.NarrowDifference.Density()), share);
                WideDensity = Scaled(difference, share);

                // The square of an average of K periodograms, 14 independent bins together, is high by 1/(14·K) in the mean; and one Hann
                // segment alone scatters 1.94 times as much as its length allows, several that overlap hardly more [computed].
                var segments = statistics.Narrow.Segments;
                _squares = 1 / (1 + (1 / (14 * Math.Max(1, 0.947 * segments))));
                _estimates = segments == 1 ? 1.94 : 1.06;
                return;
            }
        }

        // The channels share nearly all of their noise (one source on both, or one interface's hiss): they are as good as one.
        FromOneChannel = true;
        PhaseDensity = alone;
        _density = White(_common.Length, _bin);
        WideDensity = White(WideCommon.Length, wideBin);
        for (var k = 0; k < WideDensity.Length; k++)
        {
            var droop = Droop(k * wideBin, _rate);
            WideDensity[k] *= droop * droop;
        }
    }

    /// <summary>
    /// Whether one channel alone (or two with the same noise) had to tell the noise: what the deck's own motion makes evenly over the whole
    /// band, as broad scrape does, is then taken for noise.
    /// </summary>
    public bool FromOneChannel { get; }

    /// <summary>Density of the phase noise, rad²/Hz, one-sided.</summary>
    public double PhaseDensity { get; }

    /// <summary>Noise density at the full rate, Hz²/Hz.</summary>
    public double[] WideDensity { get; }

    /// <summary>Density of the speed signal itself at the full rate.</summary>
    public double[] WideCommon { get; }

    /// <summary>Density of the motion alone, per bin of the narrow spectrum; below nothing where noise happened to be estimated
    /// high.</summary>
    public double Motion(int bin) => _common[bin] - _density[bin];

    /// <summary>Distance of the narrow spectrum's bins, Hz.</summary>
    public double BinHz => _bin;

    /// <summary>Bins of the narrow spectrum up to where the flutter band is stopped.</summary>
    public int BandBins => _stop.Length;

    /// <summary>Gain of the filter that stops the flutter band, at a bin.</summary>
    public double Stop(int bin) => _stop[bin];

    /// <summary>Mean square of the motion in the flutter band as far as it surely stands out of the noise (two standard deviations),
    /// Hz².</summary>
    public double SurePower()
    {
        double power = 0, scatter = 0;
        for (var k = 1; k < _stop.Length; k++)
        {
            var g2 = _stop[k] * _stop[k];
            power += (_common[k] - _density[k]) * g2 * _bin;
            scatter += _density[k] * _density[k] * g2 * g2 * _squares * _bin;
        }

        return Math.Max(0, power - (2 * Math.Sqrt((1.94 + _estimates) * scatter / _seconds)));
    }

    /// <summary>
    /// Takes the noise out of a mean square found behind a filter, and says how uncertain it leaves the root: cross terms of signal and
    /// noise, and the noise's own scatter.
    /// </summary>
    /// <param name="power">Mean square found, Hz².</param>
    /// <param name="gain">The filter's gain at a rate in Hz.</param>
    /// <param name="methodSigma">Standard deviation of the mean square by the method, Hz².</param>
    public Estimate Root(double power, Func<double, Complex> gain, double methodSigma)
    {
        double noise = 0, cross = 0, scatter = 0;
        for (var k = 1; k < _stop.Length; k++)
        {
            var g = gain(k * _bin).Magnitude * _stop[k];
            var g2 = g * g;
            var n = _density[k] * g2;
            noise += n * _bin;
            cross += n * (_common[k] - _density[k]) * g2 * _bin;
            scatter += n * n * _squares * _bin;
        }

        // var(mean of s·n) = ∫ Ss·Sn df / (2T), one-sided densities; it comes twice. The noise's square, and the estimate of it, each
        // ∫Sn²df/T.
        var sigma = Math.Sqrt(((2 * Math.Max(0, cross)) + ((1 + _estimates) * scatter)) / _seconds);
        return Root(Math.Max(0, power - noise), sigma, methodSigma);
    }

    /// <summary>Root mean square of the speed signal above the flutter band, Hz, noise taken out, the demodulator's droop made
    /// good.</summary>
    /// <returns>The figure, and how much higher it is where all that was taken for the carrier's noise was scrape too.</returns>
    public (Estimate Scrape, double Untold) Scrape(double fromHz, double toHz, double binHz)
    {
        double power = 0, noise = 0, scatter = 0;
        for (var k = (int)Math.Ceiling(fromHz / binHz); k < WideCommon.Length && k * binHz <= toHz; k++)
        {
            var droop = Droop(k * binHz, _rate);
            power += WideCommon[k] * binHz / (droop * droop);
            noise += WideDensity[k] * binHz / (droop * droop);
            scatter += WideDensity[k] * Math.Max(WideCommon[k], WideDensity[k]) * binHz / Math.Pow(droop, 4);
        }

        var root = Root(Math.Max(0, power - noise), Math.Sqrt(2 * scatter / _seconds), 0.002 * power);
        return (root, FromOneChannel ? Math.Max(0, Math.Sqrt(power) - root.Value) : 0);
    }

    /// <summary>Loss by differencing the phase over one sample: sin(x)/x with x = πf/rate.</summary>
    public static double Droop(double hz, double rateHz)
    {
        var x = Math.PI * hz / rateHz;
        return x < 1e-9 ? 1 : Math.Sin(x) / x;
    }

    // Root of a power known to ±2σ: where the power is little more than its own scatter, the root's interval reaches down to nothing.
    private static Estimate Root(double power, double sigma, double methodSigma)
    {
        var root = Math.Sqrt(power);
        double Spread(double s)
        {
            if (power < NothingSigmas * s)
            {
                return Math.Max(root, Math.Sqrt(power + (NothingSigmas * s)) - root);
            }

            // From there the lower limit leaves nothing behind, and by twice as much it is the two-sided one.
            var lower = s > 0 ? Math.Min(2, NothingSigmas + ((2 - NothingSigmas) * ((power / (NothingSigmas * s)) - 1))) : 2;
            return Math.Max(root - Math.Sqrt(Math.Max(0, power - (lower * s))), Math.Sqrt(power + (2 * s)) - root);
        }

        return new Estimate(root, Spread(sigma), Spread(methodSigma));
    }

    private double[] White(int bins, double binHz)
    {
        var density = new double[bins];
        for (var k = 0; k < bins; k++)
        {
            var f = k * binHz;
            density[k] = PhaseDensity * f * f;
        }

        return density;
    }

    private static double[] Scaled(double[] density, double factor)
    {
        for (var k = 0; k < density.Length; k++)
        {
            density[k] *= factor;
        }

        return density;
    }

    // Running mean over ten bins on either side: noise is smooth, and a single bin of one periodogram is not.
    private static double[] Smoothed(double[] density)
    {
        const int reach = 10;
        var sums = new double[density.Length + 1];
        for (var k = 0; k < density.Length; k++)
        {
            sums[k + 1] = sums[k] + density[k];
        }

        var smooth = new double[density.Length];
        for (var k = 0; k < density.Length; k++)
        {
            var near = Math.Min(reach, Math.Min(k, density.Length - 1 - k));
            smooth[k] = (sums[k + near + 1] - sums[k - near]) / ((2 * near) + 1);
        }

        return smooth;
    }

    // Differences of the channels hold noise alone: the mean. One channel holds the deck's scrape too: a low quantile, which lines and
    // humps do not move, turned into the mean by the law it is drawn from.
    private static double WhitePhase(double[] density, double binHz, SpeedStatistics statistics, bool noiseOnly)
    {
        var values = new List<double>();
        var from = Math.Min(1.5 * statistics.HighestHz, 0.6 * statistics.PassHz);
        for (var k = Math.Max(3, (int)(from / binHz)); k < density.Length && k * binHz <= statistics.PassHz; k++)
        {
            var f = k * binHz * Droop(k * binHz, statistics.RateHz);
            values.Add(density[k] / (f * f));
        }

        if (values.Count == 0)
        {
            return 0;
        }

        if (noiseOnly)
        {
            return values.Average();
        }

        values.Sort();
        return values[(int)(QuietShare * values.Count)] / QuietQuantile(statistics.Wide.Segments);
    }

    // Quantile against mean of an average of squared Hann segments overlapped by half: chi-square of 2·0.947·n degrees (n > 1) by the
    // cube-root approximation.
    private static double QuietQuantile(int segments)
    {
        const double z = -0.8416; // of the normal law at QuietShare
        var t = 2 / (9 * 2.0 * Math.Max(1, 0.947 * segments));
        return Math.Pow(1 - t + (z * Math.Sqrt(t)), 3);
    }
}
