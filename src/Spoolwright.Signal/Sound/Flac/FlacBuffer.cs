namespace Spoolwright.Signal.Sound.Flac;

/// <summary>Bytes of a FLAC file around the block being decoded; grows only when a single block does not fit.</summary>
internal sealed class FlacBuffer
{
    private const int UsualBytes = 512 * 1024;

    /// <summary>Longer than any sensible block (65535 frames of 8 channels in 32 bits are 2 MB); a longer one is garbage.</summary>
    private const int MostBytes = 16 * 1024 * 1024;

    private readonly SoundStream _source;
    private int _end;
    private bool _isAtEnd;

    /// <param name="source">The file.</param>
    /// <param name="firstFrame">Place of its first block.</param>
    public FlacBuffer(SoundStream source, long firstFrame)
    {
        _source = source;
        source.Seek(firstFrame);
        Data = new byte[Math.Min(UsualBytes, source.Length - firstFrame + 1) + FlacBits.Pad];
    }

    /// <summary>The bytes; those before <see cref="Start"/> are used up.</summary>
    public byte[] Data { get; private set; }

    /// <summary>Place of the next block.</summary>
    public int Start { get; set; }

    /// <summary>True when nothing follows.</summary>
    public bool IsEmpty => Start >= _end;

    /// <summary>Bytes at hand from <see cref="Start"/> on.</summary>
    public int Remaining => _end - Start;

    /// <summary>True when an ID3v1 tag of 128 bytes is all that follows.</summary>
    public bool IsTrailingTag => _end - Start == 128 && Data.AsSpan(Start, 3).SequenceEqual("TAG"u8);

    /// <summary>True when what follows begins as a block does.</summary>
    public bool LooksLikeBlock => _end - Start >= 2 && Data[Start] == 0xFF && (Data[Start + 1] & 0xFE) == 0xF8;

    /// <summary>The bits from <see cref="Start"/> on.</summary>
    public FlacBits Bits() => new(Data, Start, _end);

    /// <summary>Reads on when little is left, so that blocks of usual length are decoded once.</summary>
    public void FillUp()
    {
        if (!_isAtEnd && _end - Start < UsualBytes / 4)
            ReadOn();
    }

    /// <summary>Gets more bytes for a block that ran out of them; false at the end of the file or past all sense.</summary>
    public bool Extend()
    {
        if (_isAtEnd || _end - Start >= MostBytes)
            return false;
        if (_end - Start > (Data.Length - FlacBits.Pad) / 2)
        {
            var larger = new byte[(2 * Data.Length) + FlacBits.Pad];
            Data.AsSpan(Start, _end - Start).CopyTo(larger);
            Data = larger;
            _end -= Start;
            Start = 0;
        }

        ReadOn();
        return true;
    }

    private void ReadOn()
    {
        Data.AsSpan(Start, _end - Start).CopyTo(Data);
        _end -= Start;
        Start = 0;
        var room = Data.AsSpan(_end..^FlacBits.Pad);
        var read = _source.Read(room);
        _isAtEnd = read < room.Length;
        _end += read;
    }
}
