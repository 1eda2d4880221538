using System.Numerics;
using Spoolwright.Signal.Filters;

namespace Spoolwright.Signal.Flutter;

/// <summary>What stands beside the speed signal when it is summed up.</summary>
/// <param name="Carrier">The tone.</param>
/// <param name="Stereo">True where two channels were weighed together.</param>
/// <param name="EdgeSeconds">Length of tone hidden at either end by the demodulator's filter, s.</param>
/// <param name="StartSeconds">Where the tone began, s.</param>
/// <param name="Gaps">Places inside where it was lost.</param>
/// <param name="LostSeconds">For how long in all, s.</param>
internal readonly record struct SpeedContext(
    Carrier Carrier, bool Stereo, double EdgeSeconds, double StartSeconds, int Gaps, double LostSeconds);

/// <summary>Turns what was gathered from the speed signal into figures with their uncertainties.</summary>
internal static class FlutterSummary
{
    // Lines below this say nothing of any deck: the rounding of 24-bit samples makes some.
    private const double SmallestLinePercent = 0.00005;

    // Of each figure, by the filters as they run and the histogram's bins: 0.05 % [computed, held by tests].
    private const double RelativeMethod = 0.0005;

    // A quantile hangs on the highest parts of the time alone, so it moves more than the root mean square [calibrated by simulation].
    private const double QuantileSpan = 1.85;

    // The detector starts from rest and settles, so it depends on the ends only by what they leave out of its time; and on the noise at the
    // few peaks that make its reading, which its charging averages: 0.13 of the noise's rms over a second, less by the root over more
    // [both calibrated by simulation].
    private const double QuasiPeakMethod = 0.0004;
    private const double QuasiPeakHidden = 0.2;
    private const double QuasiPeakNoise = 0.13;

    /// <exception cref="CannotMeasureException">There was too little of the tone.</exception>
    public static FlutterResult Of(SpeedStatistics s, FlutterSettings settings, SpeedContext context)
    {
        var carrier = context.Carrier;
        var seconds = s.Phase.TotalSeconds;
        var d = s.Detectors;
        if (seconds < 1 || d.Counted < s.LowRateHz * 0.5)
        {
            throw new CannotMeasureException(
                "too-short",
                $"Only {seconds:0.0} s of steady tone near {carrier.FrequencyHz:0} Hz was found; speed needs at least 2 s. Record longer."
            );
        }

        var noise = new FlutterNoise(s, carrier.WeightLeft, context.Stereo, seconds);
        var motion = Motion(s, noise, context);
        var mean = MeanSpeed.Mean(s.Phase, motion);
        var meanHz = new Estimate(carrier.FrequencyHz + mean.Value, mean.Noise, mean.Method);
        var percent = 100 / meanHz.Value;
        var bin = s.Narrow.BinHz;
        var lowest = Butterworth.HighPass(2, settings.LowestHz);
        var wow = Butterworth.LowPass(2, settings.WowFlutterHz);
        var flutter = Butterworth.HighPass(2, settings.WowFlutterHz);

        Estimate Percent(Estimate e) => new(e.Value * percent, e.Noise * percent, Beside(e.Method, RelativeMethod * e.Value) * percent);
        Estimate Root(double power, Func<double, Complex> gain) =>
            noise.Root(power / d.Counted, gain, SpanError.Sigma(noise, gain, seconds, context.EdgeSeconds));

        var weighted = Root(d.WeightedPower, settings.Weighting.At);
        var raw = Math.Sqrt(d.WeightedPower / d.Counted);

        // What noise adds to the root mean square it adds, in proportion, to the other readings of the same signal: exact where the motion
        // is noise-like, and where it is not, the third that it may differ by is the method's.
        Estimate Like(double value, double span, double relative, double noiseAtPeaks)
        {
            var shrink = raw > 0 ? weighted.Value / raw : 1;
            var scale = raw > 0 ? value / raw : 0;
            var method = Beside(span * weighted.Method * scale, relative * value * shrink, 0.33 * value * shrink * (1 - shrink));
            return Percent(new Estimate(value * shrink, Beside(weighted.Noise * scale, noiseAtPeaks * shrink), method));
        }

        var settled = d.QuasiPeak.Count / s.LowRateHz;
        Estimate QuasiPeak(double value) => Like(
            value, 0, Beside(QuasiPeakMethod, QuasiPeakHidden * 2 * (context.EdgeSeconds + SpeedStatistics.TrimSeconds) / settled),
            2 * QuasiPeakNoise * Math.Sqrt(Math.Max(0, (raw * raw) - (weighted.Value * weighted.Value)) / settled));

        var narrow = s.Narrow.Density();
        (Estimate Scrape, double Untold)? scrape = s.PassHz > 1.5 * s.HighestHz ? noise.Scrape(s.HighestHz, s.PassHz, s.Wide.BinHz) : null;
        return new FlutterResult
        {
            NominalHz = carrier.NominalHz,
            MeanHz = meanHz,
            Drift = Percent(MeanSpeed.Drift(s.Phase, motion)),
            QuasiPeak = settled > 0.5 ? QuasiPeak(d.QuasiPeak.Quantile(settings.Quantile)) : null,
            QuasiPeakMaximum = settled > 0.5 ? QuasiPeak(d.QuasiPeak.Maximum) : null,
            TwoSigma = seconds >= 5 ? Like(d.Weighted.Quantile(settings.Quantile), QuantileSpan, 0, 0) : null,
            WeightedRms = Percent(weighted),
            UnweightedRms = Percent(Root(d.UnweightedPower, lowest.At)),
            WowRms = Percent(Root(d.WowPower, f => lowest.At(f) * wow.At(f))),
            FlutterRms = Percent(Root(d.FlutterPower, f => lowest.At(f) * flutter.At(f))),
            ScrapeRms = scrape is { } found ? Percent(found.Scrape) : null,
            ScrapeUntold = noise.FromOneChannel ? scrape?.Untold * percent : null,
            OneChannel = !context.Stereo,
            HighestHz = s.HighestHz,
            ScrapeHighestHz = s.PassHz,
            Lines = FlutterLines
                .Find(narrow, s.Narrow, Math.Max(settings.LowestHz, 3 * bin), s.HighestHz, seconds, 24)
                .Select(l =>
                    l with
                    {
                        Peak = l.Peak * percent,
                        PeakUncertainty = l.PeakUncertainty * percent,
                        PeakMethod = l.PeakMethod * percent,
                    }
                )
                .Where(l => l.Peak > SmallestLinePercent)
                .ToArray(),
            Spectrum = SpectrumForPlot(narrow, bin, s, percent),
            Speed = SpeedForPlot(s.Phase, mean.Value, percent),
            Seconds = seconds,
            StartSeconds = context.StartSeconds,
            Gaps = context.Gaps,
            LostSeconds = context.LostSeconds,
            SnrDb = carrier.SnrDb,
            WeightLeft = carrier.WeightLeft,
            AmplitudeLeft = carrier.AmplitudeLeft,
            AmplitudeRight = carrier.AmplitudeRight,
        };
    }

    private static SpeedMotion Motion(SpeedStatistics s, FlutterNoise noise, SpeedContext context)
    {
        // A line of rate f hidden for e at an end, taken to run at the mean of the next stretch E: the two means differ by
        // |S(fe)·exp(−jπfe) − S(fE)·exp(jπfE)| of its deviation, S(x) = sin(πx)/(πx) [computed].
        double hidden = 0;
        for (var k = 1; k < noise.BandBins; k++)
        {
            var f = k * noise.BinHz;
            var line = noise.Motion(k) * noise.BinHz * noise.Stop(k) * noise.Stop(k);
            double e = FlutterNoise.Droop(f * context.EdgeSeconds, 1), next = FlutterNoise.Droop(f * PhaseRecord.EdgeSeconds, 1);
            var turn = Math.Cos(Math.PI * f * (context.EdgeSeconds + PhaseRecord.EdgeSeconds));
            hidden += line * ((e * e) + (next * next) - (2 * e * next * turn));
        }

        // The demodulator's filter falls to half 1.75 times as far from the carrier as it stays flat.
        var band = Math.Min(1.75 * s.PassHz, s.RateHz / 2);
        return new SpeedMotion(
            noise.PhaseDensity,
            band,
            context.EdgeSeconds,
            Math.Sqrt(noise.SurePower()),
            Math.Sqrt(Math.Max(0, hidden)),
            context.LostSeconds
        );
    }

    private static double Beside(params ReadOnlySpan<double> parts)
    {
        double sum = 0;
        foreach (var part in parts)
        {
            sum += part * part;
        }

        return Math.Sqrt(sum);
    }

    // Power of three neighbouring bins as one line's peak: what the eye takes for a line's height is then its deviation.
    private static (double[] Hz, double[] Percent) SpectrumForPlot(double[] density, double bin, SpeedStatistics s, double percent)
    {
        var count = Math.Min(density.Length - 2, (int)(s.HighestHz / bin));
        var hz = new double[Math.Max(0, count - 1)];
        var peak = new double[hz.Length];
        for (var k = 1; k < count; k++)
        {
            hz[k - 1] = k * bin;
            peak[k - 1] = Math.Sqrt(2 * bin * (density[k - 1] + density[k] + density[k + 1])) * percent;
        }

        return (hz, peak);
    }

    private static (double[] Seconds, double[] Percent) SpeedForPlot(PhaseRecord record, double meanDeviation, double percent)
    {
        var seconds = new List<double>();
        var values = new List<double>();
        for (var i = 0; i < record.Blocks; i++)
        {
            var (hz, samples) = record.Speed(i);
            if (samples > 0)
            {
                seconds.Add((i + 0.5) * record.BlockSeconds);
                values.Add((hz - meanDeviation) * percent);
            }
        }

        return (seconds.ToArray(), values.ToArray());
    }
}
