using Spoolwright.Signal.Sound;

namespace Spoolwright.Signal.Distortion;

/// <summary>
/// Says of every twentieth of a second whether the interface clipped in it: flat tops that the wave runs into steeply. A tape that
/// saturates rounds its tops and never flattens them.
/// </summary>
public sealed class ClipMap
{
    private const int CellsPerSecond = 20;
    private const float Step = 1f / 32768;
    private readonly int _cell;
    private readonly List<bool> _cells = [];
    private ClipFinder _top = new(1, Step);
    private ClipFinder _bottom = new(-1, Step);
    private int _filled;

    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    public ClipMap(int sampleRateHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, CellsPerSecond);
        _cell = sampleRateHz / CellsPerSecond;
    }

    /// <summary>Takes the next samples of one channel.</summary>
    public void Add(ReadOnlySpan<float> samples)
    {
        while (samples.Length > 0)
        {
            var part = samples[..Math.Min(samples.Length, _cell - _filled)];
            samples = samples[part.Length..];
            float most = float.NegativeInfinity, least = float.PositiveInfinity;
            foreach (var x in part)
            {
                most = Math.Max(most, x);
                least = Math.Min(least, x);
            }

            _top.Add(part, most);
            _bottom.Add(part, -least);
            _filled += part.Length;
            if (_filled == _cell)
            {
                _cells.Add(_top.Result.Runs > 0 || _bottom.Result.Runs > 0);
                (_top, _bottom, _filled) = (new(1, Step), new(-1, Step), 0);
            }
        }
    }

    /// <summary>Whether any cell that a stretch touches is clipped.</summary>
    public bool Clips(double fromFrame, double toFrame)
    {
        var last = Math.Min(_cells.Count - 1, (int)(toFrame / _cell));
        for (var i = Math.Max(0, (int)(fromFrame / _cell)); i <= last; i++)
        {
            if (_cells[i])
            {
                return true;
            }
        }

        return false;
    }
}
