namespace Spoolwright.Signal.Sound;

/// <summary>Reads unpacked samples (WAV, RF64, BW64, AIFF, AIFC) through one buffer of fixed size.</summary>
internal sealed class PcmReader : SoundFileReader
{
    /// <summary>Stays in the second-level cache between reading and converting.</summary>
    private const int BufferBytes = 256 * 1024;

    private readonly SoundStream _source;
    private readonly PcmLayout _layout;
    private readonly PlanarConverter _converter;
    private readonly byte[] _buffer;
    private readonly int _bufferFrames;
    private long _framesFetched;
    private long _framesDelivered;
    private int _at;
    private int _end;
    private long _notSound;
    private long _firstNotSound;
    private int _notSoundNote = -1;

    public PcmReader(SoundStream source, PcmLayout layout, ChannelPair? channels, List<Note> notes)
        : base(layout.Format, channels, notes)
    {
        _source = source;
        _layout = layout;
        _converter = new PlanarConverter(layout, LeftIndex, RightIndex);
        _bufferFrames = (int)Math.Min(layout.Frames, Math.Max(1, BufferBytes / layout.BytesPerFrame));
        _buffer = new byte[(_bufferFrames * layout.BytesPerFrame) + (2 * PlanarConverter.Pad)];
        source.Seek(layout.DataStart);
    }

    /// <inheritdoc/>
    public override IReadOnlyList<Note> Notes
    {
        get
        {
            UpdateNotSoundNote();
            return base.Notes;
        }
    }

    /// <inheritdoc/>
    public override bool CanRewind => true;

    /// <inheritdoc/>
    public override void Rewind()
    {
        UpdateNotSoundNote();
        _source.Seek(_layout.DataStart);
        _framesFetched = 0;
        _framesDelivered = 0;
        _at = 0;
        _end = 0;
        _notSound = 0;
    }

    /// <inheritdoc/>
    public override int Read(Span<float> left, Span<float> right)
    {
        MustHaveRoom(left, right);
        var done = 0;
        while (done < left.Length && (_at < _end || Fetch()))
        {
            var frames = Math.Min(left.Length - done, _end - _at);
            var l = left.Slice(done, frames);
            var r = Channels == 2 ? right.Slice(done, frames) : default;
            if (!_converter.Convert(_buffer, PlanarConverter.Pad + (_at * _layout.BytesPerFrame), l, r))
                SilenceNotSound(l, r);
            _at += frames;
            _framesDelivered += frames;
            done += frames;
        }

        return done;
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
            _source.Dispose();
    }

    private bool Fetch()
    {
        var wanted = (int)Math.Min(_bufferFrames, _layout.Frames - _framesFetched);
        if (wanted == 0)
            return false;
        var read = _source.Read(_buffer.AsSpan(PlanarConverter.Pad, wanted * _layout.BytesPerFrame));
        _at = 0;
        _end = read / _layout.BytesPerFrame;
        _framesFetched += _end;
        if (_end < wanted)
            throw new CannotMeasureException(
                "unreadable",
                $"The file became shorter while it was read: it ends at {_framesFetched / (double)SampleRateHz:0.000} s now. Let its writer finish first."
            );
        return true;
    }

    private void SilenceNotSound(Span<float> left, Span<float> right)
    {
        for (var i = 0; i < left.Length; i++)
        {
            var bad = Silence(ref left[i]) + (right.IsEmpty ? 0 : Silence(ref right[i]));
            if (bad > 0 && _notSound == 0)
                _firstNotSound = _framesDelivered + i;
            _notSound += bad;
        }
    }

    private static int Silence(ref float sample)
    {
        if (Math.Abs(sample) < PlanarConverter.Absurd)
            return 0;
        sample = 0;
        return 1;
    }

    private void UpdateNotSoundNote()
    {
        if (_notSound == 0)
            return;
        var note = Note.Warning(
            "not-a-number",
            $"{_notSound} samples are not a number, infinite or absurdly large, the first at {_firstNotSound / (double)SampleRateHz:0.000000} s; "
            + "they are read as zero. Export the sound again.");
        _notSoundNote = ReplaceNote(_notSoundNote, note);
    }
}
