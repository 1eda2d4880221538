using System.Collections.Concurrent;
using System.Numerics;

namespace Spoolwright.Bench.Tests.Levels;

/// <summary>
/// What a stretch of noise holds, the plain way: its whole spectrum weighed by the published formulas, and the quasi-peak detector sample
/// by sample. Shares no code with the meters; only the detector's four constants are theirs (fitted to the burst tables, which are
/// remembered).
/// </summary>
internal static class RealisedNoise
{
    // Poles of the 468 network, rad/s [BS468-4].
    private static readonly Complex[] Poles =
    [
        new(-25903.701, 0),
        new(-23615.535, 36379.909),
        new(-23615.535, -36379.909),
        new(-18743.747, 62460.156),
        new(-18743.747, -62460.156),
        new(-62675.170, 0),
    ];

    // What the formulas say at every bin of a length, once for all seeds.
    private static readonly ConcurrentDictionary<(int Length, int RateHz), (double[] A, Complex[] Network, double Calibration)> Tables =
        new();
    private static readonly ConcurrentDictionary<int, Complex[]> Circles = new();

    /// <summary>Levels of a power of two of samples, dBFS on the scale of a sine: A-weighted, unweighted, 468-weighted mean of the
    /// indication after 1.5 s.</summary>
    public static (double A, double Unweighted, double Quasi) Of(float[] sound, int rate)
    {
        var n = sound.Length;
        var z = Spectrum(sound);
        var (weights, network, calibration) = Tables.GetOrAdd((n, rate), k => Table(k.Length, k.RateHz));
        double a = 0, flat = 0;
        var weighted = new Complex[n];
        for (var k = 1; k < n / 2; k++)
        {
            var power = Power(z[k], n);
            a += power * weights[k] * weights[k];
            flat += InBand(k * (double)rate / n) ? power : 0;

            // Back by the transform of the conjugate.
            weighted[n - k] = z[k] * network[k];
            weighted[k] = Complex.Conjugate(weighted[n - k]);
        }

        Transform(weighted);
        var mean = QuasiPeak([.. weighted.Select(w => w.Real / n)], rate);
        return (10 * Math.Log10(2 * a), 10 * Math.Log10(2 * flat), 20 * Math.Log10(mean / calibration));
    }

    /// <summary>The unweighted level alone.</summary>
    public static double Unweighted(float[] sound, int rate)
    {
        var z = Spectrum(sound);
        return 10
            * Math.Log10(
                2 * Enumerable.Range(1, (z.Length / 2) - 1).Where(k => InBand(k * (double)rate / z.Length)).Sum(k => Power(z[k], z.Length))
            );
    }

    private static bool InBand(double f) => f is >= 22.4 and <= 22_400;

    private static double Power(Complex z, int n) => 2 * ((z.Real * z.Real) + (z.Imaginary * z.Imaginary)) / n / n;

    private static Complex[] Spectrum(float[] sound)
    {
        Complex[] z = [.. sound.Select(x => new Complex(x, 0))];
        Transform(z);
        return z;
    }

    private static (double[] A, Complex[] Network, double Calibration) Table(int n, int rate)
    {
        double Hz(int k) => k * (double)rate / n;
        var (atOne, network) = (AWeighted(1000), Network(1000).Magnitude);
        return (
            [.. Enumerable.Range(0, n / 2).Select(k => AWeighted(Hz(k)) / atOne)],
            [.. Enumerable.Range(0, n / 2).Select(k => Network(Hz(k)) / network)],
            QuasiPeak([.. Enumerable.Range(0, 3 * rate).Select(i => Math.Sin(2 * Math.PI * 1000 * i / rate))], rate));
    }

    private static double QuasiPeak(double[] w, int rate)
    {
        double first = 0, second = 0, sum = 0;
        double charge1 = 1 - Math.Exp(-1 / (0.00143694 * rate)), fall1 = Math.Exp(-1 / (0.28886347 * rate));
        double charge2 = 1 - Math.Exp(-1 / (0.27890433 * rate)), fall2 = Math.Exp(-1 / (0.28328484 * rate));
        var settled = (int)(1.5 * rate);
        for (var i = 0; i < w.Length; i++)
        {
            var v = Math.Abs(w[i]);
            first *= fall1;
            first += v > first ? charge1 * (v - first) : 0;
            second *= fall2;
            second += first > second ? charge2 * (first - second) : 0;
            sum += i >= settled ? second : 0;
        }

        return sum / (w.Length - settled);
    }

    private static Complex Network(double f)
    {
        var s = new Complex(0, 2 * Math.PI * f);
        return Poles.Aggregate(s, (h, p) => h / (s - p));
    }

    /// <summary>The A-weighting by its formula [IEC61672-1:2013].</summary>
    private static double AWeighted(double f)
    {
        var f2 = f * f;
        return 12194.217
            * 12194.217
            * f2
            * f2
            / (
                (f2 + (20.598997 * 20.598997))
                * Math.Sqrt((f2 + (107.65265 * 107.65265)) * (f2 + (737.86223 * 737.86223)))
                * (f2 + (12194.217 * 12194.217))
            );
    }

    // Decimation in time, by the textbook.
    private static void Transform(Complex[] z)
    {
        for (int i = 1, j = 0; i < z.Length; i++)
        {
            var bit = z.Length >> 1;
            for (; (j & bit) != 0; bit >>= 1)
                j ^= bit;
            j ^= bit;
            if (i < j)
                (z[i], z[j]) = (z[j], z[i]);
        }

        var n = z.Length;
        var circle = Circles.GetOrAdd(
            n,
            m => [.. Enumerable.Range(0, m / 2).Select(k => Complex.FromPolarCoordinates(1, -2 * Math.PI * k / m))]
        );
        for (var length = 2; length <= n; length <<= 1)
        {
            for (var start = 0; start < n; start += length)
            {
                for (var k = 0; k < length / 2; k++)
                {
                    Complex even = z[start + k], odd = z[start + k + (length / 2)] * circle[k * (n / length)];
                    (z[start + k], z[start + k + (length / 2)]) = (even + odd, even - odd);
                }
            }
        }
    }
}
