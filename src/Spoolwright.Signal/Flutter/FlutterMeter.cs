namespace Spoolwright.Signal.Flutter;

/// <summary>
/// Speed, wow and flutter of a steady tone. Fed blocks, from a file or live; asked once at the end. Waits for the tone by itself, bridges
/// dropouts, and keeps flat memory whatever the length. What it gives does not depend on the size of the blocks.
/// </summary>
public sealed class FlutterMeter
{
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
        var bridge = _tracker.Bridge;
        if (_tracker.TwoTones)
        {
            throw new CannotMeasureException(
                "two-tones",
                $"A second tone sounds beside the one at {_search.Found!.Value.FrequencyHz:0} Hz; speed is measured on one tone alone. Play the speed section of a test tape."
            );
        }

        var carrier = _search.Found!.Value;
        var mean = carrier.FrequencyHz + s.Phase.PlainMean;
        carrier = carrier with { NominalHz = _search.Nominal(mean) ?? throw _search.FarFromNominal(mean) };
        var start = (_search.Dropped / _rate) + (bridge.LateSamples / s.RateHz);
        return FlutterSummary.Of(
            s, _settings, new SpeedContext(carrier, _stereo, _tracker.EdgeSeconds, start, bridge.Gaps, bridge.LostSamples / s.RateHz));
    }

    private void Start(Carrier carrier, double? seconds)
    {
        var decimation = CarrierTracker.Decimation(carrier.FrequencyHz, _rate);
        _statistics = new SpeedStatistics(_settings, _rate / decimation, CarrierTracker.BandOf(carrier.FrequencyHz, _rate).Pass, seconds);
        _tracker = new CarrierTracker(carrier, _rate, _stereo, _statistics);
        _tracker.Add(_search.Left, _search.Right);
    }
}
