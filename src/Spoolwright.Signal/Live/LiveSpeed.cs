using Spoolwright.Signal.Flutter;

namespace Spoolwright.Signal.Live;

/// <summary>Speed and flutter at this moment, in % of the mean speed over the window.</summary>
public readonly record struct LiveSpeedReading
{
    /// <summary>Mean frequency over the last second, Hz.</summary>
    public required double NowHz { get; init; }

    /// <summary>Mean frequency over the whole window, Hz.</summary>
    public required double MeanHz { get; init; }

    /// <summary>What noise makes uncertain of <see cref="MeanHz"/>, k = 2, Hz.</summary>
    public required double MeanNoiseHz { get; init; }

    /// <summary>Nominal frequency held against, Hz.</summary>
    public required double NominalHz { get; init; }

    /// <summary>Length of tone the flutter figures rest on, s; 0 while the filters settle.</summary>
    public required double Seconds { get; init; }

    /// <summary>95th percentile of the quasi-peak indication, %; 0 while it settles.</summary>
    public required double QuasiPeak { get; init; }

    /// <summary>The indication at this moment, %.</summary>
    public required double QuasiPeakNow { get; init; }

    public required double TwoSigma { get; init; }

    public required double WeightedRms { get; init; }

    public required double UnweightedRms { get; init; }

    public required double WowRms { get; init; }

    public required double FlutterRms { get; init; }

    /// <summary>What noise alone would read as <see cref="WeightedRms"/>, %; from the difference of the channels, 0 with one.</summary>
    public required double WeightedNoise { get; init; }

    /// <summary>The same of <see cref="UnweightedRms"/>.</summary>
    public required double UnweightedNoise { get; init; }
}

/// <summary>
/// Speed, wow and flutter over the last so many seconds of a tone that plays. The same demodulator, weighting and detectors as for a file;
/// where a file's ends are filtered backwards, here the filters settle for some seconds first. Waits for the tone, and waits again when it
/// is gone.
/// </summary>
public sealed class LiveSpeed
{
    private const double LostSeconds = 1;
    private readonly FlutterSettings _settings;
    private readonly double _rate;
    private readonly double _windowSeconds;
    private CarrierSearch _search;
    private CarrierTracker? _tracker;
    private LiveSpeedSink? _sink;
    private long _seen;
    private double _silentFrames;

    /// <param name="settings">The standards' numbers.</param>
    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    /// <param name="windowSeconds">How far the figures look back, s.</param>
    public LiveSpeed(FlutterSettings settings, double sampleRateHz, double windowSeconds)
    {
        ArgumentNullException.ThrowIfNull(settings);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(windowSeconds);
        (_settings, _rate, _windowSeconds) = (settings, sampleRateHz, windowSeconds);
        _search = new CarrierSearch(settings, sampleRateHz, stereo: true);
    }

    /// <summary>Takes each sample of the speed as it stops at the highest flutter rate: deviation in % of the mean. For rings.</summary>
    public Action<double>? Deviation { get; set; }

    /// <summary>Told the rate of <see cref="Deviation"/>'s samples each time a tone is found.</summary>
    public Action<double>? Begun { get; set; }

    /// <summary>Takes the next frames of both channels.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        if (_tracker is null)
        {
            var taken = _search.Add(left, right);
            left = left[taken..];
            right = right[taken..];
            if (_search.Found is not { } carrier)
            {
                return;
            }

            var decimation = CarrierTracker.Decimation(carrier.FrequencyHz, _rate);
            _sink = new LiveSpeedSink(
                _settings,
                carrier,
                _rate / decimation,
                CarrierTracker.BandOf(carrier.FrequencyHz, _rate).Pass,
                _windowSeconds,
                this
            );
            _tracker = new CarrierTracker(carrier, _rate, stereo: true, _sink);
            Begun?.Invoke(_sink.LowRateHz);
            _tracker.Add(_search.Left, _search.Right);
            (_seen, _silentFrames) = (0, 0);
        }

        _tracker.Add(left, right);
        _silentFrames = _sink!.Taken == _seen ? _silentFrames + left.Length : 0;
        _seen = _sink.Taken;
        if (_silentFrames > LostSeconds * _rate)
        {
            _tracker = null;
            _sink = null;
            _search = new CarrierSearch(_settings, _rate, stereo: true);
        }
    }

    /// <summary>The figures now; null while there is no tone.</summary>
    public LiveSpeedReading? Read() => _sink is { Taken: > 0 } sink && _silentFrames < 0.3 * _rate ? sink.Read() : null;
}
