namespace Spoolwright.Signal.Flutter;

/// <summary>
/// The phase of the tone against its first frequency, averaged in equal blocks of time: enough to give mean speed and drift with the least
/// possible noise. At most 4096 blocks; when they are full, neighbours are joined, so memory is flat.
/// </summary>
internal sealed class PhaseRecord
{
    private const int Capacity = 4096;

    // Over this long, the speed at either end is averaged: long against the noise, short against the flutter.
    public const double EdgeSeconds = 0.005;
    private readonly double[] _phase = new double[Capacity];
    private readonly double[] _speed = new double[Capacity];
    private readonly long[] _counted = new long[Capacity];
    private readonly double _rate;
    private readonly double _period;
    private int _slot;
    private double _cycles;
    private double _phaseSum;
    private double _speedSum;
    private long _countedInBlock;
    private int _inBlock;
    private double _totalSpeed;
    private double _firstSpeed;
    private double _lastSpeed;
    private long _taken;
    private readonly double[] _recent;

    public PhaseRecord(double sampleRateHz)
    {
        _rate = sampleRateHz;
        _period = 1 / sampleRateHz;
        SamplesPerBlock = 4;
        _recent = new double[Math.Max(1, (int)(EdgeSeconds * sampleRateHz))];
    }

    /// <summary>Whole blocks so far.</summary>
    public int Blocks { get; private set; }

    public int SamplesPerBlock { get; private set; }

    /// <summary>Samples that counted.</summary>
    public long Counted { get; private set; }

    /// <summary>True when the whole record is one stretch of tone.</summary>
    public bool Unbroken { get; private set; } = true;

    /// <summary>Length of a block, s.</summary>
    public double BlockSeconds => SamplesPerBlock / _rate;

    public double TotalSeconds => Counted / _rate;

    /// <summary>Plain mean of all samples that counted, Hz from the first frequency.</summary>
    public double PlainMean => Counted > 0 ? _totalSpeed / Counted : 0;

    /// <summary>Phase gone through from the first sample to the last, cycles.</summary>
    public double Cycles => _cycles;

    /// <summary>Length from the first sample to the last, bridged ones among them, s.</summary>
    public double SpanSeconds => _taken / _rate;

    /// <summary>Mean deviation over the first and over the last five milliseconds, Hz.</summary>
    public (double First, double Last) EdgeSpeed =>
        _taken == 0 ? default : (_firstSpeed / Math.Min(_taken, _recent.Length), _lastSpeed / Math.Min(_taken, _recent.Length));

    public void Next(double deviationHz, bool counts)
    {
        var slot = _slot;
        _slot = slot + 1 == _recent.Length ? 0 : slot + 1;
        if (_taken < _recent.Length)
        {
            _firstSpeed += deviationHz;
        }

        _lastSpeed += deviationHz - _recent[slot];
        _recent[slot] = deviationHz;
        _taken++;
        _cycles += deviationHz * _period;
        _phaseSum += _cycles;
        if (counts)
        {
            _speedSum += deviationHz;
            _totalSpeed += deviationHz;
            _countedInBlock++;
            Counted++;
        }

        if (++_inBlock == SamplesPerBlock)
        {
            Close();
        }
    }

    public void Break() => Unbroken = false;

    /// <summary>Mean phase of block i, cycles.</summary>
    public double Phase(int i) => _phase[i];

    /// <summary>Mean deviation of block i, Hz, and how many samples stand behind it.</summary>
    public (double Hz, long Samples) Speed(int i) => (_counted[i] > 0 ? _speed[i] / _counted[i] : 0, _counted[i]);

    private void Close()
    {
        if (Blocks == Capacity)
        {
            for (var i = 0; i < Capacity / 2; i++)
            {
                _phase[i] = 0.5 * (_phase[2 * i] + _phase[(2 * i) + 1]);
                _speed[i] = _speed[2 * i] + _speed[(2 * i) + 1];
                _counted[i] = _counted[2 * i] + _counted[(2 * i) + 1];
            }

            Blocks = Capacity / 2;
            SamplesPerBlock *= 2;
            return; // the block at hand is half of a longer one now
        }

        _phase[Blocks] = _phaseSum / SamplesPerBlock;
        _speed[Blocks] = _speedSum;
        _counted[Blocks] = _countedInBlock;
        Blocks++;
        _phaseSum = 0;
        _speedSum = 0;
        _countedInBlock = 0;
        _inBlock = 0;
    }
}
