namespace Spoolwright.Signal.Flutter;

/// <summary>Takes the speed signal, one sample after the other, without gaps.</summary>
internal interface ISpeedSink
{
    /// <summary>One sample.</summary>
    /// <param name="common">Deviation of the pair from the carrier's first frequency, Hz.</param>
    /// <param name="difference">Left less right, Hz: noise alone.</param>
    /// <param name="counts">False for a bridged sample, which keeps filters going but counts for nothing.</param>
    void Next(double common, double difference, bool counts);

    /// <summary>What follows does not continue what went before.</summary>
    void Break();
}

/// <summary>
/// Keeps dropouts and edges out of the figures: samples near a place where the tone is lost are dropped, a short gap is bridged by a
/// straight line that counts for nothing, a long one breaks the signal.
/// </summary>
internal sealed class GapBridge
{
    private readonly ISpeedSink _sink;
    private readonly int _guard;
    private readonly int _longest;
    private readonly double[] _common;
    private readonly double[] _difference;
    private int _pending;
    private int _head;
    private int _skip;
    private long _lost;
    private bool _started;
    private double _before;

    /// <param name="sink">Takes the samples.</param>
    /// <param name="guardSamples">Samples dropped on either side of a gap.</param>
    /// <param name="longestSamples">Longest gap that is bridged.</param>
    public GapBridge(ISpeedSink sink, int guardSamples, int longestSamples)
    {
        _sink = sink;
        _guard = guardSamples;
        _longest = longestSamples;
        _common = new double[guardSamples];
        _difference = new double[guardSamples];
    }

    /// <summary>Gaps met between two stretches of tone.</summary>
    public int Gaps { get; private set; }

    /// <summary>Samples lost in those gaps.</summary>
    public long LostSamples { get; private set; }

    /// <summary>Samples that went by before the first good one.</summary>
    public long LateSamples { get; private set; }

    public void Next(double common, double difference, bool good)
    {
        if (!good)
        {
            _lost += _pending + 1;
            _pending = 0;
            _head = 0;
            _skip = _guard;
            return;
        }

        if (_skip > 0)
        {
            _skip--;
            _lost++;
            return;
        }

        if (_pending == _guard)
        {
            Emit();
        }

        var slot = _head + _pending;
        slot = slot >= _guard ? slot - _guard : slot;
        _common[slot] = common;
        _difference[slot] = difference;
        _pending++;
    }

    /// <summary>The sound ended while the tone was good: what was held back is good too.</summary>
    public void Finish()
    {
        while (_pending > 0)
        {
            Emit();
        }
    }

    private void Emit()
    {
        double common = _common[_head], difference = _difference[_head];
        _head = _head + 1 == _guard ? 0 : _head + 1;
        _pending--;
        if (!_started)
        {
            LateSamples = _lost;
        }
        else if (_lost > 0)
        {
            Gaps++;
            LostSamples += _lost;
            if (_lost <= _longest)
            {
                // From the level before to the level after, each a mean: a single sample is mostly noise.
                var after = common;
                for (var i = 0; i < _pending; i++)
                {
                    after += _common[(_head + i) % _guard];
                }

                after /= _pending + 1;
                for (long i = 1; i <= _lost; i++)
                {
                    _sink.Next(_before + ((after - _before) * i / (_lost + 1)), difference: 0, counts: false);
                }
            }
            else
            {
                _sink.Break();
            }
        }

        _before = !_started || _lost > 0 ? common : _before + ((common - _before) * 2 / (_guard + 1));
        _started = true;
        _lost = 0;
        _sink.Next(common, difference, counts: true);
    }
}
