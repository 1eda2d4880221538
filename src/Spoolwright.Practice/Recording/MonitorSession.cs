using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Practice.Recording;

/// <summary>Recording with the ear at the replay head: what comes off tape, and apart from it what is true of it.</summary>
public sealed class MonitorSession : IDisposable
{
    private readonly RecordStage _stage;
    private readonly FluxStore _flux;
    private readonly SoundSource _program;
    private readonly FluxSound _sound;
    private readonly float[][] _fed = [new float[4096], new float[4096]];
    private readonly PracticeDeck _deck;
    private readonly RecordedTape _tape;
    private readonly RecordOptions _options;
    private RecordTruth? _truth;
    private bool _ended;

    internal MonitorSession(PracticeDeck deck, RecordedTape tape, RecordOptions options, SoundSource program, double seconds)
    {
        if (program.SampleRateHz != options.SampleRateHz)
            throw new ArgumentException(
                $"The program has {program.SampleRateHz} samples a second, the recording {options.SampleRateHz}.",
                nameof(program)
            );
        var play = options.AsPlay(seconds);
        play.Check();
        (_deck, _tape, _options, _program) = (deck, tape, options, program);
        _flux = new FluxStore((long)Math.Ceiling(options.StartSeconds * options.SampleRateHz));
        (_stage, var side) = RecordSession.Start(deck, tape, options, _flux);
        var head = deck.Recorder!.Head(options.Direction);
        _sound = new FluxSound(deck, tape.With(options.Direction, side), play, side, head.ToReplayMm, recording: true, Record);
    }

    /// <summary>Off tape, two channels. Never give measuring code anything else of this.</summary>
    public SoundSource Sound => _sound;

    /// <summary>What is true of this deck, tape and setting.</summary>
    public RecordTruth Truth => _truth ??= new RecordTruth(_deck, _tape, _options);

    /// <summary>Samples read so far that went beyond full scale and were held at it.</summary>
    public long ClippedSamples => _sound.Clipped;

    /// <inheritdoc/>
    public void Dispose() => _sound.Dispose();

    // Records on until the replay head has what it wants to hear, and lets go of what has passed it.
    private void Record(long last, long firstNeeded)
    {
        while (_flux.End < last)
        {
            var got = _ended ? 0 : _program.Read(_fed[0], _fed[1]);
            if (got == 0)
            {
                _ended = true;
                Array.Clear(_fed[0]);
                Array.Clear(_fed[1]);
                got = _fed[0].Length;
            }

            _stage.Feed(_fed[0].AsSpan(0, got), (_program.Channels == 2 || _ended ? _fed[1] : _fed[0]).AsSpan(0, got));
        }

        _flux.Forget(firstNeeded);
    }
}

/// <summary>One pass of a tape of one's own.</summary>
public sealed class OwnTapeSession : IDisposable
{
    private readonly FluxSound _sound;

    internal OwnTapeSession(PracticeDeck deck, RecordedTape tape, PlayOptions options)
    {
        if (tape.SampleRateHz != options.SampleRateHz)
            throw new ArgumentException(
                $"The tape holds {tape.SampleRateHz} samples a second; the capture must have as many, not {options.SampleRateHz}.",
                nameof(options)
            );
        if (options.Backward)
            throw new ArgumentException("A tape of one's own is played in the order of its direction.", nameof(options));
        if (Math.Abs((tape.SpeedCmPerS / options.SpeedCmPerS) - 1) > 0.01)
            throw new ArgumentException(
                $"The tape was recorded at {tape.SpeedCmPerS} cm/s; played at {options.SpeedCmPerS} its sound would lie beyond the sample rate.",
                nameof(options)
            );
        _sound = new FluxSound(deck, tape, options, tape.Side(options.Direction), 0, recording: false, needs: null);
    }

    /// <summary>The sound as an interface heard it: two channels, streamed.</summary>
    public SoundSource Sound => _sound;

    /// <summary>Samples read so far that went beyond full scale and were held at it.</summary>
    public long ClippedSamples => _sound.Clipped;

    /// <inheritdoc/>
    public void Dispose() => _sound.Dispose();
}
