using System.Numerics;

namespace Spoolwright.Signal.Filters;

/// <summary>A filter in the s plane, in rad/s, by its zeros, poles and gain. Complex ones come in conjugate pairs, both listed.</summary>
public sealed record AnalogueFilter(IReadOnlyList<Complex> Zeros, IReadOnlyList<Complex> Poles, double Gain)
{
    /// <summary>Complex gain at a frequency in Hz.</summary>
    public Complex At(double frequencyHz)
    {
        var s = new Complex(0, 2 * Math.PI * frequencyHz);
        var h = new Complex(Gain, 0);
        foreach (var zero in Zeros)
        {
            h *= s - zero;
        }

        foreach (var pole in Poles)
        {
            h /= s - pole;
        }

        return h;
    }

    /// <summary>The same filter with unit gain at a frequency in Hz.</summary>
    public AnalogueFilter Normalised(double frequencyHz) => this with { Gain = Gain / At(frequencyHz).Magnitude };
}

/// <summary>
/// A recursive filter as a chain of second-order sections, double precision throughout, transposed direct form II.
/// Holds its state: one instance filters one signal.
/// </summary>
public sealed class SecondOrderSections
{
    // |1 + c·exp(−jw)|/(1 + c) falls by w²·c/(2(1 + c)²); a sampled pole rises by w²/24: c/(1 + c)² = 1/12.
    private const double SlopeZero = -0.10102051443364380;
    private readonly double[] _coefficients; // b0 b1 b2 a1 a2 per section
    private readonly double[] _state;

    private SecondOrderSections(double[] coefficients)
    {
        _coefficients = coefficients;
        _state = new double[coefficients.Length / 5 * 2];
    }

    /// <summary>
    /// Maps every zero and pole by z = exp(sT) (matched z). Unlike the bilinear transform it does not bend the frequency axis. For every
    /// pole without a zero, a zero at −(5 − 2√6) takes out what a pole gains by sampling, to the second order in frequency: a slope of −6
    /// dB an octave stays within 0.004 dB up to a tenth of the rate. Gain is set equal to the analogue filter's at
    /// <paramref name="matchHz"/>.
    /// </summary>
    public static SecondOrderSections Matched(AnalogueFilter filter, double sampleRateHz, double matchHz) =>
        FromZ(
            filter
                .Zeros.Select(z => Complex.Exp(z / sampleRateHz))
                .Concat(Enumerable.Repeat(new Complex(SlopeZero, 0), filter.Poles.Count - filter.Zeros.Count)),
            filter.Poles.Select(p => Complex.Exp(p / sampleRateHz)),
            filter,
            sampleRateHz,
            matchHz
        );

    /// <summary>Bilinear transform, for filters whose corner frequencies lie far below the rate. Gain set equal at
    /// <paramref name="matchHz"/>.</summary>
    public static SecondOrderSections Bilinear(AnalogueFilter filter, double sampleRateHz, double matchHz)
    {
        Complex Map(Complex s) => ((2 * sampleRateHz) + s) / ((2 * sampleRateHz) - s);
        var zeros = filter.Zeros.Select(Map).Concat(Enumerable.Repeat(new Complex(-1, 0), filter.Poles.Count - filter.Zeros.Count));
        return FromZ(zeros, filter.Poles.Select(Map), filter, sampleRateHz, matchHz);
    }

    /// <summary>b0 b1 b2 a1 a2 of each section in turn, for a filter that runs several signals at once.</summary>
    internal ReadOnlySpan<double> Coefficients => _coefficients;

    /// <summary>Gain of the filter as it runs, at a frequency in Hz.</summary>
    public Complex At(double frequencyHz, double sampleRateHz)
    {
        var z1 = Complex.Exp(new Complex(0, -2 * Math.PI * frequencyHz / sampleRateHz));
        var h = Complex.One;
        for (var i = 0; i < _coefficients.Length; i += 5)
        {
            h *= (_coefficients[i] + (z1 * (_coefficients[i + 1] + (z1 * _coefficients[i + 2]))))
                / (1 + (z1 * (_coefficients[i + 3] + (z1 * _coefficients[i + 4]))));
        }

        return h;
    }

    /// <summary>Filters one sample.</summary>
    public double Next(double x)
    {
        var c = _coefficients;
        var s = _state;
        for (int i = 0, j = 0; i < c.Length; i += 5, j += 2)
        {
            var y = (c[i] * x) + s[j];
            s[j] = (c[i + 1] * x) - (c[i + 3] * y) + s[j + 1];
            s[j + 1] = (c[i + 2] * x) - (c[i + 4] * y);
            x = y;
        }

        return x;
    }

    /// <summary>Forgets the past.</summary>
    public void Reset() => Array.Clear(_state);

    private static SecondOrderSections FromZ(
        IEnumerable<Complex> zeros, IEnumerable<Complex> poles, AnalogueFilter filter, double sampleRateHz, double matchHz)
    {
        var numerators = Quadratics(zeros);
        var denominators = Quadratics(poles);
        while (numerators.Count < denominators.Count)
        {
            numerators.Add((0, 0));
        }

        var coefficients = new double[denominators.Count * 5];
        for (var i = 0; i < denominators.Count; i++)
        {
            coefficients[i * 5] = 1;
            (coefficients[(i * 5) + 1], coefficients[(i * 5) + 2]) = numerators[i];
            (coefficients[(i * 5) + 3], coefficients[(i * 5) + 4]) = denominators[i];
        }

        var sections = new SecondOrderSections(coefficients);
        var gain = filter.At(matchHz).Magnitude / sections.At(matchHz, sampleRateHz).Magnitude;
        for (var k = 0; k < 3; k++)
        {
            coefficients[k] *= gain;
        }

        return sections;
    }

    // Roots to monic quadratics in 1/z: conjugates together, reals in pairs (a lone one with a root at zero).
    private static List<(double B1, double B2)> Quadratics(IEnumerable<Complex> roots)
    {
        var result = new List<(double, double)>();
        var reals = new List<double>();
        foreach (var root in roots)
        {
            if (Math.Abs(root.Imaginary) < 1e-12)
            {
                reals.Add(root.Real);
            }
            else if (root.Imaginary > 0)
            {
                result.Add((-2 * root.Real, (root.Real * root.Real) + (root.Imaginary * root.Imaginary)));
            }
        }

        reals.Sort();
        for (var i = 0; i < reals.Count; i += 2)
        {
            result.Add(i + 1 < reals.Count ? (-reals[i] - reals[i + 1], reals[i] * reals[i + 1]) : (-reals[i], 0));
        }

        return result;
    }
}
