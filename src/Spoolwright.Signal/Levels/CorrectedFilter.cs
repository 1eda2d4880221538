using System.Numerics;
using Spoolwright.Signal.Filters;

namespace Spoolwright.Signal.Levels;

/// <summary>
/// A weighting filter at one sample rate, true to its analogue model nearly up to half the rate: its poles and zeros mapped by z = exp(sT),
/// and behind them a short symmetric filter that puts right, by least squares over the whole band, what sampling bends.
/// </summary>
public sealed class CorrectedFilter
{
    // Least squares over so many points from 0 Hz to half the rate.
    private const int Points = 600;

    // The topmost part of the band, where no symmetric filter can follow a slope, counts little.
    private const double FullWeightShare = 0.955;

    private readonly double _rate;

    private CorrectedFilter(SecondOrderSections sections, double[] taps, double rate)
    {
        Sections = sections;
        Taps = taps;
        _rate = rate;
    }

    /// <summary>The recursive part.</summary>
    internal SecondOrderSections Sections { get; }

    /// <summary>Symmetric taps, an odd number of them.</summary>
    public IReadOnlyList<double> Taps { get; }

    /// <summary>Designs the filter.</summary>
    /// <param name="filter">The analogue model.</param>
    /// <param name="sampleRateHz">Rate it runs at, Hz, at least 32000.</param>
    /// <param name="matchHz">Where its gain is set equal to the model's, Hz.</param>
    /// <param name="halfTaps">Taps on either side of the middle one, 4 to 40.</param>
    public static CorrectedFilter Design(AnalogueFilter filter, double sampleRateHz, double matchHz, int halfTaps)
    {
        ArgumentNullException.ThrowIfNull(filter);
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 32000);
        ArgumentOutOfRangeException.ThrowIfLessThan(halfTaps, 4);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(halfTaps, 40);
        var sections = SecondOrderSections.Matched(filter, sampleRateHz, matchHz);
        var n = halfTaps + 1;
        var normal = new double[n, n];
        var right = new double[n];
        var row = new double[n];
        for (var i = 0; i < Points; i++)
        {
            var share = (i + 0.5) / Points;
            var hz = share * sampleRateHz / 2;
            var wanted = filter.At(hz).Magnitude / sections.At(hz, sampleRateHz).Magnitude;
            var weight = (share < FullWeightShare ? 1 : 0.02) / wanted; // errors count as shares, that is in dB
            for (var k = 0; k < n; k++)
            {
                row[k] = weight * Math.Cos(Math.PI * share * k);
            }

            for (var k = 0; k < n; k++)
            {
                right[k] += row[k] * weight * wanted;
                for (var j = 0; j < n; j++)
                {
                    normal[k, j] += row[k] * row[j];
                }
            }
        }

        var cosines = Solve(normal, right);
        var taps = new double[(2 * halfTaps) + 1];
        for (var k = 0; k < n; k++)
        {
            taps[halfTaps - k] = taps[halfTaps + k] = k == 0 ? cosines[0] : cosines[k] / 2;
        }

        var designed = new CorrectedFilter(sections, taps, sampleRateHz);
        var gain = filter.At(matchHz).Magnitude / designed.At(matchHz).Magnitude;
        return new CorrectedFilter(sections, [.. taps.Select(t => t * gain)], sampleRateHz);
    }

    /// <summary>Gain of the filter as it runs, at a frequency in Hz; without the delay of its taps.</summary>
    public Complex At(double frequencyHz)
    {
        var omega = 2 * Math.PI * frequencyHz / _rate;
        var half = Taps.Count / 2;
        var sum = Taps[half];
        for (var k = 1; k <= half; k++)
        {
            sum += 2 * Taps[half + k] * Math.Cos(omega * k);
        }

        return sum * Sections.At(frequencyHz, _rate);
    }

    // Gauss elimination with the largest pivot; the matrix is symmetric and well conditioned.
    private static double[] Solve(double[,] a, double[] b)
    {
        var n = b.Length;
        for (var k = 0; k < n; k++)
        {
            var pivot = Enumerable.Range(k, n - k).MaxBy(i => Math.Abs(a[i, k]));
            for (var j = 0; j < n; j++)
            {
                (a[k, j], a[pivot, j]) = (a[pivot, j], a[k, j]);
            }

            (b[k], b[pivot]) = (b[pivot], b[k]);
            for (var i = k + 1; i < n; i++)
            {
                var f = a[i, k] / a[k, k];
                for (var j = k; j < n; j++)
                {
                    a[i, j] -= f * a[k, j];
                }

                b[i] -= f * b[k];
            }
        }

        for (var k = n - 1; k >= 0; k--)
        {
            for (var j = k + 1; j < n; j++)
            {
                b[k] -= a[k, j] * b[j];
            }

            b[k] /= a[k, k];
        }

        return b;
    }
}
