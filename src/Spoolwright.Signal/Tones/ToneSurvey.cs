using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Tones;

/// <summary>
/// Looks through a whole capture for stretches in which one of a list of tones stands steady, among gaps, announcements, hum and hiss.
/// A tone is told from speech and noise by holding its frequency within half a percent and its level within 3 dB for half a second and
/// more.
/// </summary>
public sealed class ToneSurvey
{
    private const double SteadyHz = 0.005;
    private const double SteadyRatio = 2; // 3 dB in power
    private const double ShortestSeconds = 0.5;
    private readonly double[] _candidates;
    private readonly double _within;
    private readonly double _rate;
    private readonly int _length;
    private readonly int _hop;
    private readonly bool _stereo;
    private readonly Fft _fft;
    private readonly double[] _window;
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double[] _power;
    private readonly float[] _left;
    private readonly float[] _right;
    private readonly List<Sighting> _sightings = [];
    private readonly HumWatch _hum;
    private int _held;
    private long _frame;

    /// <param name="candidatesHz">Nominal frequencies looked for, Hz.</param>
    /// <param name="within">How far from nominal they may lie, as a fraction (a deck's speed).</param>
    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    /// <param name="channels">1 or 2.</param>
    public ToneSurvey(IReadOnlyList<double> candidatesHz, double within, double sampleRateHz, int channels)
    {
        if (candidatesHz.Count == 0)
        {
            throw new ArgumentException("At least one frequency must be looked for.", nameof(candidatesHz));
        }

        _candidates = candidatesHz.ToArray();
        _within = within;
        _rate = sampleRateHz;
        _stereo = channels == 2;
        _length = 1 << (int)Math.Ceiling(Math.Log2(sampleRateHz * 0.25));
        _hop = _length / 4;
        _fft = new Fft(_length);
        _window = HannWindow.Periodic(_length);
        _re = new double[_length];
        _im = new double[_length];
        _power = new double[_length / 2];
        _left = new float[_length];
        _right = new float[_length];
        _hum = new HumWatch(_candidates, _rate / _length);
    }

    /// <summary>Takes the next frames.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        while (left.Length > 0)
        {
            var take = Math.Min(left.Length, _length - _held);
            left[..take].CopyTo(_left.AsSpan(_held));
            left = left[take..];
            if (_stereo)
            {
                right[..take].CopyTo(_right.AsSpan(_held));
                right = right[take..];
            }

            _held += take;
            if (_held == _length)
            {
                Look();
                _left.AsSpan(_hop).CopyTo(_left);
                _right.AsSpan(_hop).CopyTo(_right);
                _held -= _hop;
                _frame += _hop;
            }
        }
    }

    /// <summary>The stretches found, in the order of time.</summary>
    public IReadOnlyList<ToneRun> Runs()
    {
        var runs = new List<ToneRun>();
        var start = 0;
        while (start < _sightings.Count)
        {
            var end = Follow(start, out var members);
            if (members.Count * _hop >= ShortestSeconds * _rate && Run(members) is { } run)
            {
                runs.Add(run);
            }

            start = Math.Max(end, start + 1);
        }

        return [.. runs.Where(r => !_hum.IsFamily(r)).Select(r => r with { HumPower = _hum.Line(r.Candidate, runs) })];
    }

    // From one sighting on: all that go with it, up to three windows missing or disturbed (a dropout) in between.
    private int Follow(int start, out List<Sighting> members)
    {
        members = [_sightings[start]];
        var last = start;
        for (var i = start + 1; i < _sightings.Count && _sightings[i].Frame - _sightings[last].Frame <= 4L * _hop; i++)
        {
            var middle = members[members.Count / 2];
            var s = _sightings[i];
            if (s.Candidate == middle.Candidate
                && Math.Abs((s.FrequencyHz / middle.FrequencyHz) - 1) < SteadyHz + (0.1 * _rate / _length / middle.FrequencyHz)
                && s.Power < middle.Power * SteadyRatio && s.Power * SteadyRatio > middle.Power)
            {
                members.Add(s);
                last = i;
            }
        }

        return last + 1;
    }

    private ToneRun? Run(List<Sighting> members)
    {
        var powers = members.Select(m => m.Power).Order().ToArray();
        var median = powers[powers.Length / 2];

        // Windows that reach over an edge of the tone read low; those within 0.4 dB of the middle lie inside, but for their ends.
        var inside = members.Where(m => m.Power > median * 0.91).ToArray();
        if (inside.Length == 0)
        {
            return null;
        }

        // A window that holds 0.91 of the power may reach 0.29 of its length beyond the edge. At the sound's own ends nothing lies beyond.
        var trim = (long)(0.3 * _length);
        var first = inside[0].Frame + (inside[0].Frame == 0 ? 0 : trim);
        var last = inside[^1].Frame + _length + _hop > _frame + _held ? _frame + _held : inside[^1].Frame + _length - trim;
        var frequencies = inside.Select(m => m.FrequencyHz).Order().ToArray();
        return new ToneRun(
            members[0].Candidate,
            frequencies[frequencies.Length / 2],
            first,
            last,
            median,
            inside.Average(m => m.Background)
        );
    }

    private void Look()
    {
        for (var i = 0; i < _length; i++)
        {
            _re[i] = _left[i] * _window[i];
            _im[i] = _stereo ? _right[i] * _window[i] : 0;
        }

        _fft.Forward(_re, _im);
        var half = _length / 2;
        var scale = 2 / (_length * (double)_length * 0.375);
        for (var k = 1; k < half; k++)
        {
            // Left stands in the real part, right in the imaginary one: the two halves of the spectrum hold the sum of their powers.
            double a = _re[k], b = _im[k], c = _re[_length - k], d = _im[_length - k];
            _power[k] = scale * 0.5 * ((a * a) + (b * b) + (c * c) + (d * d));
        }

        _hum.Add(_frame, _power);
        Sighting? best = null;
        for (var c = 0; c < _candidates.Length; c++)
        {
            if (Sight(c) is { } sighting && (best is null || sighting.Power > best.Value.Power))
            {
                best = sighting;
            }
        }

        if (best is { } seen)
        {
            _sightings.Add(seen);
        }
    }

    private Sighting? Sight(int candidate)
    {
        var bin = _rate / _length;
        var nominal = _candidates[candidate];
        int from = (int)Math.Floor(nominal * (1 - _within) / bin), to = (int)Math.Ceiling(nominal * (1 + _within) / bin);
        from = Math.Max(from, 3);
        to = Math.Min(to, (_length / 2) - 4);
        var peak = -1;
        for (var k = from; k <= to; k++)
        {
            if (_power[k] >= _power[k - 1] && _power[k] >= _power[k + 1] && (peak < 0 || _power[k] > _power[peak]))
            {
                peak = k;
            }
        }

        if (peak < 0 || _power[peak] < 1e-16)
        {
            return null;
        }

        // Flutter spreads a high tone over many bins: its power is gathered over ±0.4 %, around the middle of what stands there.
        var reach = Math.Max(2, (int)Math.Ceiling(0.004 * nominal / bin));
        var middle = peak;
        double power = 0, moment = 0;
        for (var round = 0; round < 2; round++)
        {
            power = 0;
            moment = 0;
            for (var k = Math.Max(1, middle - reach); k <= Math.Min(_power.Length - 1, middle + reach); k++)
            {
                power += _power[k];
                moment += k * _power[k];
            }

            middle = (int)Math.Round(moment / power);
        }

        var frequency = moment / power * bin;
        if (Math.Abs((frequency / nominal) - 1) > _within + (0.1 * bin / nominal))
        {
            return null;
        }

        // What stands around it in as wide a band again on both sides; some of flutter's sidebands may be there, so 10 dB are enough.
        double around = 0;
        var n = 0;
        for (var d = reach + 2; d <= (2 * reach) + 5; d++)
        {
            if (middle - d > 0)
            {
                around += _power[middle - d];
                n++;
            }

            if (middle + d < _power.Length)
            {
                around += _power[middle + d];
                n++;
            }
        }

        var background = n == 0 ? 0 : around / n * ((2 * reach) + 1);
        return power > 10 * background ? new Sighting(_frame, candidate, frequency, power, background) : null;
    }

    private readonly record struct Sighting(long Frame, int Candidate, double FrequencyHz, double Power, double Background);
}
