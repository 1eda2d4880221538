using System.Numerics;
using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Lines;

/// <summary>
/// Finds steady lines in sound that went through no tape: one after the other, or many at once. Windows of a third to half a second,
/// weighed by the square of Hann's, each line read by its bin and the window's own transform at its exact frequency.
/// </summary>
public sealed class LineSurvey
{
    private const double LowestHz = 18;
    private const double DownTo = 1e-6; // 60 dB under the loudest of its window
    private const double Clear = 100; // 20 dB over what stands around it
    private const double HarmonicDown = 1e-3; // 30 dB: what lies so far under a line at a multiple of it is its distortion
    private const double SameLevel = 1.1; // 0.4 dB in power
    private const int Skirt = 4;

    // The window's skirt falls by 30 dB an octave from −47 dB beside the main lobe: so far from a line it lies 140 dB under it.
    private const int LineSkirt = 32;

    // Noise beside a line is read from here on, where the skirt lies 95 dB under it.
    private const int NoiseFrom = 12;
    private readonly double _rate;
    private readonly int _length;
    private readonly int _hop;
    private readonly bool _stereo;
    private readonly Fft _fft;
    private readonly double[] _window;
    private readonly double _sum;
    private readonly float[] _left;
    private readonly float[] _right;
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double[] _power;
    private readonly double[] _leftPower;
    private readonly double[] _rightPower;
    private readonly List<LineWindow> _windows = [];
    private int _held;
    private long _frame;

    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    /// <param name="channels">1 or 2.</param>
    public LineSurvey(double sampleRateHz, int channels)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(sampleRateHz);
        (_rate, _stereo) = (sampleRateHz, channels == 2);
        _length = (int)BitOperations.RoundUpToPowerOf2((uint)(sampleRateHz * 0.25));
        _hop = _length / 2;
        _fft = new Fft(_length);
        _window = [.. Enumerable.Range(0, _length).Select(i => Math.Pow(Math.Sin(Math.PI * i / _length), 4))];
        _sum = _window.Sum();
        (_left, _right) = (new float[_length], new float[_length]);
        (_re, _im) = (new double[_length], new double[_length]);
        (_power, _leftPower, _rightPower) = (new double[_length / 2], new double[_length / 2], new double[_length / 2]);
        NoiseBins = _length * _window.Sum(w => w * w) / (_sum * _sum);
        // Noise of two windows that overlap by half is alike by this much.
        Overlap = Enumerable.Range(0, _hop).Sum(i => _window[i] * _window[i + _hop]) / _window.Sum(w => w * w);
    }

    internal double NoiseBins { get; }

    internal double Overlap { get; }

    internal double RateHz => _rate;

    internal int Hop => _hop;

    internal int Length => _length;

    internal IReadOnlyList<LineWindow> Windows => _windows;

    /// <summary>Takes the next frames; right is not looked at with one channel.</summary>
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

    /// <summary>The lines that stood steady for two windows and more, by frequency; one that came oftener, where it stood
    /// longest.</summary>
    public IReadOnlyList<SteadyLine> Lines()
    {
        var runs = new List<List<(int Window, LineSight Sight)>>();
        var open = new List<List<(int Window, LineSight Sight)>>();
        for (var w = 0; w < _windows.Count; w++)
        {
            var still = new List<List<(int, LineSight)>>();
            foreach (var sight in _windows[w].Lines)
            {
                var run = open.Find(r => r[^1].Window == w - 1 && Math.Abs(r[^1].Sight.Bin - sight.Bin) < 0.3
                    && r[^1].Sight.Power < SameLevel * sight.Power && sight.Power < SameLevel * r[^1].Sight.Power);
                if (run is null)
                {
                    run = [];
                    runs.Add(run);
                }

                run.Add((w, sight));
                still.Add(run);
            }

            open = still;
        }

        var lines = runs.Where(r => r.Count >= 2).Select(r => SteadyLine.Of(this, Inside(r))).ToList();
        return
        [
            .. lines
                .Where(l =>
                    !lines.Exists(o =>
                        o != l
                        && Math.Abs(o.FrequencyHz - l.FrequencyHz) < 1.5 * _rate / _length
                        && (o.Seconds > l.Seconds || (o.Seconds == l.Seconds && o.FirstFrame < l.FirstFrame))
                    )
                )
                .OrderBy(l => l.FrequencyHz),
        ];
    }

    /// <summary>Response of the window at so many bins from its middle, 1 there.</summary>
    internal double Response(double bins)
    {
        double sum = 0;
        for (var i = 0; i < _length; i++)
        {
            sum += _window[i] * Math.Cos(2 * Math.PI * bins * (i - (_length / 2)) / _length);
        }

        return sum / _sum;
    }

    // Windows that reach over an edge of a step read a little low: what lies under the strongest by more than noise makes is left out.
    private static List<(int Window, LineSight Sight)> Inside(List<(int Window, LineSight Sight)> run)
    {
        var strongest = run.MaxBy(r => r.Sight.Power).Sight;
        var noise = 6 * Math.Sqrt(2 * (strongest.NoiseLeft + strongest.NoiseRight) / strongest.Power);
        var inside = run.Where(r => r.Sight.Power > (1 - Math.Max(1e-4, noise)) * strongest.Power).ToList();
        return inside.Count >= 2 ? inside : [.. run.OrderByDescending(r => r.Sight.Power).Take(2).OrderBy(r => r.Window)];
    }

    private void Look()
    {
        for (var i = 0; i < _length; i++)
        {
            _re[i] = _left[i] * _window[i];
            _im[i] = _stereo ? _right[i] * _window[i] : 0;
        }

        _fft.Forward(_re, _im);
        var scale = 2 / _sum; // peak amplitude
        var half = _length / 2;
        for (var k = 1; k < half; k++)
        {
            var (l, r) = Pair(k, scale);
            (_leftPower[k], _rightPower[k]) = (Square(l), Square(r));
            _power[k] = _leftPower[k] + _rightPower[k];
        }

        var from = Math.Max(Skirt + 1, (int)(LowestHz * _length / _rate));
        var loudest = 0.0;
        for (var k = from; k < half - Skirt - 1; k++)
        {
            loudest = Math.Max(loudest, _power[k]);
        }

        var sights = new List<LineSight>();
        for (var k = from; k < half - Skirt - 1 && loudest > 1e-12; k++)
        {
            if (
                _power[k] > DownTo * loudest
                && _power[k] >= _power[k - 1]
                && _power[k] > _power[k + 1]
                && _power[k] > Clear * Around(_power, k, Skirt + 1)
            )
            {
                var (l, r) = Pair(k, scale * ((k & 1) == 0 ? 1 : -1)); // phase of the window's middle
                sights.Add(
                    new LineSight(k + Offset(k), k, _power[k], l, r, Around(_leftPower, k, NoiseFrom), Around(_rightPower, k, NoiseFrom))
                );
            }
        }

        sights.RemoveAll(s =>
            sights.Exists(o =>
                s.Power < HarmonicDown * o.Power
                && Math.Round(s.Bin / o.Bin) >= 2
                && Math.Abs((s.Bin / o.Bin) - Math.Round(s.Bin / o.Bin)) * o.Bin < 0.5 + (0.1 * s.Bin / o.Bin)
            )
        );
        _windows.Add(new LineWindow(_frame, sights, Residue(_leftPower, sights), Residue(_rightPower, sights)));
    }

    private (Complex Left, Complex Right) Pair(int k, double scale)
    {
        double ar = _re[k], ai = _im[k], br = _re[_length - k], bi = _im[_length - k];
        return (new Complex(ar + br, ai - bi) * (0.5 * scale), new Complex(ai + bi, br - ar) * (0.5 * scale));
    }

    // The window's main lobe is known: the ratio of the bins beside the highest says where its top lies. For cos⁴: amplitude ratio
    // (2+δ)/(3−δ) rearranged.
    private double Offset(int k)
    {
        double a = Math.Sqrt(_power[k - 1]), b = Math.Sqrt(_power[k]), c = Math.Sqrt(_power[k + 1]);
        if (c >= a)
        {
            var q = c / b;
            return Math.Clamp(((3 * q) - 2) / (1 + q), -0.5, 0.6);
        }

        var p = a / b;
        return -Math.Clamp(((3 * p) - 2) / (1 + p), -0.5, 0.6);
    }

    private double Around(double[] power, int k, int nearest)
    {
        Span<double> beside = stackalloc double[24];
        var n = 0;
        for (var d = nearest; d < nearest + 12; d++)
        {
            if (k - d >= 1)
            {
                beside[n++] = power[k - d];
            }

            if (k + d < power.Length)
            {
                beside[n++] = power[k + d];
            }
        }

        beside = beside[..n];
        beside.Sort();

        // The middle of n numbers of an exponential law lies at ln 2 of its mean, and 1/(2n) above for few of them; bins this near share
        // their noise.
        return n == 0 ? 0 : beside[n / 2] / (Math.Log(2) + (0.5 * NoiseBins / n));
    }

    // Mean square from 22.4 Hz to 22.4 kHz [IEC60268-1], lines and their harmonics left out and filled with what lies beside.
    private double Residue(double[] power, List<LineSight> lines)
    {
        int from = Math.Max(2, (int)Math.Ceiling(22.4 * _length / _rate)), to = Math.Min(power.Length - 1, (int)(22_400 * _length / _rate));
        var skip = new bool[power.Length];
        foreach (var line in lines)
        {
            // An interface's harmonics beyond the tenth lie under its noise; leaving all of a low tone's out would leave nothing.
            for (var h = 1; h <= 10 && h * line.Bin < to + Skirt; h++)
            {
                var at = (int)Math.Round(h * line.Bin);
                var reach = h == 1 ? LineSkirt : Skirt;
                for (var k = Math.Max(0, at - reach); k <= Math.Min(power.Length - 1, at + reach); k++)
                {
                    skip[k] = true;
                }
            }
        }

        double sum = 0;
        var kept = 0;
        for (var k = from; k <= to; k++)
        {
            if (!skip[k])
            {
                sum += power[k];
                kept++;
            }
        }

        // A bin's peak amplitude squared is twice its mean square, and it gathers the noise of so many bins.
        return kept == 0 ? 0 : sum / 2 / NoiseBins * (to - from + 1) / kept;
    }

    private static double Square(Complex z) => (z.Real * z.Real) + (z.Imaginary * z.Imaginary);
}

/// <summary>One window: the lines in it and what else stands there.</summary>
internal sealed record LineWindow(long Frame, IReadOnlyList<LineSight> Lines, double ResidueLeft, double ResidueRight);

/// <summary>One line in one window, peak amplitudes at its bin, phase at the window's middle.</summary>
internal sealed record LineSight(double Bin, int PeakBin, double Power, Complex Left, Complex Right, double NoiseLeft, double NoiseRight);
