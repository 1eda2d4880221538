namespace Spoolwright.Signal.Levels;

/// <summary>Marks where a level lies under a threshold for long enough; ends a dropout only 1 dB above it, so that hiss does not cut one in
/// two.</summary>
internal sealed class DropoutTrigger(double depthDb, double leastSeconds, double lostSeconds, double rate, double start)
{
    private readonly double _threshold = Math.Pow(10, -depthDb / 20);
    private readonly double _release = Math.Pow(10, -Math.Max(0.5, depthDb - 1) / 20);
    private readonly List<Dropout> _found = [];
    private double _last = 1;
    private readonly double[] _inside = new double[5];
    private int _count;
    private double _from;
    private double _to;
    private double _least = 1;
    private bool _isDown;
    private long _at;

    public IReadOnlyList<Dropout> Found => _found;

    public double LostSeconds { get; private set; }

    public void Next(double share)
    {
        if (share < _threshold)
        {
            if (!_isDown)
            {
                (_isDown, _from, _least) = (true, Crossing(share), _threshold);
                _inside.AsSpan().Fill(_threshold);
            }

            // The filter rings with a period of about five outputs: over five its ringing evens out, and the true depth is left.
            _inside[_count++ % _inside.Length] = share;
            var sum = 0.0;
            foreach (var value in _inside)
            {
                sum += value;
            }

            _least = Math.Min(_least, sum / _inside.Length);
        }
        else if (_isDown)
        {
            _to = _last < _threshold ? Crossing(share) : _to;
            if (share > _release)
            {
                End();
            }
        }

        _last = share;
        _at++;
    }

    /// <summary>Ends a dropout that is still open.</summary>
    public void End()
    {
        if (!_isDown)
        {
            return;
        }

        _isDown = false;
        var seconds = (_last < _threshold && _to < _from ? _at : _to) / rate - (_from / rate);
        if (seconds > lostSeconds)
        {
            LostSeconds += seconds;
        }
        else if (seconds >= leastSeconds)
        {
            _found.Add(new Dropout(start + (_from / rate), 1000 * seconds, -20 * Math.Log10(Math.Max(_least, 1e-4))));
        }
    }

    // Straight between two samples.
    private double Crossing(double share) => _at - 1 + ((_last - _threshold) / (_last - share));
}
