using Spoolwright.Signal.Tones;

namespace Spoolwright.Signal.Flutter;

/// <summary>The tone a capture is measured by, as first seen.</summary>
/// <param name="FrequencyHz">Its frequency, Hz.</param>
/// <param name="NominalHz">The nominal it is held against, Hz.</param>
/// <param name="AmplitudeLeft">Peak amplitude, full scale 1.</param>
/// <param name="AmplitudeRight">Peak amplitude, full scale 1.</param>
/// <param name="WeightLeft">Share of the left channel in the pair's speed, by signal to noise; right has the rest.</param>
/// <param name="SnrDb">Signal to noise of the better channel, noise taken in 20 kHz, dB.</param>
public readonly record struct Carrier(
    double FrequencyHz, double NominalHz, double AmplitudeLeft, double AmplitudeRight, double WeightLeft, double SnrDb);

/// <summary>
/// Waits for a steady tone: three windows in a row that agree. Keeps only the last windows of sound, so that nothing of the tone's
/// beginning is lost and memory stays flat however late it starts.
/// </summary>
internal sealed class CarrierSearch
{
    private const int Windows = 4;

    // Wow of 5 % is heard by anyone across the street; a deck with more is for the stopwatch.
    private const double MostWow = 0.05;
    private readonly FlutterSettings _settings;
    private readonly ToneFinder _finder;
    private readonly float[] _left;
    private readonly float[] _right;
    private readonly double _rate;
    private readonly bool _stereo;
    private readonly Queue<SeenTone> _seen = new();
    private int _searched;
    private SeenTone? _loudest;

    // Mean square, both channels: 77 dB under full scale, where the hiss of an open input lies and no tone of a test tape does.
    private const double SilentPower = 1e-8;

    public CarrierSearch(FlutterSettings settings, double sampleRateHz, bool stereo)
    {
        _settings = settings;
        _rate = sampleRateHz;
        _stereo = stereo;
        _finder = new ToneFinder(sampleRateHz);
        _left = new float[_finder.WindowFrames * Windows];
        _right = new float[_left.Length];
    }

    /// <summary>Sound kept so far, to be measured once the tone is found.</summary>
    public ReadOnlySpan<float> Left => _left.AsSpan(0, Held);

    public ReadOnlySpan<float> Right => _stereo ? _right.AsSpan(0, Held) : default;

    public int Held { get; private set; }

    /// <summary>Frames that went by before what is kept.</summary>
    public long Dropped { get; private set; }

    public Carrier? Found { get; private set; }

    /// <summary>Takes frames until the tone is found; returns how many it took.</summary>
    public int Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        var taken = 0;
        while (taken < left.Length && Found is null)
        {
            if (Held == _left.Length)
            {
                var step = _finder.WindowFrames;
                _left.AsSpan(step).CopyTo(_left);
                _right.AsSpan(step).CopyTo(_right);
                Held -= step;
                _searched -= step;
                Dropped += step;
            }

            var take = Math.Min(left.Length - taken, Math.Min(_searched + _finder.WindowFrames, _left.Length) - Held);
            left.Slice(taken, take).CopyTo(_left.AsSpan(Held));
            if (_stereo)
            {
                right.Slice(taken, take).CopyTo(_right.AsSpan(Held));
            }

            Held += take;
            taken += take;
            if (Held >= _searched + _finder.WindowFrames)
            {
                Look(3);
            }
        }

        return taken;
    }

    /// <summary>At the end of the sound: says why there is nothing to measure, or settles for the windows there were.</summary>
    public Carrier Conclude(long frames)
    {
        if (Found is null && _seen.Count > 0 && frames < 3L * _finder.WindowFrames)
        {
            Settle(1);
        }

        if (Found is { } found)
        {
            return found;
        }

        if (frames < _finder.WindowFrames)
        {
            throw new CannotMeasureException(
                "too-short",
                $"The capture is {frames / _rate:0.00} s long; speed needs at least 2 s of steady tone. Record longer."
            );
        }

        throw _loudest switch
        {
            null => new CannotMeasureException("silence", "The capture is silent from start to end. Check the cable, the input's level and the choice of channels."),
            { } tone when Total(tone) < SilentPower => new CannotMeasureException("silence", FormattableString.Invariant(
                $"The capture is as good as silent: all that sounds in it lies at {10 * Math.Log10(Total(tone)) + 3:0} dBFS, and no tone is in it. Check the cable, the input's level and the choice of channels.")),
            { } tone when Nominal(tone.FrequencyHz) is null && tone.Share > 0.5 => FarFromNominal(tone.FrequencyHz),
            { } tone => new CannotMeasureException(
                "no-tone",
                $"No steady tone was found; the loudest component lies at {tone.FrequencyHz:0.0} Hz with {tone.Share * 100:0} % of the power. Play the speed section of a test tape."
            ),
        };
    }

    // Mean square of all that the window of the loudest tone held, both channels.
    private static double Total(SeenTone tone) => Math.Max(1e-20, (tone.Left + tone.Right) / Math.Max(1e-6, tone.Share));

    /// <summary>Says that a tone belongs to no nominal, and what to do.</summary>
    public CannotMeasureException FarFromNominal(double frequencyHz) =>
        new(
            "nominal-needed",
            _settings.NominalHz is { } given
                ? FormattableString.Invariant(
                    $"The tone found, {frequencyHz:0.0} Hz, lies more than {_settings.GivenWithin * 100:0} % from the nominal {given:0.##} Hz. Check --nominal and the tape."
                )
                : FormattableString.Invariant(
                    $"The tone found, {frequencyHz:0.0} Hz, lies near no usual nominal frequency. Say which the tape was made with, for example --nominal 3150."
                )
        );

    private void Look(int needed)
    {
        var tone = _finder.Find(
            _left.AsSpan(_searched, _finder.WindowFrames),
            _stereo ? _right.AsSpan(_searched, _finder.WindowFrames) : default,
            Lowest,
            _rate * 0.45
        );
        _searched += _finder.WindowFrames;
        if (tone is not { } seen)
        {
            _seen.Clear();
            return;
        }

        if (_loudest is null || seen.Left + seen.Right > _loudest.Value.Left + _loudest.Value.Right)
        {
            _loudest = seen;
        }

        if (!MayCarry(seen) || (_seen.Count > 0 && !Follows(seen, _seen.Last())))
        {
            _seen.Clear();
        }

        if (MayCarry(seen))
        {
            _seen.Enqueue(seen);
        }

        if (_seen.Count >= needed)
        {
            Settle(needed);
        }
    }

    // A tone that carries a measurement holds a tenth of the power in its line, near a nominal; one that is broad with wow holds half of it
    // within 5 %, and may lie further off at the moment: its mean decides in the end.
    private bool MayCarry(SeenTone seen) =>
        (seen.Share >= 0.1 && Nominal(seen.FrequencyHz) is not null)
        || (seen.BroadShare > 0.5 && Nominal(seen.FrequencyHz, MostWow) is not null);

    // From window to window a tone keeps within 2 %, one that holds most of the power within what wow can do.
    private static bool Follows(SeenTone seen, SeenTone before) =>
        Math.Abs((seen.FrequencyHz / before.FrequencyHz) - 1) <= (Math.Min(seen.BroadShare, before.BroadShare) > 0.5 ? MostWow : 0.02);

    private double Lowest => 0.7 * (_settings.NominalHz ?? _settings.Nominals.Min());

    /// <summary>The nominal that a frequency belongs to, or null where it lies too far from any.</summary>
    /// <param name="frequencyHz">The frequency, Hz.</param>
    /// <param name="further">How much further off than the settings say it may lie, as a fraction.</param>
    public double? Nominal(double frequencyHz, double further = 0)
    {
        if (_settings.NominalHz is { } given)
        {
            return Math.Abs((frequencyHz / given) - 1) <= _settings.GivenWithin + further ? given : null;
        }

        var nearest = _settings.Nominals.MinBy(n => Math.Abs(Math.Log(frequencyHz / n)));
        return Math.Abs((frequencyHz / nearest) - 1) <= _settings.FoundWithin + further ? nearest : null;
    }

    private void Settle(int windows)
    {
        var seen = _seen.TakeLast(windows).ToArray();
        double left = seen.Average(s => s.Left), right = seen.Average(s => s.Right);
        var frequency = seen.Average(s => s.FrequencyHz);
        var snrLeft = left / Math.Max(seen.Average(s => s.NoiseDensityLeft) * 20000, left * 1e-13);
        var snrRight = right / Math.Max(seen.Average(s => s.NoiseDensityRight) * 20000, right * 1e-13);
        if (right < left * 1e-6)
        {
            snrRight = 0; // a dead channel has nothing to add
        }
        else if (left < right * 1e-6)
        {
            snrLeft = 0;
        }

        var best = Math.Max(snrLeft, snrRight);
        if (best < 2)
        {
            return; // less than 3 dB over its noise: not a tone to measure by
        }

        // The tone's onset, where it lies in a window, is no noise of the tone's.
        static double Quietest(SeenTone[] seen) =>
            10
            * Math.Log10(
                seen.Max(s =>
                    Math.Max(
                        s.Left / Math.Max(s.NoiseDensityLeft * 20000, s.Left * 1e-13),
                        s.Right / Math.Max(s.NoiseDensityRight * 20000, Math.Max(s.Right * 1e-13, 1e-30))
                    )
                )
            );

        Found = new Carrier(
            frequency, Nominal(frequency, MostWow) ?? frequency, Math.Sqrt(2 * left), Math.Sqrt(2 * right),
            _stereo ? snrLeft / (snrLeft + snrRight) : 1, Quietest(seen));
    }
}
