namespace Spoolwright.Bench.Live;

/// <summary>
/// The last minutes of the bias tone's level and of 1 kHz beside it, twenty points a second. A dropout, or the joint of two passes of the
/// practice deck, spoils two or three points: each point of the course is the middle one of five; the points as they came are kept beside.
/// </summary>
internal sealed class HillCourse
{
    // Five minutes of turning; what was a peak before stays known.
    private const int Most = 6000;
    private const int Middle = 5;

    // A level that goes further than this in half a second runs: the hand is on its way somewhere.
    private const int RunPoints = 5;
    private const double RunDb = 1;

    // What lies off the middle of its neighbours by so many times the usual is a dropout or a joint, not noise.
    private const double Outlying = 6;
    private readonly double[] _raw = new double[Middle], _rawBeside = new double[Middle], _sorted = new double[Middle];
    private readonly List<double> _plain = new(Most), _beside = new(Most);
    private long _points;

    /// <summary>Points in the course.</summary>
    public int Count => Levels.Count;

    /// <summary>Points that were ever taken.</summary>
    public long Taken { get; private set; }

    /// <summary>The course, dB: middle ones of five.</summary>
    public List<double> Levels { get; } = new(Most);

    /// <summary>Takes a point of both; false while there are too few for a middle one.</summary>
    public bool Add(double level, double beside)
    {
        (_raw[_points % Middle], _rawBeside[_points % Middle]) = (level, beside);
        if (++_points < Middle)
        {
            return false;
        }

        if (Levels.Count == Most)
        {
            Levels.RemoveRange(0, Most / 4);
            _beside.RemoveRange(0, Most / 4);
            _plain.RemoveRange(0, Most / 4);
        }

        Levels.Add(Median(_raw));
        _beside.Add(Median(_rawBeside));
        _plain.Add(_raw[(_points - 1 - (Middle / 2)) % Middle]);
        Taken++;
        return true;
    }

    /// <summary>Forgets all of it.</summary>
    public void Clear()
    {
        Levels.Clear();
        _beside.Clear();
        _plain.Clear();
        _points = 0;
    }

    /// <summary>Mean of the level over some points, as far as there are such.</summary>
    public double Level(int from, int to) => Mean(Levels, from, to);

    /// <summary>1 kHz over some points, the middle one: a long dropout takes it down as if the bias had.</summary>
    public double Beside(int from, int to)
    {
        double[] of = [.. _beside[Math.Max(0, from)..Math.Min(Count, to)]];
        Array.Sort(of);
        return of.Length > 0 ? of[of.Length / 2] : 0;
    }

    /// <summary>Whether the level runs there.</summary>
    public bool Runs(int at) => Math.Abs(Levels[Math.Min(at + RunPoints, Count - 1)] - Levels[Math.Max(at - RunPoints, 0)]) >= RunDb;

    /// <summary>
    /// All since the level last ran, as it came but for dropouts and joints: noise of middle ones of five is alike among neighbours, and
    /// takes twice as long to even out.
    /// </summary>
    public double[] SinceRun()
    {
        var from = Count - 1;
        while (from > 0 && !Runs(from - 1))
        {
            from--;
        }

        var off = new double[Count - from];
        for (var i = 0; i < off.Length; i++)
        {
            off[i] = Math.Abs(_plain[from + i] - Levels[from + i]);
        }

        var usual = off.Order().ElementAt(off.Length / 2) / 0.6745; // of a normal distribution
        return [.. off.Select((o, i) => o > Outlying * usual ? Levels[from + i] : _plain[from + i])];
    }

    private double Median(double[] of)
    {
        of.CopyTo(_sorted, 0);
        Array.Sort(_sorted);
        return _sorted[Middle / 2];
    }

    private static double Mean(List<double> of, int from, int to)
    {
        (from, to) = (Math.Max(0, from), Math.Min(of.Count, to));
        var sum = 0.0;
        for (var i = from; i < to; i++)
        {
            sum += of[i];
        }

        return sum / Math.Max(1, to - from);
    }
}
