namespace Spoolwright.Signal.Spectra;

/// <summary>
/// Two sounds of one clock held against each other by frequency: Hann windows half over each other, their own and common spectra averaged
/// [SPECTRA-1967]. From the common part follow the gain from one to the other and what of the second the first does not explain
/// [COHERENCE-1986].
/// </summary>
public sealed class CrossSpectrum
{
    // Windows of a Hann shape half over each other count for this share of as many apart [SPECTRA-1967].
    private const double ApartShare = 0.947;

    // A Hann window lets a bin share 2/3 with each neighbour and 1/6 with each one further on; squares of both sounds' shares: 1 + 2·(4/9)
    // + 2·(1/36).
    private const double BinsAsOne = 1 + (2 * 4 / 9.0) + (2 / 36.0);

    private readonly Fft _fft;
    private readonly double[] _window;
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double[] _source;
    private readonly double[] _tape;
    private readonly double[] _commonRe;
    private readonly double[] _commonIm;
    private readonly double _rate;
    private int _count;

    /// <param name="length">Samples of a window, a power of two.</param>
    /// <param name="sampleRateHz">Rate, Hz.</param>
    public CrossSpectrum(int length, double sampleRateHz)
    {
        _fft = new Fft(length);
        _rate = sampleRateHz;
        _window = [.. Enumerable.Range(0, length).Select(i => 0.5 - (0.5 * Math.Cos(2 * Math.PI * i / length)))];
        (_re, _im) = (new double[length], new double[length]);
        var bins = (length / 2) + 1;
        (_source, _tape, _commonRe, _commonIm) = (new double[bins], new double[bins], new double[bins], new double[bins]);
    }

    /// <summary>Takes two sounds of the same length, whole.</summary>
    public void Add(ReadOnlySpan<float> source, ReadOnlySpan<float> tape)
    {
        ArgumentOutOfRangeException.ThrowIfNotEqual(tape.Length, source.Length, nameof(tape));
        for (var start = 0; start + _window.Length <= source.Length; start += _window.Length / 2)
        {
            for (var i = 0; i < _window.Length; i++)
            {
                _re[i] = _window[i] * source[start + i];
                _im[i] = _window[i] * tape[start + i];
            }

            _fft.Forward(_re, _im);
            for (var k = 0; k < _source.Length; k++)
            {
                var m = (_window.Length - k) % _window.Length;
                double ar = (_re[k] + _re[m]) / 2, ai = (_im[k] - _im[m]) / 2, br = (_im[k] + _im[m]) / 2, bi = (_re[m] - _re[k]) / 2;
                _source[k] += (ar * ar) + (ai * ai);
                _tape[k] += (br * br) + (bi * bi);
                _commonRe[k] += (ar * br) + (ai * bi);
                _commonIm[k] += (ar * bi) - (ai * br);
            }

            _count++;
        }
    }

    /// <summary>Gain from source to tape over a band, the source's power being the weight, and its uncertainty by noise (k = 2),
    /// dB.</summary>
    public (double Db, double Uncertainty) Gain(double fromHz, double toHz)
    {
        double source = 0, through = 0, variance = 0;
        foreach (var k in Bins(fromHz, toHz))
        {
            if (_source[k] <= 0)
            {
                continue;
            }

            // The noise that averaging left in the common part is taken out of its square.
            var common = Common(k);
            var rest = Math.Max(0, (_tape[k] - (common / _source[k])) / Math.Max(1, Windows - 1));
            var power = Math.Max(0, (common / _source[k]) - rest);
            source += _source[k];
            through += power;
            variance += BinsAsOne * power * rest * 2;
        }

        return through <= 0 ? (-200, 200) : (10 * Math.Log10(through / source), 2 * 10 / Math.Log(10) * Math.Sqrt(variance) / through);
    }

    /// <summary>Power of both over a band, in one unit.</summary>
    /// <param name="fromHz">Lower end, Hz.</param>
    /// <param name="toHz">Upper end, Hz.</param>
    /// <param name="weight">Weight of the power at a frequency; null: 1.</param>
    public (double Source, double Tape) Power(double fromHz, double toHz, Func<double, double>? weight = null)
    {
        double source = 0, tape = 0;
        foreach (var k in Bins(fromHz, toHz))
        {
            var w = weight?.Invoke(k * _rate / _window.Length) ?? 1;
            source += w * _source[k];
            tape += w * _tape[k];
        }

        return (source / Math.Max(1, _count), tape / Math.Max(1, _count));
    }

    /// <summary>Power of the tape less the source at a gain.</summary>
    public double Apart(double fromHz, double toHz, double gain) =>
        Bins(fromHz, toHz).Sum(k => _tape[k] - (2 * gain * _commonRe[k]) + (gain * gain * _source[k])) / Math.Max(1, _count);

    /// <summary>Power of the tape that no filter makes of the source.</summary>
    public double Unexplained(double fromHz, double toHz) =>
        Bins(fromHz, toHz).Sum(k => _source[k] <= 0 ? _tape[k] : Math.Max(0, _tape[k] - (Common(k) / _source[k])))
        * Windows
        / Math.Max(1, Windows - 1)
        / Math.Max(1, _count);

    private double Windows => _count * ApartShare;

    private double Common(int k) => (_commonRe[k] * _commonRe[k]) + (_commonIm[k] * _commonIm[k]);

    private IEnumerable<int> Bins(double fromHz, double toHz)
    {
        var last = Math.Min(_source.Length - 1, (int)Math.Floor(toHz * _window.Length / _rate));
        for (var k = Math.Max(1, (int)Math.Ceiling(fromHz * _window.Length / _rate)); k <= last; k++)
        {
            yield return k;
        }
    }
}
