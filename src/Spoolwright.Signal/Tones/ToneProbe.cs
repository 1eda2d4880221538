using System.Numerics;
using Spoolwright.Signal.Levels;

namespace Spoolwright.Signal.Tones;

/// <summary>
/// Measures one tone over one stretch of sound: level of each channel, phase between them, frequency. The tone is brought to 0 Hz in a band
/// wide enough for its flutter, and its power averaged: a tone that wanders in frequency loses nothing. Levels and phase reach the bound
/// that noise sets (the variance of a sine fit of known frequency after [IEEE1057:2017]).
/// </summary>
public sealed class ToneProbe
{
    private const double LongestShare = 0.1;
    private const double SlopePerDb = 2.285 * 2 * Math.PI; // dB of depth for a slope of 1 Hz over a filter of 1 s, Kaiser's estimate

    // A leak may wander in phase as azimuth does, so much about a tone of 1 kHz and more, Hz, and less about a lower one. There segments
    // are long too: neighbours stand a few hertz away, and lines of their flutter must not fall within.
    private const double CoherentHz = 0.5;
    private const double CoherentFromHz = 1000;
    private const double LeakSegmentSeconds = 4;
    private const double LowLeakSegmentSeconds = 16;
    private readonly double _outputRate;
    private readonly ToneDownconverter _left;
    private readonly ToneDownconverter? _right;
    private readonly BasebandRecord _l = new();
    private readonly BasebandRecord _r = new();
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double _carrier;
    private readonly double _stretchSeconds;
    private readonly double _unseenSeconds;

    /// <param name="frequencyHz">The tone's frequency as seen, Hz.</param>
    /// <param name="seconds">Length of the stretch, s: a short one must do with a wider band.</param>
    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    /// <param name="channels">1 or 2.</param>
    /// <param name="unseenSeconds">Length of the tone that lies before and after the stretch together, about, s.</param>
    /// <param name="neighbourHz">Distance to the nearest other tone that stands at the same time, Hz; null: there is none.</param>
    public ToneProbe(
        double frequencyHz,
        double seconds,
        double sampleRateHz,
        int channels,
        double unseenSeconds = 0,
        double? neighbourHz = null
    )
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(frequencyHz);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(frequencyHz, sampleRateHz / 2);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(seconds);
        ArgumentOutOfRangeException.ThrowIfLessThan(channels, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(channels, 2);
        _carrier = frequencyHz;
        _stretchSeconds = seconds;
        _unseenSeconds = unseenSeconds;

        // Flutter of 0.1 % at up to 100 Hz needs 250 Hz beside a tone of 10 kHz and little beside a low one, where hum is near. The filter
        // may eat a tenth of the stretch; offset (0 Hz) and the mirror above half the rate leave it room for its slope, and so set how deep
        // it stops.
        var room = 0.92 * Math.Min(frequencyHz, sampleRateHz - (2 * frequencyHz));
        room = Math.Min(room, 0.9 * (neighbourHz ?? double.PositiveInfinity));
        var pass = Math.Min(Math.Clamp(0.1 * frequencyHz, 5, 250), neighbourHz is null ? 0.15 * room : 0.4 * room);
        var attenuation = Math.Clamp(7.95 + (SlopePerDb * (room - pass) * LongestShare * seconds), 50, 95);
        var slope = Math.Max(pass, (attenuation - 7.95) / SlopePerDb / (LongestShare * seconds));
        var stop = Math.Min(pass + slope, room);
        var decimation = Decimation(frequencyHz, pass + stop, sampleRateHz);
        _left = new ToneDownconverter(frequencyHz, pass, stop, decimation, sampleRateHz, attenuation);
        _right = channels == 2 ? new ToneDownconverter(frequencyHz, pass, stop, decimation, sampleRateHz, attenuation) : null;
        _outputRate = _left.OutputRateHz;
        PassHz = pass;
        _re = new double[_left.MaximumOutputs(1 << 14)];
        _im = new double[_re.Length];
    }

    /// <summary>Half width of the band looked at, Hz.</summary>
    public double PassHz { get; }

    /// <summary>Whether what the weaker channel holds of the stronger one's tone is read.</summary>
    public bool ReadsLeak { get; init; }

    /// <summary>Takes the next frames of the stretch.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        while (left.Length > 0)
        {
            var take = Math.Min(left.Length, 1 << 14);
            Take(_left, left[..take], _l);
            left = left[take..];
            if (_right is not null)
            {
                Take(_right, right[..take], _r);
                right = right[take..];
            }
        }
    }

    /// <summary>What was found, or null where the stretch was too short or too disturbed to say.</summary>
    public ToneFigures? Finish()
    {
        var n = _right is null ? _l.Count : Math.Min(_l.Count, _r.Count);
        if (n < 8)
        {
            return null;
        }

        var hum = new HumRemoval(_carrier, _outputRate, 0.75 * _left.NoiseBandwidthHz);
        var left = hum.Clean(_l, n);
        var right = _right is null ? null : hum.Clean(_r, n);
        var keep = ToneSpan.Keep(left, right, out var kept);
        if (kept < 8 || kept < n / 2)
        {
            return null;
        }

        var seconds = kept / _outputRate;
        // A filter's outputs start and end half its length inside the stretch.
        var whole = _stretchSeconds + _unseenSeconds;
        var unseen = Math.Clamp(1 - ((n / _outputRate) / whole), 0, 1);
        var likeness = (_left.NoiseCorrelation(ToneStatistics.Lag), _left.NoiseCorrelation(2 * ToneStatistics.Lag));
        var statistics = new ToneStatistics(_outputRate, _left.NoiseBandwidthHz, likeness, unseen);
        var l = statistics.Channel(left, keep);
        var r = right is null ? null : statistics.Channel(right, keep);
        PhaseFigures? phase = null;
        var balance = 0.0;
        if (l is not null && r is not null)
        {
            // The product of both noises counts where they are loud.
            var both = l.Value.Single + r.Value.Single + (2 * l.Value.Single * r.Value.Single);
            phase = statistics.Phase(left, right!, keep, both);
            balance = statistics.Balance(left, right!, keep, both);
        }

        var strong = right is not null && r is not null && (l is null || r.Value.Figures.SnrDb > l.Value.Figures.SnrDb) ? right : left;
        var leak = ReadsLeak && right is not null ? Leak(strong == left ? _r : _l, strong, n) : ((LinePower Power, LeakShare? Share)?)null;
        return new ToneFigures
        {
            FrequencyHz = _carrier + ToneStatistics.Offset(strong, keep, _outputRate),
            Left = l?.Figures ?? new ChannelFigures(-200, 0, 0),
            Right = r?.Figures,
            BalanceMethodDb = balance,
            Leak = leak?.Power,
            LeakShare = leak?.Share,
            Phase = phase?.Phase,
            PhaseMethod = phase?.Method ?? 0,
            PhaseWander = phase?.Wander,
            DroppedShare = 1 - ((double)kept / n),
            Seconds = seconds,
        };
    }

    // Power would hold what neighbours' flutter and hiss put into the band; what turns with the strong tone alone is of it.
    private (LinePower Power, LeakShare? Share) Leak(BasebandRecord weak, BasebandRecord strong, int n)
    {
        var turned = weak.TurnedBack(strong, n);
        var low = _carrier < CoherentFromHz;
        var half = low ? CoherentHz * _carrier / CoherentFromHz : CoherentHz;
        var spectrum = BandSpectrum.Of(turned.Re, turned.Im, _outputRate, PassHz, low ? LowLeakSegmentSeconds : LeakSegmentSeconds);
        double re = 0, im = 0, whole = 0;
        for (var i = 0; i < n; i++)
        {
            re += turned.Re[i];
            im += turned.Im[i];
            whole += Math.Sqrt((strong.Re[i] * strong.Re[i]) + (strong.Im[i] * strong.Im[i]));
        }

        // The mean over T of noise of density N scatters by √(N/2T) either way.
        LeakShare? share = spectrum.NoiseBeside(0, half) is { } noise && whole > 0
            ? new LeakShare(new Complex(re / whole, im / whole), Math.Sqrt(noise * _outputRate / (2 * n)) * n / whole)
            : null;
        return (spectrum.Line(0, half), share);
    }

    // As low a rate as the band allows, but none at which what is left of offset (at −f) or of the mirror (at −2f) folds onto the tone.
    private static int Decimation(double frequencyHz, double widthHz, double sampleRateHz)
    {
        var most = Math.Max(1, (int)(sampleRateHz / (1.02 * widthHz)));
        for (var d = most; d > Math.Max(1, most * 3 / 4); d--)
        {
            var rate = sampleRateHz / d;
            if (
                Math.Abs(Math.IEEERemainder(frequencyHz, rate)) > 0.12 * rate
                && Math.Abs(Math.IEEERemainder(2 * frequencyHz, rate)) > 0.12 * rate
            )
            {
                return d;
            }
        }

        return most;
    }

    private void Take(ToneDownconverter converter, ReadOnlySpan<float> frames, BasebandRecord record)
    {
        var n = converter.Add(frames, _re, _im);
        record.Add(_re.AsSpan(0, n), _im.AsSpan(0, n));
    }
}
