using System.Numerics;

namespace Spoolwright.Bench.Tests.Levels;

/// <summary>
/// What a stretch of noise holds, the plain way: its whole spectrum weighed by the published formulas, and the quasi-peak detector sample by sample. Shares
/// no code with the meters; only the detector's four constants are theirs (fitted to the burst tables, which are remembered).
/// </summary>
internal static class RealisedNoise
{
    // Poles of the 468 network, rad/s [BS468-4].
    private static readonly Complex[] Poles =
    [
        new(-25903.701, 0), new(-23615.535, 36379.909), new(-23615.535, -36379.909), new(-18743.747, 62460.156), new(-18743.747, -62460.156), new(-62675.170, 0),
    ];

    /// <summary>Levels of a power of two of samples, dBFS on the scale of a sine: A-weighted, unweighted, 468-weighted mean of the indication after 1.5 s.</summary>
    public static (double A, double Unweighted, double Quasi) Of(float[] sound, int rate)
    {
        var n = sound.Length;
        Complex[] z = [.. sound.Select(x => new Complex(x, 0))];
        Transform(z);
        double a = 0, flat = 0;
        var atOne = AWeighted(1000);
        var network = Network(1000).Magnitude;
        var weighted = new Complex[n];
        for (var k = 1; k < n / 2; k++)
        {
            var f = k * (double)rate / n;
            var power = 2 * (z[k] * Complex.Conjugate(z[k])).Real / n / n;
            a += power * Math.Pow(AWeighted(f) / atOne, 2);
            flat += f is >= 22.4 and <= 22_400 ? power : 0;
            weighted[k] = z[k] * Network(f) / network;
            weighted[n - k] = Complex.Conjugate(weighted[k]);
        }

        // Back by the transform of the conjugate.
        for (var k = 0; k < n; k++)
            weighted[k] = Complex.Conjugate(weighted[k]);
        Transform(weighted);
        var mean = QuasiPeak([.. weighted.Select(w => w.Real / n)], rate);
        return (10 * Math.Log10(2 * a), 10 * Math.Log10(2 * flat), 20 * Math.Log10(mean / Calibration(rate)));
    }

    private static double Calibration(int rate) => QuasiPeak([.. Enumerable.Range(0, 3 * rate).Select(i => Math.Sin(2 * Math.PI * 1000 * i / rate))], rate);

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
        return 12194.217 * 12194.217 * f2 * f2
            / ((f2 + (20.598997 * 20.598997)) * Math.Sqrt((f2 + (107.65265 * 107.65265)) * (f2 + (737.86223 * 737.86223))) * (f2 + (12194.217 * 12194.217)));
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

        for (var length = 2; length <= z.Length; length <<= 1)
        {
            Complex[] turn = [.. Enumerable.Range(0, length / 2).Select(k => Complex.FromPolarCoordinates(1, -2 * Math.PI * k / length))];
            for (var start = 0; start < z.Length; start += length)
            {
                for (var k = 0; k < length / 2; k++)
                {
                    Complex even = z[start + k], odd = z[start + k + (length / 2)] * turn[k];
                    (z[start + k], z[start + k + (length / 2)]) = (even + odd, even - odd);
                }
            }
        }
    }
}
