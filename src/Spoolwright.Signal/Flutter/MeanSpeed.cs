namespace Spoolwright.Signal.Flutter;

/// <summary>A value and its expanded uncertainty from noise (k = 2), in the same unit.</summary>
public readonly record struct Estimate(double Value, double Noise);

/// <summary>Mean speed and drift from the record of the tone's phase.</summary>
internal static class MeanSpeed
{
    /// <summary>
    /// Time mean of the deviation, Hz. Where the phase is a straight line within its noise, the line's slope by least squares, which has the
    /// smallest variance there is (12σ²/N³ against 2σ²/N² of the ends); else the phase gone through from end to end, which is the time mean
    /// whatever the speed did between.
    /// </summary>
    /// <param name="record">The phase.</param>
    /// <param name="phaseDensity">Density of the phase noise, rad²/Hz, one-sided.</param>
    public static Estimate Mean(PhaseRecord record, double phaseDensity)
    {
        var n = record.Blocks;
        var sigma = BlockSigma(record, phaseDensity);
        if (!record.Unbroken || n < 16)
        {
            var ends = 2 * Math.Sqrt(2 * phaseDensity * 200) / (2 * Math.PI) / Math.Max(record.TotalSeconds, 1e-9);
            return new Estimate(record.PlainMean, ends);
        }

        var line = Line(record);
        if (Straight(record, line, sigma))
        {
            return new Estimate(line.SlopeHz, 2 * sigma * Math.Sqrt(12 / ((double)n * n * n)) / record.BlockSeconds);
        }

        var across = (record.Phase(n - 1) - record.Phase(0)) / ((n - 1) * record.BlockSeconds);
        return new Estimate(across, 2 * sigma * Math.Sqrt(2) / ((n - 1) * record.BlockSeconds));
    }

    /// <summary>Change, from start to end, of the straight line fitted to the deviation, Hz.</summary>
    public static Estimate Drift(PhaseRecord record, double phaseDensity)
    {
        var n = record.Blocks;
        if (n < 8)
        {
            return default;
        }

        // Unbroken, the speed of a stretch is taken from the mean phases of neighbouring blocks, which carry less noise than single samples.
        var smooth = record.Unbroken;
        var count = smooth ? n - 1 : n;
        double w = 0, wt = 0, wtt = 0, wy = 0, wty = 0;
        for (var i = 0; i < count; i++)
        {
            var (hz, samples) = record.Speed(i);
            if (smooth)
            {
                (hz, samples) = ((record.Phase(i + 1) - record.Phase(i)) / record.BlockSeconds, 1);
            }

            w += samples;
            wt += samples * (double)i;
            wtt += samples * (double)i * i;
            wy += samples * hz;
            wty += samples * hz * i;
        }

        var det = (w * wtt) - (wt * wt);
        if (det <= 0)
        {
            return default;
        }

        var slope = ((w * wty) - (wt * wy)) / det;

        // The weights on the speed, differenced, are the weights on the phase, and white phase noise passes through them exactly:
        // the ends' two weights of 6/n² outweigh the 12/n³ of the rest.
        var sigma = smooth ? BlockSigma(record, phaseDensity) : BlockSigma(record, phaseDensity) * Math.Sqrt(record.SamplesPerBlock);
        return new Estimate(slope * n, 2 * sigma * Math.Sqrt(72 + (144.0 / n)) / (n * record.BlockSeconds));
    }

    // Standard deviation of the mean phase of one block, cycles.
    private static double BlockSigma(PhaseRecord record, double phaseDensity) =>
        Math.Sqrt(phaseDensity / (2 * record.BlockSeconds)) / (2 * Math.PI);

    private static (double SlopeHz, double SlopePerBlock, double Mean) Line(PhaseRecord record)
    {
        var n = record.Blocks;
        double centre = (n - 1) / 2.0, mean = 0, moment = 0;
        for (var i = 0; i < n; i++)
        {
            mean += record.Phase(i);
            moment += (i - centre) * record.Phase(i);
        }

        var slope = moment * 12 / ((double)n * (((double)n * n) - 1));
        return (slope / record.BlockSeconds, slope, mean / n);
    }

    // Residuals from the line, averaged over ever longer stretches: a wow of any rate shows on one of the scales. A chi-square beyond three
    // standard deviations on any scale says that the tone is not steady.
    private static bool Straight(PhaseRecord record, (double SlopeHz, double SlopePerBlock, double Mean) line, double sigma)
    {
        var n = record.Blocks;
        var centre = (n - 1) / 2.0;
        for (var size = 1; n / size >= 8; size *= 2)
        {
            var groups = n / size;
            double sum = 0;
            for (var g = 0; g < groups; g++)
            {
                double residual = 0;
                for (var i = g * size; i < (g + 1) * size; i++)
                {
                    residual += record.Phase(i) - line.Mean - ((i - centre) * line.SlopePerBlock);
                }

                residual /= size;
                sum += residual * residual;
            }

            var expected = sigma * sigma / size;
            if (sum / groups > expected * (1.1 + (3.5 * Math.Sqrt(2.0 / groups))))
            {
                return false;
            }
        }

        return true;
    }
}
