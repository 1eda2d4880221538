using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Alignment;

/// <summary>
/// The correlation of two stereo sounds in a window, both sides together, with loud and soft parts of the spectrum brought half way
/// together so that one strong tone does not blur it, and without what the second sound's own noise may be. 1: the same sound.
/// </summary>
internal sealed class WindowCorrelation
{
    // A bin of noise alone exceeds three times its mean once in twenty times.
    private const double AboveNoise = 3;

    private readonly Fft _fft;
    private readonly double[] _window;
    private readonly double _rate;
    private readonly int _fromBin;
    private readonly int _toBin;
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double[] _acrossRe;
    private readonly double[] _acrossIm;
    private readonly double[] _row;
    private readonly double[][] _noise;
    private double _meanSquareHz;
    private double _effectiveBins;

    public WindowCorrelation(double windowSeconds, double reachSeconds, double rate, double lowestHz, double highestHz)
    {
        _rate = rate;
        var length = (int)(windowSeconds * rate);
        Middle = (int)Math.Ceiling(reachSeconds * rate);
        var size = 1 << (int)Math.Ceiling(Math.Log2(length + (2 * Middle) + 2));
        _fft = new Fft(size);
        _window = [.. Enumerable.Range(0, length).Select(i => 0.5 - (0.5 * Math.Cos(2 * Math.PI * (i + 0.5) / length)))];
        _fromBin = Math.Max(1, (int)(lowestHz * size / rate));
        _toBin = Math.Min((size / 2) - 1, (int)(highestHz * size / rate));
        (_re, _im, _acrossRe, _acrossIm) = (new double[size], new double[size], new double[size], new double[size]);
        _row = new double[(2 * Middle) + 1];
        _noise = [new double[size / 2], new double[size / 2]];
    }

    /// <summary>Place of no lag in a row.</summary>
    public int Middle { get; }

    /// <summary>Learns the second sound's noise from the windows in which the first is softest.</summary>
    /// <param name="a">First sound, left and right.</param>
    /// <param name="b">Second sound.</param>
    public void LearnNoise(float[][] a, float[][] b)
    {
        var windows = Enumerable.Range(0, Math.Max(1, b[0].Length / _window.Length)).Select(w => w * _window.Length)
            .OrderBy(start => Power(a, start)).Take(Math.Max(3, b[0].Length / _window.Length / 25)).ToArray();
        foreach (var start in windows)
        {
            for (var side = 0; side < 2; side++)
            {
                Transform(a[side], b[side], start, 0);
                for (var k = _fromBin; k <= _toBin; k++)
                {
                    var (_, _, br, bi) = Bin(k);
                    _noise[side][k] += ((br * br) + (bi * bi)) / windows.Length;
                }
            }
        }
    }

    /// <summary>The correlation against lag, <see cref="Middle"/> being the shift. The row is used again by the next call.</summary>
    /// <param name="a">First sound, left and right.</param>
    /// <param name="b">Second sound.</param>
    /// <param name="seconds">Middle of the window in the second sound, s.</param>
    /// <param name="shift">Samples by which the first is laid later.</param>
    public double[] At(float[][] a, float[][] b, double seconds, int shift)
    {
        Array.Clear(_acrossRe);
        Array.Clear(_acrossIm);
        double energyA = 0, energyB = 0, moment = 0, squares = 0, sum = 0;
        var start = (int)Math.Round(seconds * _rate) - (_window.Length / 2);
        for (var side = 0; side < 2; side++)
        {
            Transform(a[side], b[side], start, shift);
            for (var k = _fromBin; k <= _toBin; k++)
            {
                var (ar, ai, br, bi) = Bin(k);
                double powerA = (ar * ar) + (ai * ai), powerB = (br * br) + (bi * bi);
                var sounding = Math.Max(0, 1 - (AboveNoise * _noise[side][k] / (powerB + 1e-30)));
                var weight = sounding / (Math.Sqrt(Math.Sqrt(powerA * powerB)) + 1e-12);
                _acrossRe[k] += weight * ((ar * br) + (ai * bi));
                _acrossIm[k] += weight * ((ar * bi) - (ai * br));
                energyA += weight * powerA;
                energyB += weight * powerB;
                var strength = weight * Math.Sqrt(powerA * powerB);
                var hz = k * _rate / _re.Length;
                moment += strength * strength * hz * hz;
                squares += strength * strength;
                sum += strength;
            }
        }

        _meanSquareHz = squares > 0 ? moment / squares : 0;
        _effectiveBins = squares > 0 ? sum * sum / squares : 0;
        ToRow(Math.Sqrt(energyA * energyB));
        return _row;
    }

    /// <summary>One standard deviation of a peak's place in the last row, s: noise between the sounds that the height of the peak
    /// betrays.</summary>
    /// <param name="height">Height of the peak, 0 to 1.</param>
    public double Sigma(double height)
    {
        var noise = Math.Max(1e-6, 1 - (height * height)) / (height * height);

        // The bound for a delay between two noisy copies; of a Hann window's bins some two count as one.
        return Math.Sqrt(noise * 1.94 / (2 * Math.Max(1, _effectiveBins))) / (2 * Math.PI * Math.Sqrt(Math.Max(1, _meanSquareHz)));
    }

    // Two real windows in one transform.
    private void Transform(float[] a, float[] b, int start, int shift)
    {
        Array.Clear(_re);
        Array.Clear(_im);
        for (var i = 0; i < _window.Length; i++)
        {
            int atA = start + i - shift, atB = start + i;
            _re[i] = atA >= 0 && atA < a.Length ? _window[i] * a[atA] : 0;
            _im[i] = atB >= 0 && atB < b.Length ? _window[i] * b[atB] : 0;
        }

        _fft.Forward(_re, _im);
    }

    private (double Ar, double Ai, double Br, double Bi) Bin(int k)
    {
        var m = _re.Length - k;
        return ((_re[k] + _re[m]) / 2, (_im[k] - _im[m]) / 2, (_im[k] + _im[m]) / 2, (_re[m] - _re[k]) / 2);
    }

    private double Power(float[][] sound, int start)
    {
        double power = 0;
        foreach (var side in sound)
        {
            for (var i = start; i < Math.Min(side.Length, start + _window.Length); i++)
            {
                power += side[i] * side[i];
            }
        }

        return power;
    }

    private void ToRow(double energy)
    {
        // Swapped parts make the forward transform an inverse one; the spectrum has its upper half alone, the real part is what is wanted.
        for (var k = 0; k < _re.Length; k++)
        {
            (_re[k], _im[k]) = (_acrossIm[k], _acrossRe[k]);
        }

        _fft.Forward(_re, _im);
        for (var i = 0; i < _row.Length; i++)
        {
            var lag = i - Middle;
            _row[i] = energy > 1e-9 ? _im[lag >= 0 ? lag : _im.Length + lag] / energy : 0;
        }
    }
}
