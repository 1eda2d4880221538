using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Live;

/// <summary>
/// Says ten and more times a second which steady tones stand in the sound: lines that hold their place and level from one look to the next,
/// well above what lies around them, and are no overtone of a stronger one.
/// </summary>
public sealed class LiveToneFinder
{
    /// <summary>Most tones told at once.</summary>
    public const int MostTones = 8;

    private const double AboveSurroundings = 100; // 20 dB in power, per bin
    private const double WeakestShare = 1e-3; // 30 dB under the strongest
    private const double OvertoneShare = 0.01; // 20 dB under the tone it belongs to
    private const double LeastPower = 1e-8; // −80 dBFS
    private readonly Fft _fft;
    private readonly double[] _window, _re, _im, _power;
    private readonly float[] _left, _right;
    private readonly double[] _seenHz = new double[MostTones], _seenPower = new double[MostTones];
    private readonly double[] _beforeHz = new double[MostTones], _beforePower = new double[MostTones];
    private readonly double[] _found = new double[MostTones];
    private readonly double _bin;
    private readonly int _length;
    private int _held;
    private int _before;

    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    public LiveToneFinder(double sampleRateHz)
    {
        _length = 1 << (int)Math.Round(Math.Log2(sampleRateHz * 0.1));
        _bin = sampleRateHz / _length;
        _fft = new Fft(_length);
        _window = HannWindow.Periodic(_length);
        (_re, _im, _power) = (new double[_length], new double[_length], new double[_length / 2]);
        (_left, _right) = (new float[_length], new float[_length]);
    }

    /// <summary>Looks made so far.</summary>
    public long Looks { get; private set; }

    /// <summary>Frequencies of the tones that stand, Hz, the strongest first; to about a tenth of a bin.</summary>
    public ReadOnlySpan<double> Tones => _found.AsSpan(0, Count);

    /// <summary>How many stand.</summary>
    public int Count { get; private set; }

    /// <summary>Takes the next frames of both channels.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        while (left.Length > 0)
        {
            var take = Math.Min(left.Length, _length - _held);
            left[..take].CopyTo(_left.AsSpan(_held));
            right[..take].CopyTo(_right.AsSpan(_held));
            _held += take;
            left = left[take..];
            right = right[take..];
            if (_held == _length)
            {
                Look();
                _left.AsSpan(_length / 2).CopyTo(_left);
                _right.AsSpan(_length / 2).CopyTo(_right);
                _held = _length / 2;
            }
        }
    }

    private void Look()
    {
        for (var i = 0; i < _length; i++)
        {
            _re[i] = _left[i] * _window[i];
            _im[i] = _right[i] * _window[i];
        }

        _fft.Forward(_re, _im);
        var scale = 2 / (_length * (double)_length * 0.375);
        for (var k = 1; k < _length / 2; k++)
        {
            // The transform of a complex pair: both channels' powers together are the mean of the two mirrored bins.
            double a = (_re[k] * _re[k]) + (_im[k] * _im[k]),
                b = (_re[_length - k] * _re[_length - k]) + (_im[_length - k] * _im[_length - k]);
            _power[k] = 0.5 * scale * (a + b);
        }

        var seen = Peaks();
        Count = 0;
        for (var i = 0; i < seen; i++)
        {
            if (Stood(_seenHz[i], _seenPower[i]))
            {
                _found[Count++] = _seenHz[i];
            }
        }

        _seenHz.AsSpan(0, seen).CopyTo(_beforeHz);
        _seenPower.AsSpan(0, seen).CopyTo(_beforePower);
        _before = seen;
        Looks++;
    }

    private bool Stood(double hz, double power)
    {
        for (var i = 0; i < _before; i++)
        {
            if (Math.Abs(hz - _beforeHz[i]) < (0.25 * _bin) + (0.01 * hz) && power < 2 * _beforePower[i] && power > 0.5 * _beforePower[i])
            {
                return true;
            }
        }

        return false;
    }

    private int Peaks()
    {
        var half = _length / 2;
        var count = 0;
        for (var k = 3; k < half - 3; k++)
        {
            var p = _power[k];
            if (p < LeastPower || p < _power[k - 1] || p <= _power[k + 1] || p < _power[k - 2] || p < _power[k + 2])
            {
                continue;
            }

            double line = 0, moment = 0;
            for (var d = -2; d <= 2; d++)
            {
                line += _power[k + d];
                moment += (k + d) * _power[k + d];
            }

            if (line > AboveSurroundings * Surroundings(k))
            {
                count = Insert(moment / line * _bin, line, count);
            }
        }

        return Sift(count);
    }

    // Quietest third of what lies 5 to 12 bins away on either side: another tone near by must not hide this one.
    private double Surroundings(int k)
    {
        Span<double> around = stackalloc double[16];
        var n = 0;
        for (var d = 5; d <= 12; d++)
        {
            if (k - d > 0)
            {
                around[n++] = _power[k - d];
            }

            if (k + d < _length / 2)
            {
                around[n++] = _power[k + d];
            }
        }

        around = around[..n];
        around.Sort();
        return n == 0 ? 0 : around[n / 3];
    }

    // Strongest first; the weakest falls out.
    private int Insert(double hz, double power, int count)
    {
        var at = count;
        while (at > 0 && _seenPower[at - 1] < power)
        {
            at--;
        }

        if (at == MostTones)
        {
            return count;
        }

        var last = Math.Min(count, MostTones - 1);
        for (var i = last; i > at; i--)
        {
            (_seenHz[i], _seenPower[i]) = (_seenHz[i - 1], _seenPower[i - 1]);
        }

        (_seenHz[at], _seenPower[at]) = (hz, power);
        return Math.Min(count + 1, MostTones);
    }

    private int Sift(int count)
    {
        var kept = 0;
        for (var i = 0; i < count; i++)
        {
            var keep = _seenPower[i] > WeakestShare * _seenPower[0];
            for (var j = 0; j < kept && keep; j++)
            {
                var ratio = _seenHz[i] / _seenHz[j];
                var overtone = Math.Round(ratio) >= 2 && Math.Abs(_seenHz[i] - (Math.Round(ratio) * _seenHz[j])) < _bin;
                keep = !(overtone && _seenPower[i] < OvertoneShare * _seenPower[j]);
            }

            if (keep)
            {
                (_seenHz[kept], _seenPower[kept]) = (_seenHz[i], _seenPower[i]);
                kept++;
            }
        }

        return kept;
    }
}
