namespace Spoolwright.Signal.Distortion;

/// <summary>
/// The last four places where the fundamental's phase is known: time as a smooth function of phase between the middle two, by the cubic
/// that has the slopes of their neighbours.
/// </summary>
internal sealed class Knots
{
    private readonly double[] _time = new double[4];
    private readonly double[] _cycle = new double[4];

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
    }

    /// <summary>Whether a phase lies between the middle two.</summary>
    public bool Holds(double cycle) => Count == 4 && cycle < _cycle[2];

    /// <summary>Time, in frames, at a phase, in cycles.</summary>
    public double TimeOf(double cycle)
    {
        var width = _cycle[2] - _cycle[1];
        var u = (cycle - _cycle[1]) / width;
        var before = (_time[2] - _time[0]) / (_cycle[2] - _cycle[0]) * width;
        var after = (_time[3] - _time[1]) / (_cycle[3] - _cycle[1]) * width;
        double u2 = u * u, u3 = u2 * u;
        return _time[1] + (before * (u3 - (2 * u2) + u)) + ((_time[2] - _time[1]) * ((3 * u2) - (2 * u3))) + (after * (u3 - u2));
    }
}
