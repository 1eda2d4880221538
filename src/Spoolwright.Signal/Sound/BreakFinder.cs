using System.Numerics;
using System.Runtime.CompilerServices;

namespace Spoolwright.Signal.Sound;

/// <summary>
/// Finds places where samples were lost and zeros stand in their stead: a run of exact zeros with sound of the same level right before and
/// after. A live input does so without a word when the machine is busy. Such a run cuts the sound off in the middle of its swing; speech
/// and tones that a computer made fade into their zeros, or stay silent for longer.
/// </summary>
internal sealed class BreakFinder
{
    /// <summary>Shortest run, in samples: shorter ones occur where sound crosses zero.</summary>
    private const int LeastRun = 16;

    /// <summary>Longest run, in s.</summary>
    private const double LongestSeconds = 0.1;

    /// <summary>Stretch on either side whose peak is taken, in s.</summary>
    private const double BesideSeconds = 0.01;

    /// <summary>Peaks on either side agree within this factor (6 dB) when sound goes on.</summary>
    private const float SameLevel = 2;

    /// <summary>A cut leaves, on one side at least, a sample of this share of the peak beside the zeros: 994 of 1000 cuts of a sine
    /// do.</summary>
    private const float CutShare = 0.1f;

    private readonly long _longest;
    private readonly float _leastPeak;
    private readonly float[] _tail;
    private readonly Waiting[] _waiting;
    private int _waitingCount;
    private int _tailAt;
    private long _position;
    private long _openLength;
    private float _openBefore;
    private float _openEdge;

    /// <param name="sampleRateHz">Samples per second.</param>
    /// <param name="step">Step of the samples, full scale 1: sound of a few steps stays at zero for long by itself.</param>
    public BreakFinder(int sampleRateHz, float step)
    {
        _longest = (long)(LongestSeconds * sampleRateHz);
        _leastPeak = Math.Max(128 * step, 1e-3f);
        _tail = new float[Math.Max(LeastRun, (int)(BesideSeconds * sampleRateHz))];
        // Runs whose far side has not been heard out: as many as fit into it.
        _waiting = new Waiting[(_tail.Length / LeastRun) + 2];
    }

    /// <summary>Breaks found.</summary>
    public int Count { get; private set; }

    /// <summary>The first one's first sample.</summary>
    public long First { get; private set; }

    /// <summary>The first one's length in samples.</summary>
    public long FirstLength { get; private set; }

    /// <summary>Takes the next samples.</summary>
    public void Add(ReadOnlySpan<float> samples)
    {
        if (samples.IsEmpty)
            return;
        HearOn(samples, 0, _waitingCount);
        var i = 0;
        if (_openLength > 0)
        {
            i = EndOfZeros(samples, 0);
            _openLength += i;
            if (i < samples.Length)
                Close(samples, i, _openLength, _openBefore, _openEdge);
        }

        if (i < samples.Length)
            Scan(samples, i);
        Keep(samples);
        _position += samples.Length;
    }

    /// <summary>Every run is hit by looking at each sixteenth sample; one that touches the end stays open, however short.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Scan(ReadOnlySpan<float> samples, int start)
    {
        var from = start;
        for (var i = start + LeastRun - 1; i < samples.Length; i += LeastRun)
        {
            if (samples[i] != 0)
                continue;
            var first = StartOfZeros(samples, i, from);
            var end = EndOfZeros(samples, i);
            if (end == samples.Length)
                break;
            if (end - first >= LeastRun)
                Close(samples, end, end - first, PeakBefore(samples, first), EdgeBefore(samples, first));
            from = end;
            i = end - 1;
        }

        if (samples[^1] == 0)
        {
            var first = StartOfZeros(samples, samples.Length - 1, from);
            _openLength = samples.Length - first;
            _openBefore = PeakBefore(samples, first);
            _openEdge = EdgeBefore(samples, first);
        }
    }

    private void Close(ReadOnlySpan<float> samples, int end, long length, float before, float edgeBefore)
    {
        _openLength = 0;
        if (length < LeastRun || length > _longest || before < _leastPeak || _waitingCount == _waiting.Length)
            return;
        _waiting[_waitingCount++] = new Waiting(
            _position + end - length,
            length,
            before,
            edgeBefore,
            Math.Abs(samples[end]),
            0,
            _tail.Length
        );
        HearOn(samples[end..], _waitingCount - 1, _waitingCount);
    }

    /// <summary>Takes the peak after each waiting run; judges those that have been heard out.</summary>
    private void HearOn(ReadOnlySpan<float> samples, int from, int to)
    {
        var kept = from;
        for (var i = from; i < to; i++)
        {
            var w = _waiting[i];
            var count = (int)Math.Min(w.Left, samples.Length);
            w = w with { After = Math.Max(w.After, Peak(samples[..count])), Left = w.Left - count };
            if (w.Left > 0)
                _waiting[kept++] = w;
            else
                Judge(w);
        }

        _waitingCount = kept;
    }

    private void Judge(Waiting w)
    {
        if (w.After < _leastPeak || w.After * SameLevel < w.Before || w.Before * SameLevel < w.After)
            return;
        if (w.EdgeBefore < CutShare * w.Before && w.EdgeAfter < CutShare * w.After)
            return;
        if (Count == 0 || w.Start < First)
            (First, FirstLength) = (w.Start, w.Length);
        Count++;
    }

    /// <summary>Peak of the stretch before a run: of these samples, and of those kept when they do not reach back far enough.</summary>
    private float PeakBefore(ReadOnlySpan<float> samples, int first)
    {
        if (first >= _tail.Length)
            return Peak(samples[(first - _tail.Length)..first]);
        var peak = Peak(samples[..first]);
        // The ring's oldest samples lie where it will write next; these are left out, as many as stand in the block itself.
        var kept = _tail.Length - first;
        var oldest = (_tailAt + first) % _tail.Length;
        var upToEnd = Math.Min(kept, _tail.Length - oldest);
        return Math.Max(peak, Math.Max(Peak(_tail.AsSpan(oldest, upToEnd)), Peak(_tail.AsSpan(0, kept - upToEnd))));
    }

    /// <summary>Magnitude of the last sample before a run.</summary>
    private float EdgeBefore(ReadOnlySpan<float> samples, int first) =>
        Math.Abs(first > 0 ? samples[first - 1] : _tail[(_tailAt + _tail.Length - 1) % _tail.Length]);

    private void Keep(ReadOnlySpan<float> samples)
    {
        if (samples.Length > _tail.Length)
            samples = samples[^_tail.Length..];
        var upToEnd = Math.Min(samples.Length, _tail.Length - _tailAt);
        samples[..upToEnd].CopyTo(_tail.AsSpan(_tailAt));
        samples[upToEnd..].CopyTo(_tail);
        _tailAt = (_tailAt + samples.Length) % _tail.Length;
    }

    private static int EndOfZeros(ReadOnlySpan<float> samples, int from)
    {
        while (from < samples.Length && samples[from] == 0)
            from++;
        return from;
    }

    private static int StartOfZeros(ReadOnlySpan<float> samples, int from, int least)
    {
        while (from > least && samples[from - 1] == 0)
            from--;
        return from;
    }

    private static float Peak(ReadOnlySpan<float> samples)
    {
        var peak = Vector<float>.Zero;
        var i = 0;
        for (; i <= samples.Length - Vector<float>.Count; i += Vector<float>.Count)
            peak = Vector.MaxNative(peak, Vector.Abs(new Vector<float>(samples[i..])));
        float most = 0;
        for (var lane = 0; lane < Vector<float>.Count; lane++)
            most = Math.Max(most, peak[lane]);
        for (; i < samples.Length; i++)
            most = Math.Max(most, Math.Abs(samples[i]));
        return float.IsFinite(most) ? most : 0;
    }

    private readonly record struct Waiting(
        long Start,
        long Length,
        float Before,
        float EdgeBefore,
        float EdgeAfter,
        float After,
        long Left
    );
}
