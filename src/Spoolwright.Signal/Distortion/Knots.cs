namespace Spoolwright.Signal.Distortion;

/// <summary>
/// The last four places where the fundamental's phase is known: time as a smooth function of phase between the middle two, by the cubic
/// that has the slopes of their neighbours.
/// </summary>
internal sealed class Knots
{
    private readonly double[] _time = new double[4];
    private readonly double[] _cycle = new double[4];
    private bool _isMade;
    private double _perCycle;
    private double _linear;
    private double _square;
    private double _cube;

    /// <summary>Knots given so far, at most 4.</summary>
    public int Count { get; private set; }

    /// <summary>Phase, in cycles, from which on time is known.</summary>
    public double First => _cycle[1];

    /// <summary>Time of the oldest knot still held, in frames.</summary>
    public double OldestTime => _time[0];

    public void Add(double time, double cycle)
    {
        if (Count == 4)
        {
            for (var i = 0; i < 3; i++)
            {
                (_time[i], _cycle[i]) = (_time[i + 1], _cycle[i + 1]);
            }

            Count = 3;
        }

        (_time[Count], _cycle[Count]) = (time, cycle);
        Count++;
        _isMade = false;
    }

    /// <summary>Whether a phase lies between the middle two.</summary>
    public bool Holds(double cycle) => Count == 4 && cycle < _cycle[2];

    /// <summary>Time, in frames, at a phase, in cycles.</summary>
    public double TimeOf(double cycle)
    {
        // Asked a dozen times and more between two knots: the cubic is made once.
        if (!_isMade)
        {
            var width = _cycle[2] - _cycle[1];
            var before = (_time[2] - _time[0]) / (_cycle[2] - _cycle[0]) * width;
            var after = (_time[3] - _time[1]) / (_cycle[3] - _cycle[1]) * width;
            var step = _time[2] - _time[1];
            (_perCycle, _linear, _square, _cube) = (1 / width, before, (3 * step) - (2 * before) - after, before + after - (2 * step));
            _isMade = true;
        }

        var u = (cycle - _cycle[1]) * _perCycle;
        return _time[1] + (u * (_linear + (u * (_square + (u * _cube)))));
    }
}
