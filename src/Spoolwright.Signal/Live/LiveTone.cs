using Spoolwright.Signal.Tones;

namespace Spoolwright.Signal.Live;

/// <summary>What one tone is at this moment.</summary>
/// <param name="FrequencyHz">Frequency over the window, Hz.</param>
/// <param name="LeftDb">Level of the left channel by its rms, dBFS (a full-scale sine is 0).</param>
/// <param name="RightDb">The same of the right channel.</param>
/// <param name="LeftNoiseDb">What noise makes uncertain of the left level, k = 2, dB.</param>
/// <param name="RightNoiseDb">The same of the right level.</param>
/// <param name="PhaseDegrees">Right minus left, within ±180°.</param>
/// <param name="PhaseNoiseDegrees">What noise makes uncertain of it, k = 2, degrees.</param>
/// <param name="Seconds">Length of sound it rests on, s.</param>
public readonly record struct LiveToneReading(
    double FrequencyHz,
    double LeftDb,
    double RightDb,
    double LeftNoiseDb,
    double RightNoiseDb,
    double PhaseDegrees,
    double PhaseNoiseDegrees,
    double Seconds
);

/// <summary>
/// Follows one tone in both channels while it plays: each is brought to 0 Hz as <see cref="ToneProbe"/> does it for a file, the last second
/// is kept, and a reading looks back over as much of it as is asked for. Nothing is allocated while it is fed, and nothing summed up that
/// could drift.
/// </summary>
public sealed class LiveTone
{
    private const double KeptSeconds = 1;
    private const double LongestDelaySeconds = 0.02;
    private const int ChunkFrames = 4096;
    private readonly ToneDownconverter _left;
    private readonly ToneDownconverter _right;
    private readonly double _secondDifference;
    private readonly double[] _lr, _li, _rr, _ri;
    private readonly double[] _outLr, _outLi, _outRr, _outRi;
    private readonly int _size;
    private readonly PhaseJumps _jumps;
    private long _count;

    /// <param name="frequencyHz">The tone's frequency as seen, Hz.</param>
    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    /// <param name="neighbourHz">Distance to the nearest other tone that plays at the same time, Hz; null: there is none.</param>
    public LiveTone(double frequencyHz, double sampleRateHz, double? neighbourHz = null)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(frequencyHz);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(frequencyHz, sampleRateHz / 2);
        // A slope of 195 Hz lets the filter be 120 dB deep, and so flat in its band, with a delay under a fiftieth of a second; low tones
        // and close neighbours get what room they have, and for them 70 dB. A band that ripples by 0.003 dB, as one of 70 dB does, tells a
        // high tone's level wrong by so much as it runs fast or flutters, fifteen times what noise leaves in a quiet input.
        var room = Math.Min(0.9 * frequencyHz, 0.9 * ((sampleRateHz / 2) - frequencyHz));
        room = Math.Min(room, 0.9 * (neighbourHz ?? double.PositiveInfinity));
        var pass = Math.Min(Math.Clamp(0.02 * frequencyHz, 5, 150), 0.4 * room);
        var stop = Math.Min(pass + 195, Math.Max(room, pass * 1.5));
        var decimation = Math.Max(1, (int)(sampleRateHz / (1.05 * (pass + stop))));
        // A Kaiser window's delay is (depth − 7.95)/(4π·2.285·slope) s.
        var depth = Math.Clamp(7.95 + (4 * Math.PI * 2.285 * LongestDelaySeconds * (stop - pass)), 70, 120);
        _left = new ToneDownconverter(frequencyHz, pass, stop, decimation, sampleRateHz, depth);
        _right = new ToneDownconverter(frequencyHz, pass, stop, decimation, sampleRateHz, depth);
        PassHz = pass;
        NominalSeenHz = frequencyHz;
        _secondDifference = 6 - (8 * _left.NoiseCorrelation(ToneStatistics.Lag)) + (2 * _left.NoiseCorrelation(2 * ToneStatistics.Lag));
        _size = Math.Max(16, (int)(KeptSeconds * _left.OutputRateHz));
        (_lr, _li, _rr, _ri) = (new double[_size], new double[_size], new double[_size], new double[_size]);
        _jumps = new PhaseJumps(_left.OutputRateHz, 2 * LagSeconds);
        var outputs = _left.MaximumOutputs(ChunkFrames);
        (_outLr, _outLi, _outRr, _outRi) = (new double[outputs], new double[outputs], new double[outputs], new double[outputs]);
    }

    /// <summary>Places found where samples were lost, by the tone's phase.</summary>
    public int Jumps => _jumps.Count;

    /// <summary>Half width of the band followed, Hz.</summary>
    public double PassHz { get; }

    /// <summary>Frequency it was set on, Hz.</summary>
    public double NominalSeenHz { get; }

    /// <summary>Length of sound that the filter hides at its front: what is read lags by this, s.</summary>
    public double LagSeconds => _left.FirstOutputFrame / (_left.OutputRateHz * _left.Decimation);

    /// <summary>Takes the next frames of both channels.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        while (left.Length > 0)
        {
            var take = Math.Min(left.Length, ChunkFrames);
            var n = _left.Add(left[..take], _outLr, _outLi);
            _right.Add(right[..take], _outRr, _outRi);
            for (var i = 0; i < n; i++)
            {
                var slot = (int)(_count++ % _size);
                (_lr[slot], _li[slot], _rr[slot], _ri[slot]) = (_outLr[i], _outLi[i], _outRr[i], _outRi[i]);
                _jumps.Next(_outLr[i], _outLi[i], _outRr[i], _outRi[i]);
            }

            left = left[take..];
            right = right[take..];
        }
    }

    /// <summary>The tone over the last so many seconds, or as many as there are; null while there are fewer than a twentieth of a
    /// second.</summary>
    public LiveToneReading? Read(double seconds)
    {
        var n = (int)Math.Min(Math.Min(_count, _size), Math.Max(8, seconds * _left.OutputRateHz));
        if (n < 8 || n < 0.05 * _left.OutputRateHz)
        {
            return null;
        }

        double pl = 0, pr = 0, cr = 0, ci = 0, tr = 0, ti = 0, noiseL = 0, noiseR = 0;
        var differences = 0;
        var first = _count - n;
        for (var i = 0; i < n; i++)
        {
            var s = (int)((first + i) % _size);
            double lr = _lr[s], li = _li[s], rr = _rr[s], ri = _ri[s];
            pl += (lr * lr) + (li * li);
            pr += (rr * rr) + (ri * ri);
            cr += (rr * lr) + (ri * li);
            ci += (ri * lr) - (rr * li);
            if (i > 0)
            {
                var p = s == 0 ? _size - 1 : s - 1;
                tr += (lr * _lr[p]) + (li * _li[p]) + (rr * _rr[p]) + (ri * _ri[p]);
                ti += (li * _lr[p]) - (lr * _li[p]) + (ri * _rr[p]) - (rr * _ri[p]);
            }

            if (i >= 2 * ToneStatistics.Lag)
            {
                noiseL += Square(
                    Magnitude(_lr, _li, s, 0)
                        - (2 * Magnitude(_lr, _li, s, ToneStatistics.Lag))
                        + Magnitude(_lr, _li, s, 2 * ToneStatistics.Lag)
                );
                noiseR += Square(
                    Magnitude(_rr, _ri, s, 0)
                        - (2 * Magnitude(_rr, _ri, s, ToneStatistics.Lag))
                        + Magnitude(_rr, _ri, s, 2 * ToneStatistics.Lag)
                );
                differences++;
            }
        }

        var span = n / _left.OutputRateHz;
        var independent = Math.Max(1, _left.NoiseBandwidthHz * span);
        var (left, leftNoise, leftShare) = Level(pl / n, noiseL / Math.Max(1, differences) / _secondDifference, independent);
        var (right, rightNoise, rightShare) = Level(pr / n, noiseR / Math.Max(1, differences) / _secondDifference, independent);
        return new LiveToneReading(
            NominalSeenHz + (Math.Atan2(ti, tr) * _left.OutputRateHz / (2 * Math.PI)),
            left, right, leftNoise, rightNoise,
            double.RadiansToDegrees(Math.Atan2(ci, cr)),
            Math.Min(180, 2 * double.RadiansToDegrees(Math.Sqrt(leftShare + rightShare))),
            span);
    }

    // Level with the noise taken off, its uncertainty in dB, and the relative variance of the mean.
    private static (double Db, double NoiseDb, double Share) Level(double power, double variance, double independent)
    {
        var own = Math.Max(power - (2 * variance), 0.1 * power);
        if (!(own > 1e-20))
        {
            return (-200, 0, 1);
        }

        var share = variance / own / independent;
        return (10 * Math.Log10(own), Math.Min(40, 2 * (20 / Math.Log(10)) * Math.Sqrt(share)), share);
    }

    private double Magnitude(double[] re, double[] im, int slot, int back)
    {
        var s = slot - back;
        s = s < 0 ? s + _size : s;
        return Math.Sqrt((re[s] * re[s]) + (im[s] * im[s]));
    }

    private static double Square(double x) => x * x;
}
