using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Markers;

/// <summary>
/// Matched filters for the upward and the downward sweep over one block of two channels: one transform of the sound, and for each channel
/// and sweep one short transform back, at a lower rate, of the band that sweeps lie in.
/// </summary>
internal sealed class SweepFilter
{
    private const double OutputRateHz = 11_000;
    private const double EdgeHz = 200;
    private readonly int _length;
    private readonly int _short;
    private readonly double _rate;
    private readonly Fft _fft;
    private readonly Fft _back;
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double[] _band;
    private readonly double[][] _templateRe = new double[2][];
    private readonly double[][] _templateIm = new double[2][];
    private readonly double[] _shortRe;
    private readonly double[] _shortIm;
    private readonly double[] _energy;
    private readonly int _window;
    private readonly int _fromBin;
    private readonly double[] _selfPeak = new double[2];
    private readonly double[] _selfEnergy = new double[2];

    public SweepFilter(double sampleRateHz)
    {
        _rate = sampleRateHz;
        _length = 1 << (int)Math.Ceiling(Math.Log2(sampleRateHz * 1.2));
        Decimation = 1 << (int)Math.Floor(Math.Log2(sampleRateHz / OutputRateHz));
        _short = _length / Decimation;
        _fft = new Fft(_length);
        _back = new Fft(_short);
        _re = new double[_length];
        _im = new double[_length];
        _shortRe = new double[_short];
        _shortIm = new double[_short];
        _energy = new double[_short + 1];
        Correlation = [new double[_short], new double[_short]];
        Amplitude = [new double[_short], new double[_short]];
        _window = (int)(MarkerSweep.Seconds * sampleRateHz / Decimation);

        // Speeds of 3 % either way stay inside the flat part.
        double low = MarkerSweep.LowestHz * 0.96, high = MarkerSweep.HighestHz * 1.04, bin = sampleRateHz / _length;
        _fromBin = (int)((low - EdgeHz) / bin);
        _band = new double[(int)((high + EdgeHz) / bin) - _fromBin];
        for (var i = 0; i < _band.Length; i++)
        {
            var f = (_fromBin + i) * bin;
            var inside = Math.Clamp(Math.Min(f - low, high - f) / EdgeHz, -1, 0);
            _band[i] = 0.5 + (0.5 * Math.Cos(Math.PI * inside));
        }

        Reach = (int)(MarkerSweep.Seconds * sampleRateHz) + (8 * Decimation);
        for (var up = 0; up < 2; up++)
        {
            MakeTemplate(up);
        }
    }

    /// <summary>Frames a block holds.</summary>
    public int BlockFrames => _length;

    /// <summary>Frames for one output.</summary>
    public int Decimation { get; }

    /// <summary>Frames at a block's end in which a sweep that begins is not seen whole.</summary>
    public int Reach { get; }

    /// <summary>Normalised correlation of the channel last looked at, 0 to 1, by sweep (0 down, 1 up): 1 is the sweep and nothing else in
    /// its band.</summary>
    public double[][] Correlation { get; }

    /// <summary>Amplitude of a sweep that would begin there, by sweep.</summary>
    public double[][] Amplitude { get; }

    /// <summary>Transforms one block.</summary>
    public void Load(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        for (var i = 0; i < _length; i++)
        {
            _re[i] = left[i];
            _im[i] = right.IsEmpty ? 0 : right[i];
        }

        _fft.Forward(_re, _im);
    }

    /// <summary>Runs both filters over a channel of the block loaded.</summary>
    /// <param name="channel">0 or 1.</param>
    public void Look(int channel)
    {
        ToBand(channel, null);
        _energy[0] = 0;
        for (var i = 0; i < _short; i++)
        {
            _energy[i + 1] = _energy[i] + (_shortRe[i] * _shortRe[i]) + (_shortIm[i] * _shortIm[i]);
        }

        for (var up = 0; up < 2; up++)
        {
            ToBand(channel, up);
            var floor = _selfEnergy[up] * 1e-10; // a sweep 100 dB under full scale
            for (var i = 0; i < _short; i++)
            {
                var c = Math.Sqrt((_shortRe[i] * _shortRe[i]) + (_shortIm[i] * _shortIm[i])) / _selfPeak[up];
                var energy = _energy[Math.Min(_short, i + _window)] - _energy[i];
                Amplitude[up][i] = c;
                Correlation[up][i] = energy <= floor ? 0 : c / Math.Sqrt(energy / _selfEnergy[up]);
            }
        }
    }

    private void MakeTemplate(int up)
    {
        var sweep = new float[_length];
        for (var i = 0; i < Reach; i++)
        {
            sweep[i] = (float)MarkerSweep.Value(i / _rate, up == 1);
        }

        Load(sweep, default);
        _templateRe[up] = [.. _band.Select((b, i) => b * _re[_fromBin + i])];
        _templateIm[up] = [.. _band.Select((b, i) => b * _im[_fromBin + i])];
        ToBand(0, null);
        for (var i = 0; i < _window; i++)
        {
            _selfEnergy[up] += (_shortRe[i] * _shortRe[i]) + (_shortIm[i] * _shortIm[i]);
        }

        ToBand(0, up);
        _selfPeak[up] = Math.Sqrt((_shortRe[0] * _shortRe[0]) + (_shortIm[0] * _shortIm[0]));
    }

    // The band of one channel, times a template's conjugate or as it is, back to time. Swapping the parts makes the forward transform an
    // inverse one.
    private void ToBand(int channel, int? template)
    {
        Array.Clear(_shortRe);
        Array.Clear(_shortIm);
        for (var i = 0; i < _band.Length; i++)
        {
            int k = _fromBin + i, mirrored = _length - k;
            double a, b;
            if (channel == 0)
            {
                (a, b) = ((_re[k] + _re[mirrored]) / 2, (_im[k] - _im[mirrored]) / 2);
            }
            else
            {
                (a, b) = ((_im[k] + _im[mirrored]) / 2, (_re[mirrored] - _re[k]) / 2);
            }

            if (template is { } up)
            {
                double c = _templateRe[up][i], d = -_templateIm[up][i];
                (a, b) = ((a * c) - (b * d), (a * d) + (b * c));
            }
            else
            {
                (a, b) = (a * _band[i], b * _band[i]);
            }

            _shortRe[k % _short] = b;
            _shortIm[k % _short] = a;
        }

        _back.Forward(_shortRe, _shortIm);
        for (var i = 0; i < _short; i++)
        {
            (_shortRe[i], _shortIm[i]) = (_shortIm[i], _shortRe[i]);
        }
    }
}
