using Spoolwright.Signal.Filters;

namespace Spoolwright.Signal.Alignment;

/// <summary>
/// Finds how far one stereo sound lags behind another from moment to moment, where both are nearly in time already: by their correlation in
/// short windows, the path through its peaks that bends least, and a finer look along that path.
/// </summary>
public sealed class LagSearch
{
    /// <summary>From one value to the next, s.</summary>
    public const double StepSeconds = 0.01;

    private const double CoarseWindowSeconds = 0.2;
    private const double CoarseStepSeconds = 0.05;
    private const double SamePeakSeconds = 0.0002;
    private const double CoarseEvenness = 10;
    private const double FineWindowSeconds = 0.06;
    private const double FineReachSeconds = 0.0006;
    private const double RestReachSeconds = 0.0002;
    private const double FarOff = 0.15;

    // Tape speed changes by less than half a percent from window to window.
    private const double SteepestSlope = 0.005;
    private const double LowestHz = 150;
    private const double HighestHz = 6000;

    // Under this height a peak of the correlation tells nothing: silence, or another sound.
    private const double LeastCorrelation = 0.3;
    private const double LeastFineCorrelation = 0.5;

    // The bend of a lag under 0.1 % of flutter at some hertz, seconds for a step twice over.
    private const double BendSeconds = 3e-6;

    private readonly double _reach;

    /// <param name="reachSeconds">The lag lies within this, either way, s.</param>
    public LagSearch(double reachSeconds = 0.03)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(reachSeconds);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(reachSeconds, 0.1);
        _reach = reachSeconds;
    }

    /// <summary>The lag of one sound behind the other; null where they have nothing in common.</summary>
    /// <param name="sent">The sound held as the clock: left, right.</param>
    /// <param name="heard">The sound that lags: left, right, of the same rate and length.</param>
    /// <param name="sampleRateHz">Their rate, Hz, 32,000 or more.</param>
    public LagCourse? Find((float[] Left, float[] Right) sent, (float[] Left, float[] Right) heard, int sampleRateHz)
    {
        var (a, b, rate) = Bands(sent, heard, sampleRateHz);
        return Coarse(a, b, rate) is { } coarse ? Fine(a, b, rate, coarse, FineReachSeconds) : null;
    }

    /// <summary>What is left of the lag once the first sound was laid by it; as a window sees but the mean of what goes on in it, that is
    /// something.</summary>
    /// <param name="laid">The first sound laid by <paramref name="course"/>.</param>
    /// <param name="heard">The sound that lags.</param>
    /// <param name="sampleRateHz">Their rate, Hz.</param>
    /// <param name="course">The lag as found up to now.</param>
    /// <returns>The course with the rest added.</returns>
    public static LagCourse Refined(
        (float[] Left, float[] Right) laid,
        (float[] Left, float[] Right) heard,
        int sampleRateHz,
        LagCourse course
    )
    {
        ArgumentNullException.ThrowIfNull(course);
        var (a, b, rate) = Bands(laid, heard, sampleRateHz);
        var rest = Fine(a, b, rate, new LagCourse(1, [0, 0], [double.PositiveInfinity, double.PositiveInfinity]), RestReachSeconds);
        return new LagCourse(rest.StepSeconds, [.. rest.Lags.Select((l, i) => l + course.At(i * rest.StepSeconds))], rest.Sigmas);
    }

    private static (float[][] A, float[][] B, double Rate) Bands(
        (float[] Left, float[] Right) a,
        (float[] Left, float[] Right) b,
        int sampleRateHz
    )
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 32_000);
        ArgumentOutOfRangeException.ThrowIfNotEqual(b.Left.Length, a.Left.Length, nameof(b));
        var decimation = (int)Math.Floor(sampleRateHz / 16_000.0);
        return (
            [Band(a.Left, sampleRateHz, decimation), Band(a.Right, sampleRateHz, decimation)],
            [Band(b.Left, sampleRateHz, decimation), Band(b.Right, sampleRateHz, decimation)],
            (double)sampleRateHz / decimation);
    }

    private LagCourse? Coarse(float[][] a, float[][] b, double rate)
    {
        var correlation = new WindowCorrelation(CoarseWindowSeconds, _reach, rate, LowestHz, HighestHz);
        correlation.LearnNoise(a, b);
        var windows = (int)(a[0].Length / (CoarseStepSeconds * rate)) + 1;
        var rows = new float[windows][];
        for (var w = 0; w < windows; w++)
        {
            rows[w] = [.. correlation.At(a, b, w * CoarseStepSeconds, 0).Select(v => (float)v)];
        }

        if (rows.Count(r => r.Max() > LeastCorrelation) < Math.Max(3, windows / 20))
        {
            return null;
        }

        var path = LagPath.Through(rows, (int)Math.Ceiling(SteepestSlope * CoarseStepSeconds * rate));
        var middle = (rows[0].Length - 1) / 2;
        double[] lags = [.. path.Select(p => (p - middle) / rate)];
        double[] weights = [.. rows.Select((row, w) => IsPlain(row, path[w], (int)(SamePeakSeconds * rate)) ? 1.0 : 0)];
        return weights.Count(w => w > 0) < 3
            ? null
            : new LagCourse(CoarseStepSeconds, EvenCourse.Through(lags, weights, CoarseEvenness), weights);
    }

    // A single tone has a peak at each of its periods: which is the right one its neighbours must tell.
    private static bool IsPlain(float[] row, int best, int reach)
    {
        for (var i = 0; i < row.Length; i++)
        {
            if (Math.Abs(i - best) > reach && row[i] > 0.85f * row[best])
            {
                return false;
            }
        }

        return row[best] > LeastCorrelation;
    }

    private static LagCourse Fine(float[][] a, float[][] b, double rate, LagCourse near, double reach)
    {
        var correlation = new WindowCorrelation(FineWindowSeconds, reach, rate, LowestHz, HighestHz);
        correlation.LearnNoise(a, b);
        var steps = (int)(a[0].Length / (StepSeconds * rate)) + 1;
        double[] lags = new double[steps], sigmas = new double[steps], weights = new double[steps];
        for (var i = 0; i < steps; i++)
        {
            var at = i * StepSeconds;
            var about = Math.Round(near.At(at) * rate);
            var row = correlation.At(a, b, at, (int)about);
            var best = Best(row);
            lags[i] = near.At(at);
            sigmas[i] = double.PositiveInfinity;
            if (row[best] < LeastFineCorrelation || best == 0 || best == row.Length - 1)
            {
                continue;
            }

            var bend = row[best - 1] - (2 * row[best]) + row[best + 1];
            var offset = bend < 0 ? 0.5 * (row[best - 1] - row[best + 1]) / bend : 0;
            lags[i] = (about + best - correlation.Middle + offset) / rate;
            sigmas[i] = correlation.Sigma(row[best]);
            weights[i] = BendSeconds * BendSeconds / (sigmas[i] * sigmas[i]);
        }

        if (weights.Count(w => w > 0) < 3)
        {
            return new LagCourse(StepSeconds, [.. Enumerable.Range(0, steps).Select(i => near.At(i * StepSeconds))], sigmas);
        }

        return new LagCourse(StepSeconds, EvenCourse.Through(lags, weights, 1), sigmas);
    }

    // The highest, what lies further off counting a little less: a sustained tone has a peak at each of its periods.
    private static int Best(double[] row)
    {
        var middle = (row.Length - 1) / 2;
        var best = middle;
        var most = double.NegativeInfinity;
        for (var i = 0; i < row.Length; i++)
        {
            var off = (i - middle) / (double)middle;
            var worth = row[i] - (FarOff * off * off);
            if (worth > most)
            {
                (best, most) = (i, worth);
            }
        }

        return best;
    }

    private static float[] Band(float[] sound, int sampleRateHz, int decimation)
    {
        var taps = KaiserLowPass.Design(
            HighestHz,
            Math.Min(0.5 * sampleRateHz, ((double)sampleRateHz / decimation) - HighestHz),
            70,
            sampleRateHz
        );
        var half = taps.Length / 2;
        var padded = new double[sound.Length + (2 * half)];
        for (var i = 0; i < sound.Length; i++)
        {
            padded[half + i] = sound[i];
        }

        var filter = new DecimatingFilter(taps, decimation);
        var output = new double[(padded.Length / decimation) + 2];
        var written = filter.Add(padded, output);
        return [.. output.Take(written).Select(v => (float)v)];
    }
}
