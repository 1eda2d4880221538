namespace Spoolwright.Practice.Recording;

/// <summary>Flux of two tracks, sample by sample along the tape; what lies outside reads as nothing. Old stretches may be let go, so that
/// memory stays flat while monitoring.</summary>
internal sealed class FluxStore
{
    private const int Chunk = 1 << 16;
    private readonly List<(float[] Left, float[] Right)?> _chunks = [];
    private readonly Stack<(float[] Left, float[] Right)> _free = [];
    private int _kept;

    /// <summary>Number of the first sample that was ever written.</summary>
    public long First { get; }

    /// <summary>One more than the number of the last sample written.</summary>
    public long End { get; private set; }

    public FluxStore(long first) => (First, End) = (first, first);

    /// <summary>Adds the next samples.</summary>
    public void Append(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        for (var done = 0; done < left.Length;)
        {
            var at = (int)((End - First) % Chunk);
            if (at == 0)
                _chunks.Add(_free.TryPop(out var old) ? old : (new float[Chunk], new float[Chunk]));
            var take = Math.Min(left.Length - done, Chunk - at);
            var (l, r) = _chunks[^1]!.Value;
            left.Slice(done, take).CopyTo(l.AsSpan(at));
            right.Slice(done, take).CopyTo(r.AsSpan(at));
            End += take;
            done += take;
        }
    }

    /// <summary>Reads samples by number.</summary>
    public void Read(long first, Span<float> left, Span<float> right)
    {
        for (var done = 0; done < left.Length;)
        {
            var number = first + done;
            if (number < First || number >= End)
            {
                var empty = (int)Math.Min(left.Length - done, number < First ? First - number : long.MaxValue);
                left.Slice(done, empty).Clear();
                right.Slice(done, empty).Clear();
                done += empty;
                continue;
            }

            var (chunk, at) = ((int)((number - First) / Chunk), (int)((number - First) % Chunk));
            var take = (int)Math.Min(Math.Min(left.Length - done, Chunk - at), End - number);
            var (l, r) = _chunks[chunk] ?? throw new InvalidOperationException($"Flux sample {number} was let go before it was read.");
            l.AsSpan(at, take).CopyTo(left[done..]);
            r.AsSpan(at, take).CopyTo(right[done..]);
            done += take;
        }
    }

    /// <summary>Lets go of what lies wholly before a sample.</summary>
    public void Forget(long before)
    {
        for (; (_kept + 1L) * Chunk <= before - First && _kept < _chunks.Count; _kept++)
        {
            if (_chunks[_kept] is { } old)
                _free.Push(old);
            _chunks[_kept] = null;
        }
    }
}
