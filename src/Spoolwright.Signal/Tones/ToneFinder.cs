using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Tones;

/// <summary>A steady tone seen in one window of sound.</summary>
/// <param name="FrequencyHz">Its frequency, Hz, to about a tenth of a bin.</param>
/// <param name="Left">Its power in the left channel (mean square).</param>
/// <param name="Right">Its power in the right channel.</param>
/// <param name="NoiseDensityLeft">Density of what lies around it, per Hz, left.</param>
/// <param name="NoiseDensityRight">The same, right.</param>
/// <param name="Share">Share of all power between 20 Hz and the band's end that stands in the line itself, both channels, 0 to 1.</param>
/// <param name="BroadShare">Share that stands within 5 % of it: a tone with strong wow is broad.</param>
public readonly record struct SeenTone(
    double FrequencyHz, double Left, double Right, double NoiseDensityLeft, double NoiseDensityRight, double Share, double BroadShare);

/// <summary>Finds the loudest tone in a window of sound by its spectrum.</summary>
public sealed class ToneFinder
{
    private readonly Fft _fft;
    private readonly double[] _window;
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double[] _left;
    private readonly double[] _right;
    private readonly double _rate;

    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    public ToneFinder(double sampleRateHz)
    {
        _rate = sampleRateHz;
        WindowFrames = 1 << (int)Math.Ceiling(Math.Log2(sampleRateHz * 0.25));
        _fft = new Fft(WindowFrames);
        _window = HannWindow.Periodic(WindowFrames);
        _re = new double[WindowFrames];
        _im = new double[WindowFrames];
        _left = new double[(WindowFrames / 2) + 1];
        _right = new double[(WindowFrames / 2) + 1];
    }

    /// <summary>Frames it looks at, a quarter to half a second.</summary>
    public int WindowFrames { get; }

    /// <summary>The loudest tone between two frequencies, or null where the window is silent.</summary>
    public SeenTone? Find(ReadOnlySpan<float> left, ReadOnlySpan<float> right, double fromHz, double toHz)
    {
        // Both channels by one transform: left as the real part, right as the imaginary part.
        for (var i = 0; i < WindowFrames; i++)
        {
            _re[i] = left[i] * _window[i];
            _im[i] = right.IsEmpty ? 0 : right[i] * _window[i];
        }

        _fft.Forward(_re, _im);
        var half = WindowFrames / 2;
        var scale = 2 / (WindowFrames * (double)WindowFrames * 0.375); // mean square per bin, Hann
        for (var k = 1; k < half; k++)
        {
            double ar = _re[k], ai = _im[k], br = _re[WindowFrames - k], bi = _im[WindowFrames - k];
            double lr = 0.5 * (ar + br), li = 0.5 * (ai - bi), rr = 0.5 * (ai + bi), ri = 0.5 * (br - ar);
            _left[k] = scale * ((lr * lr) + (li * li));
            _right[k] = scale * ((rr * rr) + (ri * ri));
        }

        var bin = _rate / WindowFrames;
        int from = Math.Max(4, (int)(fromHz / bin)), to = Math.Min(half - 4, (int)(toHz / bin));
        double total = 0, best = 0;
        var peak = -1;
        for (var k = Math.Max(1, (int)(20 / bin)); k < half; k++)
        {
            var p = _left[k] + _right[k];
            total += p;
            if (k >= from && k <= to && p > best)
            {
                best = p;
                peak = k;
            }
        }

        if (peak < 0 || best < 1e-18)
        {
            return null;
        }

        var (leftPower, rightPower, middle) = Around(peak, 2, half);
        var share = total > 0 ? Math.Min(1, (leftPower + rightPower) / total) : 0;
        var (broadLeft, broadRight, broadMiddle) = Around(peak, Math.Max(2, (int)Math.Ceiling(0.05 * peak)), half);
        var broadShare = total > 0 ? Math.Min(1, (broadLeft + broadRight) / total) : 0;
        if (broadShare > 0.5)
        {
            // Wow spreads the tone: all of it counts, and its middle is its frequency.
            (leftPower, rightPower, middle) = (broadLeft, broadRight, broadMiddle);
        }

        // What lies around: the median of bins 60 to 140 away on both sides, beyond the window's skirts and most of the flutter's
        // sidebands.
        return new SeenTone(
            middle * bin,
            leftPower,
            rightPower,
            Surroundings(_left, peak, half) / bin,
            Surroundings(_right, peak, half) / bin,
            share,
            broadShare
        );
    }

    // Power within so many bins of a peak, and its middle, in bins.
    private (double Left, double Right, double Middle) Around(int peak, int reach, int half)
    {
        double left = 0, right = 0, moment = 0;
        for (var k = Math.Max(1, peak - reach); k <= Math.Min(half - 1, peak + reach); k++)
        {
            left += _left[k];
            right += _right[k];
            moment += k * (_left[k] + _right[k]);
        }

        return (left, right, moment / (left + right));
    }

    private static double Surroundings(double[] power, int peak, int half)
    {
        Span<double> around = stackalloc double[42];
        var n = 0;
        for (var d = 60; d <= 140; d += 4)
        {
            if (peak - d > 0)
            {
                around[n++] = power[peak - d];
            }

            if (peak + d < half)
            {
                around[n++] = power[peak + d];
            }
        }

        around = around[..n];
        around.Sort();
        return n == 0 ? 0 : around[n / 2] / 0.693; // median of an exponential law to its mean
    }
}
