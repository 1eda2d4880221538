using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// Counts, twenty times a second, the samples of one channel that stand where the channel can go no further. A bias tone has two to
/// five samples a half wave, so it is clipped without flat tops, and its peak would read too low by as much as was cut off, with a
/// small uncertainty.
/// </summary>
/// <param name="ceiling">Where the samples end, full scale 1; null: the channel goes to no such place.</param>
/// <param name="sampleRateHz">Rate of the sound, Hz.</param>
internal sealed class BiasClipping(double? ceiling, double sampleRateHz)
{
    // A sine of which this share of the samples stands at the ceiling has lost 0.00001 dB, with ten times the share 0.014 dB (closed
    // form: 4/(3π) of the cube of the angle π/2 · share).
    private const double LeastShare = 0.01;

    // So many points, half a second: fewer are ticks.
    private const int LeastPoints = 10;

    // A step of 24 bits: what was clipped is all alike.
    private const double Step = 1.0 / (1 << 23);

    private readonly List<int> _counts = [];
    private readonly double _perPoint = sampleRateHz / LevelCourse.PerSecond;
    private long _position;

    /// <summary>Takes the next frames.</summary>
    public void Add(ReadOnlySpan<float> frames)
    {
        if (ceiling is not { } level)
        {
            return;
        }

        var least = (float)(level - Step);
        foreach (var x in frames)
        {
            var point = (int)(_position++ / _perPoint);
            if (point == _counts.Count)
            {
                _counts.Add(0);
            }

            if (Math.Abs(x) >= least)
            {
                _counts[point]++;
            }
        }
    }

    /// <summary>First and last time between two others, s, at which the channel is clipped; null where it is not.</summary>
    public (double From, double To)? Between(double fromSeconds, double toSeconds)
    {
        int first = -1, last = -1, points = 0;
        for (var i = Math.Max(0, (int)(fromSeconds * LevelCourse.PerSecond));
            i < Math.Min(_counts.Count, toSeconds * LevelCourse.PerSecond); i++)
        {
            if (_counts[i] >= LeastShare * _perPoint)
            {
                (first, last) = (first < 0 ? i : first, i);
                points++;
            }
        }

        return points >= LeastPoints ? (first / LevelCourse.PerSecond, (last + 1) / LevelCourse.PerSecond) : null;
    }
}
