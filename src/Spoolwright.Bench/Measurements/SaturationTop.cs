using Spoolwright.Bench.Instruments;
using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Measurements;

/// <summary>The highest value of a curve known by several answers, with what each leaves open and what they differ by.</summary>
/// <param name="LevelDb">It, dB.</param>
/// <param name="At">Where, in the curve's own places.</param>
/// <param name="NoiseDb">k = 2, of the noise.</param>
/// <param name="OpenDb">k = 2, of what the answers differ by.</param>
internal readonly record struct SaturationTop(double LevelDb, double At, double NoiseDb, double OpenDb)
{
    private const int Fine = 400;

    /// <summary>Of a curve that is a sum of rows.</summary>
    /// <param name="answers">The numbers that rows are multiplied by.</param>
    /// <param name="row">What stands at a place.</param>
    /// <param name="from">First place looked at.</param>
    /// <param name="to">Last one.</param>
    /// <param name="halfPiece">Variance of the places within one piece, halved: its mean lies under a round top by that times the
    /// bend.</param>
    public static SaturationTop Of(
        IReadOnlyList<WanderingLevel.Answer> answers,
        Func<double, double[]> row,
        double from,
        double to,
        double halfPiece
    )
    {
        var step = (to - from) / Fine;
        double[] places = [.. Enumerable.Range(0, Fine + 1).Select(i => from + (i * step))];
        double[][] rows = [.. places.Select(row)];
        var tops = new List<(double Weight, double Level, double At, double Variance)>(answers.Count);
        foreach (var answer in answers)
        {
            double At(double[] r) => r.Zip(answer.Numbers, (a, b) => a * b).Sum();
            var best = Enumerable.Range(0, rows.Length).MaxBy(i => At(rows[i]));
            var (at, level, variance) = (places[best], At(rows[best]), Variance(rows[best], answer.Covariance));
            if (best > 0 && best < Fine)
            {
                double before = At(rows[best - 1]), after = At(rows[best + 1]), bend = (before - (2 * level) + after) / (step * step);
                if (bend < 0)
                {
                    // Between two places of the search, by a parabola.
                    var slope = (after - before) / (2 * step);
                    at -= Math.Clamp(slope / bend, -step, step);
                    level -= slope * slope / (2 * bend);

                    // The highest of a curve under noise lies too high: where its slope is uncertain, the top is taken where noise makes it
                    // higher.
                    double[] tilt = [.. rows[best + 1].Zip(rows[best - 1], (a, b) => (a - b) / (2 * step))];
                    var high = Math.Min(Variance(tilt, answer.Covariance) / (-2 * bend), Math.Sqrt(variance));
                    level += (-bend * halfPiece) - high;
                    variance += 2 * high * high;
                }
            }

            // The scatter is known by some degrees of freedom only.
            tops.Add((answer.Weight, level, at, variance * Math.Pow(Confidence.Factor(answer.Freedom) / 2, 2)));
        }

        var mean = tops.Sum(t => t.Weight * t.Level);
        double within = tops.Sum(t => t.Weight * t.Variance), between = tops.Sum(t => t.Weight * Math.Pow(t.Level - mean, 2));
        var half = NormalMixture.HalfWidth([.. tops.Select(t => (t.Weight, t.Level - mean, t.Variance))]);
        var k = half / Math.Sqrt(within + between);
        return new SaturationTop(mean, tops.Sum(t => t.Weight * t.At), k * Math.Sqrt(within), k * Math.Sqrt(between));
    }

    private static double Variance(double[] row, double[] covariance)
    {
        double sum = 0;
        for (var a = 0; a < row.Length; a++)
        {
            for (var b = 0; b < row.Length; b++)
            {
                sum += row[a] * row[b] * covariance[(a * row.Length) + b];
            }
        }

        return sum;
    }
}
