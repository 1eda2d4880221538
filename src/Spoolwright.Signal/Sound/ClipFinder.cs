using System.Numerics;
using System.Runtime.CompilerServices;

namespace Spoolwright.Signal.Sound;

/// <summary>
/// Finds flat tops of one sign. Three or more equal samples at full scale are clipping. So are equal samples at the channel's own extreme
/// that the wave runs into and out of steeply: a slow tone in coarse steps also has a few equal samples at its crest,
/// but its neighbours lie within three steps (the crest is a parabola), while a clipped wave falls away by more.
/// </summary>
internal sealed class ClipFinder
{
    /// <summary>From this many flat tops on no more are looked for: the capture is spoilt, and the looking would cost more than the
    /// meters.</summary>
    public const int MostRuns = 1000;

    private const int LeastRun = 3;

    /// <summary>Flat tops below full scale that it takes: one alone may be chance.</summary>
    private const int LeastFlatTops = 2;

    private readonly float _sign;
    private readonly float _full;
    private readonly float _steep;
    private long _position;
    private float _previous;
    private float _extreme = float.NegativeInfinity;
    private Run _open;
    private Found _atFull;
    private Found _atExtreme;

    /// <param name="sign">1 for the upper extreme, −1 for the lower.</param>
    /// <param name="step">Step of the samples, full scale 1.</param>
    public ClipFinder(float sign, float step)
    {
        _sign = sign;
        _full = 1 - (1.5f * step);
        _steep = 8 * step;
    }

    /// <summary>What was found so far; a run that still goes on counts.</summary>
    public Found Result
    {
        get
        {
            var (atFull, atExtreme) = (_atFull, _atExtreme);
            if (_open.Length >= LeastRun && _open.Level >= _full)
                atFull = atFull.And(new Found(1, _open.Length, _open.Start, _open.Level));
            if (atExtreme.Runs < LeastFlatTops || atExtreme.Level < _extreme)
                atExtreme = default;
            return atFull.Runs > 0 ? atFull : atExtreme;
        }
    }

    /// <summary>Takes the next samples and their extreme of this finder's sign.</summary>
    /// <param name="samples">One or more samples.</param>
    /// <param name="extreme">The largest of them times the sign.</param>
    public void Add(ReadOnlySpan<float> samples, float extreme)
    {
        var start = GoOn(samples);
        if (start < samples.Length && extreme >= Math.Min(_full, _extreme) && !HasEnough(extreme))
            Scan(samples, start);
        _previous = samples[^1] * _sign;
        _position += samples.Length;
    }

    private bool HasEnough(float extreme) =>
        _atFull.Runs >= MostRuns || (_atFull.Runs == 0 && _atExtreme.Runs >= MostRuns && extreme <= _extreme);

    /// <summary>Goes on with a run that was open at the end of the last samples; returns where it ends.</summary>
    private int GoOn(ReadOnlySpan<float> samples)
    {
        if (_open.Length == 0)
            return 0;
        var i = 0;
        while (i < samples.Length && samples[i] * _sign == _open.Level)
            i++;
        _open = _open with { Length = _open.Length + i };
        if (i < samples.Length)
            Close(_open, samples[i] * _sign);
        return i;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Scan(ReadOnlySpan<float> samples, int start)
    {
        var i = start;
        while (i < samples.Length)
        {
            var level = Math.Min(_full, _extreme);
            var bar = new Vector<float>(level);
            while (i <= samples.Length - Vector<float>.Count && !Vector.GreaterThanOrEqualAny(new Vector<float>(samples[i..]) * _sign, bar))
                i += Vector<float>.Count;
            while (i < samples.Length && !(samples[i] * _sign >= level))
                i++;
            if (i == samples.Length)
                return;
            var value = samples[i] * _sign;
            var end = i + 1;
            while (end < samples.Length && samples[end] * _sign == value)
                end++;
            var before = i > 0 ? samples[i - 1] * _sign : _position > 0 ? _previous : value;
            var run = new Run(_position + i, end - i, value, value - before);
            if (end == samples.Length)
                _open = run;
            else
                Close(run, samples[end] * _sign);
            i = end;
        }
    }

    private void Close(Run run, float after)
    {
        _open = default;
        var found = new Found(1, run.Length, run.Start, run.Level);
        if (run.Level >= _full && run.Length >= LeastRun)
            _atFull = _atFull.And(found);
        if (run.Level > _extreme)
        {
            _extreme = run.Level;
            _atExtreme = default;
        }

        if (run.Level == _extreme && run.Length >= LeastRun && run.StepIn > _steep && run.Level - after > _steep)
            _atExtreme = _atExtreme.And(found);
    }

    /// <summary>Clipping as found.</summary>
    /// <param name="Runs">Flat tops.</param>
    /// <param name="Samples">Samples in them.</param>
    /// <param name="First">The first one's first sample.</param>
    /// <param name="Level">Highest magnitude, full scale 1.</param>
    internal readonly record struct Found(long Runs, long Samples, long First, float Level)
    {
        public Found And(Found other) => Runs == 0 ? other : other.Runs == 0 ? this : new(
            Runs + other.Runs, Samples + other.Samples, Math.Min(First, other.First), Math.Max(Level, other.Level));
    }

    private readonly record struct Run(long Start, long Length, float Level, float StepIn);
}
