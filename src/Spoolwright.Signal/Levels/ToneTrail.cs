using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Levels;

/// <summary>A tone that stands in one window of sound.</summary>
/// <param name="Hz">Its frequency.</param>
/// <param name="Left">Twice its mean square in the left channel: a full-scale sine is 1.</param>
/// <param name="Right">The same, right; 0 with one channel.</param>
public readonly record struct TrailTone(double Hz, double Left, double Right)
{
    /// <summary>Both channels together.</summary>
    public double Power => Left + Right;
}

/// <summary>A stretch in which one tone stood steady.</summary>
/// <param name="Hz">Mean frequency.</param>
/// <param name="Left">Mean power, left.</param>
/// <param name="Right">Mean power, right.</param>
/// <param name="FirstFrame">First frame, inside the tone.</param>
/// <param name="LastFrame">Frame after the last.</param>
public sealed record TrailRun(double Hz, double Left, double Right, long FirstFrame, long LastFrame)
{
    /// <summary>Whether the left channel carries it.</summary>
    public bool IsLeft => Left >= Right;

    /// <summary>Power of the channel that carries it.</summary>
    public double Power => Math.Max(Left, Right);

    /// <summary>How far the other channel lies below, dB.</summary>
    public double DifferenceDb => Math.Abs(10 * Math.Log10(Math.Max(Left, 1e-20) / Math.Max(Right, 1e-20)));
}

/// <summary>
/// Follows which tones stand in a capture, window by window (a quarter to half a second, half overlapping): at most sixteen at once, at
/// most 26 dB under the strongest. Keeps some 100 to 400 bytes a window.
/// </summary>
public sealed class ToneTrail
{
    private const int MostTones = 16;
    private const double WithinStrongest = 1.0 / 400;
    private const double OverSurroundings = 200;

    // A tone that goes over from one channel to the other without a gap is two: within the three windows that see it go, some step of its
    // share is larger than a third.
    private const double SameSides = 0.3;
    private readonly Fft _fft;
    private readonly double[] _window;
    private readonly float[][] _input;
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double[][] _power;
    private readonly double _rate;
    private readonly int _channels;
    private readonly List<TrailTone[]> _tones = [];
    private readonly List<(float Left, float Right)> _noise = [];
    private int _filled;

    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    /// <param name="channels">1 or 2.</param>
    public ToneTrail(double sampleRateHz, int channels)
    {
        _rate = sampleRateHz;
        _channels = channels;
        WindowFrames = 1 << (int)Math.Ceiling(Math.Log2(sampleRateHz * 0.25));
        _fft = new Fft(WindowFrames);
        _window = HannWindow.Periodic(WindowFrames);
        _input = [new float[WindowFrames], new float[WindowFrames]];
        _re = new double[WindowFrames];
        _im = new double[WindowFrames];
        _power = [new double[WindowFrames / 2], new double[WindowFrames / 2]];
    }

    /// <summary>Frames of one window; they follow each other by half.</summary>
    public int WindowFrames { get; }

    /// <summary>Windows so far.</summary>
    public int Count => _tones.Count;

    /// <summary>Tones of a window, strongest first.</summary>
    public IReadOnlyList<TrailTone> Tones(int window) => _tones[window];

    /// <summary>Median density from 300 Hz to 5 kHz of a window, both channels together.</summary>
    public double Noise(int window) => _noise[window].Left + _noise[window].Right;

    /// <summary>First frame of a window.</summary>
    public long FirstFrame(int window) => (long)window * (WindowFrames / 2);

    /// <summary>Takes the next frames.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        while (left.Length > 0)
        {
            var take = Math.Min(left.Length, WindowFrames - _filled);
            left[..take].CopyTo(_input[0].AsSpan(_filled));
            left = left[take..];
            if (_channels == 2)
            {
                right[..take].CopyTo(_input[1].AsSpan(_filled));
                right = right[take..];
            }

            _filled += take;
            if (_filled == WindowFrames)
            {
                Look();
                _filled = WindowFrames / 2;
                foreach (var input in _input)
                {
                    input.AsSpan(_filled).CopyTo(input);
                }
            }
        }
    }

    /// <summary>Stretches of at least so many seconds in which a tone held its frequency within 1 %, its level within 3 dB and its channels
    /// from window to window.</summary>
    public IReadOnlyList<TrailRun> Runs(double leastSeconds)
    {
        var open = new List<(int First, List<TrailTone> Tones)>();
        var runs = new List<TrailRun>();
        for (var w = 0; w <= Count; w++)
        {
            var tones = w < Count ? _tones[w].ToList() : [];
            for (var i = open.Count - 1; i >= 0; i--)
            {
                var last = open[i].Tones[^1];
                var at = tones.FindIndex(t =>
                    Math.Abs(t.Hz - last.Hz) < 0.01 * last.Hz
                    && t.Power < 2 * last.Power
                    && last.Power < 2 * t.Power
                    && Math.Abs((t.Left / t.Power) - (last.Left / last.Power)) < SameSides
                );
                if (at >= 0)
                {
                    open[i].Tones.Add(tones[at]);
                    tones.RemoveAt(at);
                    continue;
                }

                Close(open[i].First, open[i].Tones, leastSeconds, runs);
                open.RemoveAt(i);
            }

            open.AddRange(tones.Select(t => (w, new List<TrailTone> { t })));
        }

        return [.. runs.OrderBy(r => r.FirstFrame)];
    }

    private void Close(int first, List<TrailTone> tones, double leastSeconds, List<TrailRun> runs)
    {
        // Where more goes before or comes after, the outermost windows may lie half outside: their inner halves alone count.
        var hop = WindowFrames / 2;
        var from = FirstFrame(first) + (first > 0 ? hop : 0);
        var to = FirstFrame(first + tones.Count - 1) + WindowFrames - (first + tones.Count < Count ? hop : 0);
        if (to - from >= leastSeconds * _rate)
        {
            runs.Add(new TrailRun(tones.Average(t => t.Hz), tones.Average(t => t.Left), tones.Average(t => t.Right), from, to));
        }
    }

    private void Look()
    {
        for (var i = 0; i < WindowFrames; i++)
        {
            _re[i] = _input[0][i] * _window[i];
            _im[i] = _channels == 2 ? _input[1][i] * _window[i] : 0;
        }

        _fft.Forward(_re, _im);
        var half = WindowFrames / 2;
        var scale = 4 / (WindowFrames * (double)WindowFrames * 0.375);
        double[] left = _power[0], right = _power[1];
        for (var k = 1; k < half; k++)
        {
            double ar = _re[k], ai = _im[k], br = _re[WindowFrames - k], bi = _im[WindowFrames - k];
            double lr = 0.5 * (ar + br), li = 0.5 * (ai - bi), rr = 0.5 * (ai + bi), ri = 0.5 * (br - ar);
            left[k] = scale * ((lr * lr) + (li * li));
            right[k] = scale * ((rr * rr) + (ri * ri));
        }

        var bin = _rate / WindowFrames;
        var found = new List<TrailTone>();
        var strongest = 0.0;
        for (var k = 8; k < half - 8; k++)
        {
            strongest = Math.Max(strongest, left[k] + right[k]);
        }

        for (var k = Math.Max(8, (int)(25 / bin)); k < half - 8 && strongest > 1e-12; k++)
        {
            var p = left[k] + right[k];
            if (p < WithinStrongest * strongest || p < left[k - 1] + right[k - 1] || p <= left[k + 1] + right[k + 1])
            {
                continue;
            }

            if (!StandsOut(left, right, k, half))
            {
                continue;
            }

            double l = 0, r = 0, moment = 0;
            var reach = Math.Max(2, (int)(0.004 * k));
            for (var j = Math.Max(1, k - reach); j <= Math.Min(half - 1, k + reach); j++)
            {
                l += left[j];
                r += right[j];
                moment += j * (left[j] + right[j]);
            }

            found.Add(new TrailTone(bin * moment / (l + r), l, r));
        }

        // The skirts of a strong tone are none of their own.
        var kept = new List<TrailTone>();
        foreach (var tone in found.OrderByDescending(t => t.Power))
        {
            if (kept.Count < MostTones && kept.All(t => Math.Abs(t.Hz - tone.Hz) > Math.Max(0.03 * t.Hz, 6 * bin)))
            {
                kept.Add(tone);
            }
        }

        _tones.Add([.. kept]);
        _noise.Add(((float)Density(left, bin), (float)Density(right, bin)));
    }

    // Over the median of what lies beside it, beyond its skirts and most of its flutter's sidebands. Counting says so without sorting, and
    // ends early in noise, where every third bin is asked: at least half of what lies there must not be over a part of the peak.
    private static bool StandsOut(double[] left, double[] right, int k, int half)
    {
        var n = 0;
        for (var d = 20; d <= 60; d += 2)
        {
            n += (k - d > 0 ? 1 : 0) + (k + d < half ? 1 : 0);
        }

        var p = left[k] + right[k];
        var mayBeOver = n - (n / 2) - 1;
        for (var d = 20; d <= 60; d += 2)
        {
            if (k - d > 0 && p < OverSurroundings * (left[k - d] + right[k - d]) && --mayBeOver < 0)
            {
                return false;
            }

            if (k + d < half && p < OverSurroundings * (left[k + d] + right[k + d]) && --mayBeOver < 0)
            {
                return false;
            }
        }

        return true;
    }

    private static double Density(double[] power, double bin)
    {
        int from = (int)(300 / bin), to = Math.Min(power.Length, (int)(5000 / bin));
        var part = power.AsSpan(from, to - from).ToArray();
        Array.Sort(part);
        return part[part.Length / 2] / bin;
    }
}
