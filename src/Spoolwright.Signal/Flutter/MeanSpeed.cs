namespace Spoolwright.Signal.Flutter;

/// <summary>A value and the parts of its expanded uncertainty (k = 2), in the same unit.</summary>
/// <param name="Value">The value.</param>
/// <param name="Noise">From the noise of the sound.</param>
/// <param name="Method">From the method: what the ends of the capture hide, what the filters' start costs.</param>
public readonly record struct Estimate(double Value, double Noise, double Method = 0)
{
    /// <summary>Both parts together, as independent ones.</summary>
    public double Expanded => Math.Sqrt((Noise * Noise) + (Method * Method));
}

/// <summary>What the mean has to know of the tone beside its phase.</summary>
/// <param name="PhaseDensity">Density of the phase noise, rad²/Hz, one-sided.</param>
/// <param name="NoiseBandHz">Band in which the phase carries that noise.</param>
/// <param name="EdgeSeconds">Length of tone hidden at either end by the demodulator's filter, s.</param>
/// <param name="RmsHz">Deviation, root mean square.</param>
/// <param name="HiddenHz">How far the mean of what is hidden at an end lies from the speed next to it, root mean square.</param>
/// <param name="LostSeconds">Length inside that was bridged or left out, s.</param>
internal readonly record struct SpeedMotion(
    double PhaseDensity, double NoiseBandHz, double EdgeSeconds, double RmsHz, double HiddenHz, double LostSeconds);

/// <summary>Mean speed and drift from the record of the tone's phase.</summary>
internal static class MeanSpeed
{
    /// <summary>
    /// Time mean of the deviation, Hz. Where the phase is a straight line within its noise, the line's slope by least squares, which has
    /// the smallest variance there is (12σ²/N³ against 2σ²/N² of the ends); else the phase gone through from end to end, which is the time
    /// mean whatever the speed did between, what is hidden at the ends taken to run at the speed next to it.
    /// </summary>
    public static Estimate Mean(PhaseRecord record, SpeedMotion motion)
    {
        var n = record.Blocks;
        var endSigma = Math.Sqrt(motion.PhaseDensity * motion.NoiseBandHz) / (2 * Math.PI);
        var span = record.SpanSeconds + (2 * motion.EdgeSeconds);
        var lost = motion.RmsHz * motion.LostSeconds / span;
        if (!record.Unbroken || n < 16)
        {
            var ends = 2 * Math.Sqrt(2) * endSigma / Math.Max(record.TotalSeconds, 1e-9);
            var hidden = 2 * motion.RmsHz * motion.EdgeSeconds / Math.Max(record.TotalSeconds, 1e-9);
            return new Estimate(record.PlainMean, ends, (2 * lost) + hidden);
        }

        var sigma = BlockSigma(record, motion.PhaseDensity);
        var line = Line(record);
        if (Straight(record, line, sigma, out var bend) && motion.LostSeconds <= 0)
        {
            return new Estimate(
                line.SlopeHz,
                2 * sigma * Math.Sqrt(12 / ((double)n * n * n)) / record.BlockSeconds,
                2 * bend / record.SpanSeconds
            );
        }

        var (first, last) = record.EdgeSpeed;
        var mean = (record.Cycles + ((first + last) * motion.EdgeSeconds)) / span;
        var reach = motion.EdgeSeconds / PhaseRecord.EdgeSeconds; // the ends' phases count 1 + reach and −reach times
        var noise = endSigma * Math.Sqrt(2 * (((1 + reach) * (1 + reach)) + (reach * reach)));
        var hiddenEnds = Math.Sqrt(2) * motion.HiddenHz * motion.EdgeSeconds / span;
        return new Estimate(mean, 2 * noise / span, 2 * Math.Sqrt((hiddenEnds * hiddenEnds) + (lost * lost)));
    }

    /// <summary>Change, from start to end, of the straight line fitted to the deviation, Hz.</summary>
    public static Estimate Drift(PhaseRecord record, SpeedMotion motion)
    {
        var n = record.Blocks;
        if (n < 8)
        {
            return default;
        }

        // Unbroken, the speed of a stretch is taken from the mean phases of neighbouring blocks, which carry less noise than single
        // samples.
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
        var span = record.SpanSeconds + (2 * motion.EdgeSeconds);
        var sigma = smooth
            ? BlockSigma(record, motion.PhaseDensity)
            : BlockSigma(record, motion.PhaseDensity) * Math.Sqrt(record.SamplesPerBlock);
        var noise = 2 * sigma * Math.Sqrt(72 + (144.0 / n)) / (n * record.BlockSeconds);

        // A stretch e hidden at an end counts 6·e/T of its deviation, one inside at most √12·e/T in the mean over where it may lie
        // [computed].
        var end = 6 * Math.Sqrt(2) * motion.RmsHz * (motion.EdgeSeconds + (0.5 * record.BlockSeconds)) / span;
        var inside = Math.Sqrt(12) * motion.RmsHz * motion.LostSeconds / span;
        return new Estimate(slope * span / record.BlockSeconds, noise, 2 * (end + inside));
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

    // Residuals from the line, averaged over ever longer stretches: a wow of any rate shows on one of the scales. A chi-square beyond four
    // and a half standard deviations on any scale says that the tone is not steady. What lies beyond one is no proof, but may bend the
    // line: c cycles of phase amplitude a change its slope by up to 6a/(πcT), and a scale of g groups shows c of about g/8 first
    // [computed].
    private static bool Straight(
        PhaseRecord record,
        (double SlopeHz, double SlopePerBlock, double Mean) line,
        double sigma,
        out double bend
    )
    {
        var n = record.Blocks;
        var centre = (n - 1) / 2.0;
        bend = 0;
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
            if (sum / groups > 1.1 * expected * ChiSquare(4.5, groups - 2))
            {
                return false;
            }

            var excess = (sum / groups) - (1.05 * expected * ChiSquare(1, groups - 2));
            if (excess > 0)
            {
                bend = Math.Max(bend, 6 * Math.Sqrt(2 * excess) / (Math.PI * Math.Max(1, groups / 8)) / Math.Sqrt(2));
            }
        }

        return true;
    }

    // Chi-square over its degrees of freedom at z standard deviations, by the cube-root approximation.
    private static double ChiSquare(double z, double degrees)
    {
        var t = 2 / (9 * degrees);
        return Math.Pow(1 - t + (z * Math.Sqrt(t)), 3);
    }
}
