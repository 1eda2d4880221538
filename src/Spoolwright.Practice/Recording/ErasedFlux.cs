using System.Numerics;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;

namespace Spoolwright.Practice.Recording;

/// <summary>What the erase head leaves of an older recording: little of short wavelengths, more of long ones.</summary>
internal sealed class ErasedFlux(RecordHead head, double rateHz)
{
    private const double CornerHz = 500;
    private const double SetAtHz = 1000;
    private readonly double _pole = Math.Exp(-2 * Math.PI * CornerHz / rateHz);
    private readonly double _bass = ReplayPath.Decibels(head.EraseBassDb);
    private readonly double[] _state = new double[2];
    private float[] _left = [];
    private float[] _right = [];

    /// <summary>Share left at a frequency at the deck's speed, size and phase.</summary>
    public Complex Left(double hertz) => Shape(hertz) / Shape(SetAtHz).Magnitude * ReplayPath.Decibels(-head.EraseDepthDb);

    /// <summary>Adds what is left of the old flux to new flux; a track that is not switched to record keeps the old whole.</summary>
    public void Run(FluxStore? old, long first, Span<float> left, Span<float> right, (bool Left, bool Right) recording)
    {
        if (old is null && recording is (true, true))
            return;
        if (_left.Length < left.Length)
            (_left, _right) = (new float[left.Length], new float[left.Length]);
        var oldLeft = _left.AsSpan(0, left.Length);
        var oldRight = _right.AsSpan(0, left.Length);
        oldLeft.Clear();
        oldRight.Clear();
        old?.Read(first, oldLeft, oldRight);
        Join(0, oldLeft, left, recording.Left);
        Join(1, oldRight, right, recording.Right);
    }

    private void Join(int track, ReadOnlySpan<float> old, Span<float> fresh, bool recording)
    {
        if (!recording)
        {
            old.CopyTo(fresh);
            return;
        }

        var gain = ReplayPath.Decibels(-head.EraseDepthDb) / Shape(SetAtHz).Magnitude;
        for (var i = 0; i < old.Length; i++)
        {
            _state[track] += (1 - _pole) * (old[i] - _state[track]);
            fresh[i] += (float)(gain * (old[i] + ((_bass - 1) * _state[track])));
        }
    }

    private Complex Shape(double hertz)
    {
        var z = Complex.FromPolarCoordinates(1, -2 * Math.PI * hertz / rateHz);
        return 1 + ((_bass - 1) * (1 - _pole) / (1 - (_pole * z)));
    }
}
