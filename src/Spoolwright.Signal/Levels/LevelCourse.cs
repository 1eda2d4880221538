using Spoolwright.Signal.Tones;

namespace Spoolwright.Signal.Levels;

/// <summary>
/// Level of one tone in one channel over time, twenty points a second, through flutter: the tone is brought to 0 Hz in a band that holds
/// its flutter, and its power averaged.
/// </summary>
public sealed class LevelCourse
{
    /// <summary>Points a second.</summary>
    public const double PerSecond = 20;

    private const int Finest = 8; // outputs a point at least
    private readonly ToneDownconverter _converter;
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly List<double> _power = [];
    private readonly double _perPoint;
    private double _sum;
    private int _count;
    private long _outputs;

    /// <param name="frequencyHz">The tone's frequency, Hz.</param>
    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    public LevelCourse(double frequencyHz, double sampleRateHz)
    {
        // 0.1 % of flutter at up to 100 Hz, and level noise up to 20 Hz.
        var pass = Math.Clamp(0.015 * frequencyHz, 30, 150);
        var stop = Math.Min(2.5 * pass, 0.9 * Math.Min(frequencyHz, (sampleRateHz / 2) - frequencyHz));
        pass = Math.Min(pass, stop / 2);
        var decimation = Math.Max(1, (int)Math.Min(sampleRateHz / (1.05 * (pass + stop)), sampleRateHz / (PerSecond * Finest)));
        _converter = new ToneDownconverter(frequencyHz, pass, stop, decimation, sampleRateHz, 80);
        _perPoint = _converter.OutputRateHz / PerSecond;
        FirstSeconds = (_converter.FirstOutputFrame / sampleRateHz) - (0.5 / _converter.OutputRateHz);
        _re = new double[_converter.MaximumOutputs(1 << 14)];
        _im = new double[_re.Length];
    }

    /// <summary>Time at which the first point begins, s.</summary>
    public double FirstSeconds { get; }

    /// <summary>Width of the band looked at, as white noise sees it, Hz.</summary>
    public double NoiseBandwidthHz => _converter.NoiseBandwidthHz;

    /// <summary>Mean square of each point (1 is a full-scale sine).</summary>
    public IReadOnlyList<double> Power => _power;

    /// <summary>Takes the next frames.</summary>
    public void Add(ReadOnlySpan<float> frames)
    {
        while (frames.Length > 0)
        {
            var take = Math.Min(frames.Length, 1 << 14);
            var n = _converter.Add(frames[..take], _re, _im);
            frames = frames[take..];
            for (var i = 0; i < n; i++)
            {
                _sum += (_re[i] * _re[i]) + (_im[i] * _im[i]);
                _count++;
                _outputs++;
                if (_outputs >= (_power.Count + 1) * _perPoint)
                {
                    _power.Add(_sum / _count);
                    _sum = 0;
                    _count = 0;
                }
            }
        }
    }

    /// <summary>Time of the middle of a point, s.</summary>
    public double SecondsAt(double index) => FirstSeconds + ((index + 0.5) / PerSecond);
}
