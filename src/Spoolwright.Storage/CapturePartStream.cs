namespace Spoolwright.Storage;

/// <summary>Reads a capture out of the database, one part at a time, from any place in it.</summary>
internal sealed class CapturePartStream(BookEngine engine, string sha256, long length) : Stream
{
    private byte[] part = [];
    private long partNumber = -1;

    public override bool CanRead => true;

    public override bool CanSeek => true;

    public override bool CanWrite => false;

    public override long Length => length;

    public override long Position { get; set; }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override int Read(Span<byte> buffer)
    {
        if (Position >= length || buffer.IsEmpty)
            return 0;
        if (Position / CaptureTable.PartBytes != partNumber)
        {
            partNumber = Position / CaptureTable.PartBytes;
            part = CaptureTable.Part(engine, sha256, (int)partNumber)
                ?? throw new IOException($"part {partNumber} of the capture {sha256} is not in {engine.Book} any more");
        }

        ReadOnlySpan<byte> rest = part.AsSpan((int)(Position % CaptureTable.PartBytes));
        int read = Math.Min(rest.Length, buffer.Length);
        rest[..read].CopyTo(buffer);
        Position += read;
        return read;
    }

    public override long Seek(long offset, SeekOrigin origin) => Position = offset + origin switch
    {
        SeekOrigin.Begin => 0,
        SeekOrigin.Current => Position,
        _ => length,
    };

    public override void Flush()
    {
    }

    public override void SetLength(long value) => throw new NotSupportedException("a capture is never changed");

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException("a capture is never changed");
}
