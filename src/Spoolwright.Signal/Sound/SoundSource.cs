namespace Spoolwright.Signal.Sound;

/// <summary>
/// Sound as a sequence of blocks, one or two channels, from a file or from a live input.
/// Samples are single precision with full scale at ±1: its rounding lies 150 dB below full scale, under any tape or converter,
/// and it halves the memory traffic that bounds the meters. Everything after the first decimation is double precision.
/// </summary>
public abstract class SoundSource : IDisposable
{
    /// <summary>Frames per second, in Hz.</summary>
    public abstract int SampleRateHz { get; }

    /// <summary>Channels delivered: 1 (left only) or 2 (left and right).</summary>
    public abstract int Channels { get; }

    /// <summary>Frames in all where known beforehand, else null.</summary>
    public abstract long? Frames { get; }

    /// <summary>What was seen so far that bears on the figures: a truncated file, a header that lies.</summary>
    public abstract IReadOnlyList<Note> Notes { get; }

    /// <summary>
    /// Reads the next frames into planar buffers; returns how many, 0 only at the end.
    /// With one channel <paramref name="right"/> is left untouched and may be empty. Allocates nothing.
    /// </summary>
    /// <param name="left">Left (or only) channel, full scale ±1.</param>
    /// <param name="right">Right channel; at least as long as <paramref name="left"/> when <see cref="Channels"/> is 2.</param>
    public abstract int Read(Span<float> left, Span<float> right);

    /// <summary>Whether <see cref="Rewind"/> works: a file can start again, a live input cannot.</summary>
    public virtual bool CanRewind => false;

    /// <summary>Starts again from the first frame, as a measurement that goes twice through the sound needs.</summary>
    /// <exception cref="NotSupportedException"><see cref="CanRewind"/> is false.</exception>
    public virtual void Rewind() => throw new NotSupportedException("This source cannot be read twice.");

    /// <inheritdoc/>
    public void Dispose()
    {
        Dispose(disposing: true);
        GC.SuppressFinalize(this);
    }

    /// <summary>Releases what the source holds.</summary>
    protected virtual void Dispose(bool disposing)
    {
    }
}
