using System.Numerics;
using System.Runtime.CompilerServices;

namespace Spoolwright.Signal.Sound.Flac;

/// <summary>
/// Reads FLAC [RFC9639:2024] block by block: every subframe and stereo coding, 4 to 32 bits, 1 to 8 channels.
/// A damaged block, or one that is missing, is refused with its place: a capture with a break in it must not be measured.
/// </summary>
internal sealed class FlacReader : SoundFileReader
{
    private readonly SoundStream _source;
    private readonly FlacStreamInfo _info;
    private readonly FlacBlock _block;
    private readonly long _firstFrame;
    private FlacBuffer _buffer;
    private readonly FlacDigest? _digest;
    private FlacFrameHeader? _previous;
    private long _decoded;
    private int _at;
    private int _end;
    private bool _isFinished;
    private bool _wasRead;
    private bool _isRewound;

    private FlacReader(SoundStream source, FlacStreamInfo info, long firstFrame, ChannelPair? channels, List<Note> notes)
        : base(
            new SoundFormat(
                SoundContainer.Flac,
                SampleEncoding.SignedInteger,
                info.Bits,
                info.SampleRateHz,
                info.Channels,
                info.Frames > 0 ? info.Frames : null
            ),
            channels,
            notes)
    {
        _source = source;
        _info = info;
        _block = new FlacBlock(info);
        _firstFrame = firstFrame;
        _buffer = new FlacBuffer(source, firstFrame);
        _digest = info.HasMd5 ? new FlacDigest(info) : null;
    }

    /// <summary>Opens a FLAC file whose marker stands at <paramref name="start"/>.</summary>
    public static FlacReader Open(SoundStream source, long start, ChannelPair? channels, List<Note> notes)
    {
        var info = FlacStreamInfo.Read(source, start, out var firstFrame);
        if (firstFrame >= source.Length)
            throw SoundFile.NoSound("The FLAC file ends where its first block must begin");
        return new FlacReader(source, info, firstFrame, channels, notes);
    }

    /// <inheritdoc/>
    public override bool CanRewind => true;

    /// <inheritdoc/>
    public override void Rewind()
    {
        // What the first reading found stands; the second adds no notes, and the checksum is reckoned once.
        _wasRead |= _isFinished;
        _buffer = new FlacBuffer(_source, _firstFrame);
        _previous = null;
        _decoded = 0;
        _at = 0;
        _end = 0;
        _isFinished = false;
        _isRewound = true;
    }

    /// <inheritdoc/>
    public override int Read(Span<float> left, Span<float> right)
    {
        MustHaveRoom(left, right);
        var done = 0;
        while (done < left.Length && (_at < _end || DecodeBlock()))
        {
            var frames = Math.Min(left.Length - done, _end - _at);
            ToFloat(_block.Channel(LeftIndex).Slice(_at, frames), left.Slice(done, frames));
            if (Channels == 2)
                ToFloat(_block.Channel(RightIndex).Slice(_at, frames), right.Slice(done, frames));
            _at += frames;
            done += frames;
        }

        return done;
    }

    protected override void Dispose(bool disposing)
    {
        if (!disposing)
            return;
        _digest?.Dispose();
        _source.Dispose();
    }

    private bool DecodeBlock()
    {
        if (_isFinished)
            return false;
        if (_info.Frames > 0 && _decoded >= _info.Frames)
            return FinishWhole();
        while (true)
        {
            _buffer.FillUp();
            if (_buffer.IsEmpty || _buffer.IsTrailingTag)
                return _info.Frames > 0 ? FinishTruncated() : FinishWhole();
            var bits = _buffer.Bits();
            var header = FlacFrameHeader.Read(ref bits, _buffer.Data, _buffer.Start, _info, out var fault);
            if (header is { } head && !_block.Decode(ref bits, head, _buffer.Data, _buffer.Start))
                fault = _block.Fault;
            if (bits.RanOut)
            {
                if (_buffer.Extend())
                    continue;
                if (_buffer.Remaining > _info.MostBlockBytes)
                    throw Damaged("a block does not end where it must");
                return FinishTruncated();
            }

            if (fault.Length > 0 || header is not { } good)
                throw Damaged(fault);
            MustFollow(good);
            _buffer.Start = bits.BytePosition;
            Take(good);
            return true;
        }
    }

    /// <summary>Holds a block's number against the one before: a gap between them is a break in the sound.</summary>
    private void MustFollow(FlacFrameHeader header)
    {
        if (_previous is { } before)
        {
            var expected = before.Number + (before.IsVariable ? before.BlockFrames : 1);
            if (header.IsVariable != before.IsVariable || header.Number != expected)
                throw Damaged($"block {header.Number} follows where {expected} must");
        }

        _previous = header;
    }

    private void Take(FlacFrameHeader header)
    {
        _at = 0;
        _end = header.BlockFrames;
        if (_info.Frames > 0)
            _end = (int)Math.Min(_end, _info.Frames - _decoded);
        _decoded += _end;
        if (!_isRewound)
            _digest?.Add(_block, _end);
    }

    private bool FinishWhole()
    {
        _isFinished = true;
        if (_wasRead)
            return false;
        _buffer.FillUp();
        if (_info.Frames > 0 && _buffer.LooksLikeBlock)
            AddNote(Note.Hint(
                "header-size", $"The header says {_info.Frames} frames, but more blocks follow; they are left out."));
        if (!_isRewound && _digest is { } digest && !digest.Matches())
            AddNote(Note.Warning(
                "checksum",
                "The sound differs from the checksum in the file's header although every block is sound by itself: blocks were cut out or the header is of another file."));
        return false;
    }

    private bool FinishTruncated()
    {
        _isFinished = true;
        if (_wasRead)
            return false;
        var end = _decoded / (double)SampleRateHz;
        var promised = _info.Frames / (double)SampleRateHz;
        AddNote(Note.Warning(
            "truncated",
            _info.Frames > 0
                ? $"The file ends at {end:0.000} s, but its header promises {promised:0.000} s: {promised - end:0.000} s are missing. Copy or capture it again."
                : $"The file ends within a block, at {end:0.000} s; how much is missing is not known. Copy or capture it again."));
        return false;
    }

    private CannotMeasureException Damaged(string what) => new(
        "damaged", $"The FLAC file is damaged at {_decoded / (double)SampleRateHz:0.000} s: {what}. Copy or capture it again.");

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void ToFloat(ReadOnlySpan<int> samples, Span<float> destination)
    {
        // A power of two: exact up to 24 bits, rounded once above.
        var scale = 1f / (1L << (_info.Bits - 1));
        var i = 0;
        for (; i <= samples.Length - Vector<int>.Count; i += Vector<int>.Count)
            (Vector.ConvertToSingle(new Vector<int>(samples[i..])) * scale).CopyTo(destination[i..]);
        for (; i < samples.Length; i++)
            destination[i] = samples[i] * scale;
    }
}
