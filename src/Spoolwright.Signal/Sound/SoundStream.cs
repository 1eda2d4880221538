namespace Spoolwright.Signal.Sound;

/// <summary>The bytes of a sound file, read whole or to their end, with failures of the medium said as
/// <see cref="CannotMeasureException"/>.</summary>
internal sealed class SoundStream : IDisposable
{
    private readonly Stream _stream;
    private readonly bool _leaveOpen;

    public SoundStream(Stream stream, bool leaveOpen)
    {
        _stream = stream;
        _leaveOpen = leaveOpen;
        Length = stream.Length;
    }

    /// <summary>Bytes in the file when it was opened.</summary>
    public long Length { get; }

    /// <summary>Moves to a byte, counted from the file's first.</summary>
    public void Seek(long position)
    {
        try
        {
            _stream.Position = position;
        }
        catch (IOException e)
        {
            throw Unreadable(position, e);
        }
    }

    /// <summary>Reads on until the buffer is full or the file ends; returns the bytes read.</summary>
    public int Read(Span<byte> buffer)
    {
        try
        {
            return _stream.ReadAtLeast(buffer, buffer.Length, throwOnEndOfStream: false);
        }
        catch (IOException e)
        {
            throw Unreadable(-1, e);
        }
    }

    /// <summary>Reads the bytes at a place; returns how many there were.</summary>
    public int ReadAt(long position, Span<byte> buffer)
    {
        if (position < 0 || position >= Length)
            return 0;
        Seek(position);
        return Read(buffer);
    }

    public void Dispose()
    {
        if (!_leaveOpen)
            _stream.Dispose();
    }

    private static CannotMeasureException Unreadable(long position, IOException inner) => new(
        "unreadable",
        $"The file cannot be read{(position < 0 ? "" : $" at byte {position}")}: {inner.Message} Copy it to a sound disk and try again.",
        inner);
}
