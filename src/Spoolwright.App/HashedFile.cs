using System.Security.Cryptography;
using Spoolwright.Signal;

namespace Spoolwright.App;

/// <summary>
/// A file to be measured, hashed while it is read: each byte is fetched once and hashed while it is still in the cache. Bytes that the
/// reader jumps over are fetched for the hash alone. Holds that the file was the same one from first to last.
/// </summary>
internal sealed class HashedFile : Stream
{
    private const int BlockBytes = 1 << 18;

    private readonly FileInfo _before;
    private readonly FileStream _file;
    private readonly IncrementalHash _hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
    private byte[]? _skipped;
    private long _position;
    private long _hashed;

    /// <summary>Opens the file.</summary>
    /// <exception cref="IOException">The file cannot be opened; <see cref="UnauthorizedAccessException"/> where it may not be.</exception>
    public HashedFile(string path)
    {
        // Of a link, the file it leads to: its own length and times are not the sound's.
        _before = new FileInfo(path);
        if (_before.ResolveLinkTarget(returnFinalTarget: true) is FileInfo target)
            _before = target;
        _before.Refresh();
        _file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, bufferSize: 0);
    }

    public override bool CanRead => true;

    public override bool CanSeek => true;

    public override bool CanWrite => false;

    public override long Length => _file.Length;

    public override long Position
    {
        get => _position;
        set
        {
            ArgumentOutOfRangeException.ThrowIfNegative(value);
            _position = value;
        }
    }

    public override int Read(Span<byte> buffer)
    {
        var read = RandomAccess.Read(_file.SafeFileHandle, buffer, _position);
        if (read > 0 && _position + read > _hashed)
        {
            HashTo(_position);
            var known = (int)(_hashed - _position);
            _hash.AppendData(buffer[known..read]);
            _hashed = _position + read;
        }

        _position += read;
        return read;
    }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    /// <summary>Hashes what was not read and gives the hash of the whole file, lower-case hex. The reader must be done.</summary>
    /// <exception cref="CannotMeasureException">The file was changed meanwhile, so hash and readings may speak of different
    /// sounds.</exception>
    public string Finish()
    {
        HashTo(long.MaxValue);
        var after = new FileInfo(_before.FullName);
        if (
            !after.Exists
            || after.Length != _before.Length
            || after.LastWriteTimeUtc != _before.LastWriteTimeUtc
            || _hashed != after.Length
        )
            throw new CannotMeasureException(
                "changed",
                "the file was changed while it was being measured; measure again once the capture is finished"
            );
        return Convert.ToHexStringLower(_hash.GetCurrentHash());
    }

    public override long Seek(long offset, SeekOrigin origin) => Position = origin switch
    {
        SeekOrigin.Begin => offset,
        SeekOrigin.Current => _position + offset,
        SeekOrigin.End => Length + offset,
        _ => throw new ArgumentOutOfRangeException(nameof(origin), origin, "Not a place to count from."),
    };

    public override void Flush()
    {
    }

    public override void SetLength(long value) => throw new NotSupportedException("A capture is never changed.");

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException("A capture is never changed.");

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _file.Dispose();
            _hash.Dispose();
        }

        base.Dispose(disposing);
    }

    private void HashTo(long end)
    {
        while (_hashed < end)
        {
            _skipped ??= new byte[BlockBytes];
            var read = RandomAccess.Read(_file.SafeFileHandle, _skipped.AsSpan(0, (int)Math.Min(BlockBytes, end - _hashed)), _hashed);
            if (read == 0)
                return;
            _hash.AppendData(_skipped.AsSpan(0, read));
            _hashed += read;
        }
    }
}
