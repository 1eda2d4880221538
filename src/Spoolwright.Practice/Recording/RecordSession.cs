using Spoolwright.Practice.Deck;

namespace Spoolwright.Practice.Recording;

/// <summary>A recording under way: feed it sound in blocks of any size, then take the tape out.</summary>
public sealed class RecordSession
{
    private readonly RecordedTape _tape;
    private readonly RecordOptions _options;
    private readonly RecordStage _stage;
    private readonly RecordedSide _side;
    private bool _isDone;

    internal RecordSession(PracticeDeck deck, RecordedTape tape, RecordOptions options)
    {
        (_tape, _options) = (tape, options);
        var flux = new FluxStore((long)Math.Ceiling(options.StartSeconds * options.SampleRateHz));
        (_stage, _side) = Start(deck, tape, options, flux);
    }

    /// <summary>Records the next frames.</summary>
    /// <param name="left">Left line input, full scale ±1.</param>
    /// <param name="right">Right line input, as long.</param>
    /// <exception cref="ArgumentException">The channels differ in length.</exception>
    /// <exception cref="InvalidOperationException">The tape has been taken out, or it is full.</exception>
    public void Feed(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        if (_isDone)
            throw new InvalidOperationException("The recording has ended.");
        if (right.Length != left.Length)
            throw new ArgumentException($"The right block holds {right.Length} samples, the left {left.Length}.", nameof(right));
        if ((_stage.Fed + left.Length) / (double)_options.SampleRateHz > RecordedTape.LongestSeconds)
            throw new InvalidOperationException(
                $"A recording kept on a tape lasts {RecordedTape.LongestSeconds} s at most; monitor off tape for longer."
            );
        _stage.Feed(left, right);
    }

    /// <summary>Feeds a whole sound.</summary>
    public void Feed(Signal.Sound.SoundSource sound)
    {
        ArgumentNullException.ThrowIfNull(sound);
        if (sound.SampleRateHz != _options.SampleRateHz)
            throw new ArgumentException(
                $"The sound has {sound.SampleRateHz} samples a second, the recording {_options.SampleRateHz}.",
                nameof(sound)
            );
        var (left, right) = (new float[4096], new float[4096]);
        for (int got; (got = sound.Read(left, right)) > 0;)
            Feed(left.AsSpan(0, got), (sound.Channels == 2 ? right : left).AsSpan(0, got));
    }

    /// <summary>Ends the recording and gives the tape; what it held in the other direction is still there.</summary>
    public RecordedTape Finish()
    {
        if (!_isDone)
            _stage.Finish();
        _isDone = true;
        return _tape.With(_options.Direction, _side);
    }

    internal static (RecordStage Stage, RecordedSide Side) Start(
        PracticeDeck deck,
        RecordedTape tape,
        RecordOptions options,
        FluxStore flux
    )
    {
        if (tape.SampleRateHz != options.SampleRateHz || Math.Abs((tape.SpeedCmPerS / options.SpeedCmPerS) - 1) > 0.01)
            throw new ArgumentException(
                $"The tape is for {tape.SpeedCmPerS} cm/s and {tape.SampleRateHz} Hz, the recording for {options.SpeedCmPerS} cm/s and {options.SampleRateHz} Hz.",
                nameof(tape)
            );
        var recorder = deck.Recorder ?? throw new ArgumentException($"The deck '{deck.Name}' cannot record.", nameof(deck));
        var head = recorder.Head(options.Direction);
        var tracks = deck.Head(options.Direction);
        var body = RecordedTape.Body(deck, tape.Stock, tape.SpeedCmPerS, options.Direction, head.AzimuthArcmin, 0);
        var stage = new RecordStage(deck, tape.Stock, body, options, flux, tape.Side(options.Direction)?.Flux);
        var bias = 0.5 * (stage.Paths[0].BiasDb + stage.Paths[1].BiasDb);
        return (stage, new RecordedSide(flux, tracks.Left.Track, tracks.Right.Track, head.AzimuthArcmin, head.GapStaggerUm, bias));
    }
}
