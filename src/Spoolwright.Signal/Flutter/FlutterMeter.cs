using System.Numerics;
using Spoolwright.Signal.Filters;

namespace Spoolwright.Signal.Flutter;

/// <summary>
/// Speed, wow and flutter of a steady tone. Fed blocks, from a file or live; asked once at the end. Waits for the tone by itself, bridges
/// dropouts, and keeps flat memory whatever the length. What it gives does not depend on the size of the blocks.
/// </summary>
public sealed class FlutterMeter
{
    // Lines below this say nothing of any deck: the rounding of 24-bit samples makes some.
    private const double SmallestLinePercent = 0.00005;
    private readonly FlutterSettings _settings;
    private readonly double _rate;
    private readonly bool _stereo;
    private readonly double? _expectedSeconds;
    private readonly CarrierSearch _search;
    private CarrierTracker? _tracker;
    private SpeedStatistics? _statistics;
    private long _frames;

    /// <param name="settings">The standards' numbers.</param>
    /// <param name="sampleRateHz">Rate of the sound, 32 to 192 kHz.</param>
    /// <param name="channels">1 or 2.</param>
    /// <param name="expectedSeconds">Length of the sound where known: a short one gets a spectrum of finer use of it.</param>
    public FlutterMeter(FlutterSettings settings, double sampleRateHz, int channels, double? expectedSeconds = null)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 8000);
        if (channels is not (1 or 2))
        {
            throw new ArgumentOutOfRangeException(nameof(channels), channels, "Speed is measured on one channel or a pair.");
        }

        _settings = settings;
        _rate = sampleRateHz;
        _stereo = channels == 2;
        _expectedSeconds = expectedSeconds;
        _search = new CarrierSearch(settings, sampleRateHz, _stereo);
    }

    /// <summary>Takes the next frames.</summary>
    /// <param name="left">Left (or only) channel.</param>
    /// <param name="right">Right channel, as long; empty with one channel.</param>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        _frames += left.Length;
        if (_tracker is null)
        {
            var taken = _search.Add(left, right);
            left = left[taken..];
            right = _stereo ? right[taken..] : default;
            if (_search.Found is { } carrier)
            {
                Start(carrier, _expectedSeconds);
            }
        }

        _tracker?.Add(left, right);
    }

    /// <summary>Ends the sound and gives what was found.</summary>
    /// <exception cref="CannotMeasureException">There was no steady tone, or too little of it.</exception>
    public FlutterResult Finish()
    {
        if (_tracker is null)
        {
            Start(_search.Conclude(_frames), _frames / _rate);
        }

        _tracker!.Finish();
        var s = _statistics!;
        s.Finish();
        var carrier = _search.Found!.Value;
        var seconds = s.Phase.TotalSeconds;
        if (seconds < 1 || s.Detectors.Counted < s.LowRateHz * 0.5)
        {
            throw new CannotMeasureException(
                "too-short", $"Only {seconds:0.0} s of steady tone near {carrier.FrequencyHz:0} Hz was found; speed needs at least 2 s. Record longer.");
        }

        var noise = new FlutterNoise(s, carrier.WeightLeft, _stereo, seconds);
        var mean = MeanSpeed.Mean(s.Phase, noise.PhaseDensity);
        var meanHz = new Estimate(carrier.FrequencyHz + mean.Value, mean.Noise);
        var percent = 100 / meanHz.Value;
        var d = s.Detectors;
        var weighted = noise.Root(d.WeightedPower / d.Counted, _settings.Weighting.At, s.HighestHz);
        var lowest = Butterworth.HighPass(2, _settings.LowestHz);
        var wow = Butterworth.LowPass(2, _settings.WowFlutterHz);
        var flutter = Butterworth.HighPass(2, _settings.WowFlutterHz);
        var weightedRaw = Math.Sqrt(d.WeightedPower / d.Counted);
        var shrink = weightedRaw > 0 ? weighted.Value / weightedRaw : 1;

        // A quantile of the detected signal moves with its rms: what noise adds to the one it adds, in proportion, to the other.
        Estimate Scaled(double value) => Percent(new Estimate(value * shrink, weightedRaw > 0 ? weighted.Noise * value / weightedRaw : 0));
        Estimate Percent(Estimate e) => new(e.Value * percent, e.Noise * percent);
        Estimate Band(double power, Func<double, Complex> gain) => Percent(noise.Root(power / d.Counted, gain, s.HighestHz));

        var narrow = s.Narrow.Density();
        var bin = s.Narrow.BinHz;
        var lines = FlutterLines.Find(narrow, s.Narrow, Math.Max(_settings.LowestHz, 3 * bin), s.HighestHz, seconds, 24)
            .Select(l => l with
            {
                Peak = l.Peak * percent / FlutterNoise.Droop(l.FrequencyHz, s.RateHz),
                PeakUncertainty = l.PeakUncertainty * percent,
            })
            .Where(l => l.Peak > SmallestLinePercent)
            .ToArray();
        var scrapeTop = _tracker.PassHz;
        return new FlutterResult
        {
            NominalHz = carrier.NominalHz,
            MeanHz = meanHz,
            Drift = Percent(MeanSpeed.Drift(s.Phase, noise.PhaseDensity)),
            QuasiPeak = d.QuasiPeak.Count > s.LowRateHz * 0.5 ? Scaled(d.QuasiPeak.Quantile(_settings.Quantile)) : null,
            QuasiPeakMaximum = d.QuasiPeak.Count > s.LowRateHz * 0.5 ? Scaled(d.QuasiPeak.Maximum) : null,
            TwoSigma = seconds >= 5 ? Scaled(d.Weighted.Quantile(_settings.Quantile)) : null,
            WeightedRms = Percent(weighted),
            UnweightedRms = Band(d.UnweightedPower, lowest.At),
            WowRms = Band(d.WowPower, f => lowest.At(f) * wow.At(f)),
            FlutterRms = Band(d.FlutterPower, f => lowest.At(f) * flutter.At(f)),
            ScrapeRms = scrapeTop > 1.5 * s.HighestHz ? Percent(noise.Scrape(s.HighestHz, scrapeTop, s.Wide.BinHz)) : null,
            HighestHz = s.HighestHz,
            ScrapeHighestHz = scrapeTop,
            Lines = lines,
            Spectrum = SpectrumForPlot(narrow, bin, s, percent),
            Speed = SpeedForPlot(s.Phase, mean.Value, percent),
            Seconds = seconds,
            StartSeconds = (_search.Dropped / _rate) + (_tracker.Bridge.LateSamples / s.RateHz),
            Gaps = _tracker.Bridge.Gaps,
            LostSeconds = _tracker.Bridge.LostSamples / s.RateHz,
            SnrDb = carrier.SnrDb,
            WeightLeft = carrier.WeightLeft,
            AmplitudeLeft = carrier.AmplitudeLeft,
            AmplitudeRight = carrier.AmplitudeRight,
        };
    }

    private void Start(Carrier carrier, double? seconds)
    {
        var decimation = CarrierTracker.Decimation(carrier.FrequencyHz, _rate);
        _statistics = new SpeedStatistics(_settings, _rate / decimation, 0.38 * carrier.FrequencyHz, seconds);
        _tracker = new CarrierTracker(carrier, _rate, _stereo, _statistics);
        _tracker.Add(_search.Left, _search.Right);
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
