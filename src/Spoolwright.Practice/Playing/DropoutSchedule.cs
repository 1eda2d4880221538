using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Playing;

/// <summary>One moment without contact, at its place on the tape.</summary>
/// <param name="Place">Its beginning, s at the tape's own speed.</param>
/// <param name="Seconds">Its length at the tape's own speed.</param>
/// <param name="DepthDb">How far the level falls, dB.</param>
/// <param name="Left">Whether it hits the left channel.</param>
/// <param name="Right">Whether it hits the right channel.</param>
internal readonly record struct TapeDropout(double Place, double Seconds, double DepthDb, bool Left, bool Right)
{
    /// <summary>Fall in dB at a place: edges of a fifth of the length.</summary>
    public double FallDb(double place)
    {
        var into = (place - Place) / Seconds;
        if (into <= 0 || into >= 1)
            return 0;
        var edge = Math.Min(Math.Min(into, 1 - into) / 0.2, 1);
        return DepthDb * 0.5 * (1 - Math.Cos(Math.PI * edge));
    }
}

/// <summary>The dropouts of a tape. They lie at fixed places, drawn second by second from its seed, so each pass meets the same
/// ones.</summary>
internal sealed class DropoutSchedule(PracticeTape tape)
{
    private readonly List<TapeDropout> _near = [];
    private readonly List<TapeDropout> _slot = [];
    private long _slotNumber = long.MinValue;

    /// <summary>The fall in dB of both channels at a place.</summary>
    public (double LeftDb, double RightDb) FallDb(double place)
    {
        if (tape.Dropouts.PerMinute <= 0)
            return (0, 0);
        var slot = (long)Math.Floor(place);
        if (slot != _slotNumber)
        {
            _slotNumber = slot;
            _near.Clear();
            _near.AddRange(Slot(slot - 1));
            _near.AddRange(Slot(slot));
        }

        var (left, right) = (0.0, 0.0);
        foreach (var dropout in _near)
        {
            var fall = dropout.FallDb(place);
            if (dropout.Left)
                left += fall;
            if (dropout.Right)
                right += fall;
        }

        return (left, right);
    }

    /// <summary>The dropouts that begin in one second of the tape.</summary>
    public IReadOnlyList<TapeDropout> Slot(long slot)
    {
        var stream = new NoiseStream(tape.Seed, $"dropouts {slot}");
        _slot.Clear();

        // Waiting times of a steady chance.
        for (var at = Wait(stream); at < 1; at += Wait(stream))
        {
            var seconds = tape.Dropouts.Milliseconds / 1000 * Math.Pow(2, stream.NextBetween(-1, 1));
            var depth = tape.Dropouts.DepthDb * stream.NextBetween(0.5, 1.5);
            var both = stream.NextUniform() * 100 < tape.Dropouts.BothPercent;
            var left = stream.NextUniform() < 0.5;
            _slot.Add(new TapeDropout(slot + at, seconds, depth, both || left, both || !left));
        }

        return _slot;
    }

    private double Wait(NoiseStream stream) => -Math.Log(1 - stream.NextUniform()) * 60 / tape.Dropouts.PerMinute;
}
