using Spoolwright.Practice.Physics;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Practice.Deck;

/// <summary>One speed of a deck.</summary>
/// <param name="CmPerS">Nominal speed, cm/s.</param>
/// <param name="Curve">Replay equalization the deck switches in.</param>
/// <param name="ErrorPercent">How much too fast the tape runs, %.</param>
public sealed record PracticeSpeed(double CmPerS, ReplayCurve Curve, double ErrorPercent = 0);

/// <summary>
/// A deck in software. The description is immutable: to turn a trimmer or cure a fault, make another with <c>with</c>.
/// What is not given is healthy; what varies from one deck to the next hangs on the seed.
/// </summary>
public sealed record PracticeDeck
{
    public required string Name { get; init; }

    /// <summary>Which specimen of its kind: draws what no parameter names, such as the magnetic length of the gaps.</summary>
    public long Seed { get; init; } = 1;

    /// <summary>The speeds it has.</summary>
    public required IReadOnlyList<PracticeSpeed> Speeds { get; init; }

    /// <summary>Head and channels while the tape runs forward.</summary>
    public PracticeHead Forward { get; init; } = PracticeHead.QuarterTrack(TapeDirection.Forward);

    /// <summary>Head and channels while the tape runs in reverse.</summary>
    public PracticeHead Reverse { get; init; } = PracticeHead.QuarterTrack(TapeDirection.Reverse);

    public PracticeTransport Transport { get; init; } = new();

    /// <summary>The record side; null: the deck only plays.</summary>
    public PracticeRecorder? Recorder { get; init; }

    /// <summary>Fluxivity at which a well set deck gives reference level at 1 kHz, nWb/m rms.</summary>
    public double ReferenceNWbPerM { get; init; } = 250;

    /// <summary>Mains frequency, Hz.</summary>
    public double MainsHz { get; init; } = 50;

    /// <summary>The head and channels of a direction.</summary>
    public PracticeHead Head(TapeDirection direction) => direction == TapeDirection.Forward ? Forward : Reverse;

    /// <summary>Magnetic gap over optical gap of a direction's head.</summary>
    public double GapFactor(TapeDirection direction) =>
        Head(direction).GapFactor ?? new NoiseStream(Seed, $"gap factor {direction}").NextBetween(1.11, 1.14);

    /// <summary>What a direction's head gathers beside its tracks, against the plain formula.</summary>
    public double FringingFactor(TapeDirection direction) =>
        Head(direction).FringingFactor ?? new NoiseStream(Seed, $"fringing factor {direction}").NextBetween(0.92, 1.08);

    /// <summary>Plays a tape; the sound streams as it is read.</summary>
    /// <param name="tape">What is threaded.</param>
    /// <param name="options">Direction, speed, span and the interface that listens.</param>
    /// <exception cref="ArgumentOutOfRangeException">A fault or an option lies outside what can be; the message names it.</exception>
    /// <exception cref="ArgumentException">The deck has no such speed.</exception>
    public PlaySession Play(PracticeTape tape, PlayOptions options)
    {
        ArgumentNullException.ThrowIfNull(tape);
        ArgumentNullException.ThrowIfNull(options);
        Check();
        tape.Check();
        options.Check();
        return new PlaySession(this, tape, options);
    }

    /// <summary>Plays a tape of one's own; the sound streams as it is read.</summary>
    /// <param name="tape">What is threaded.</param>
    /// <param name="options">Direction, speed, span and the interface that listens; the sample rate must be the tape's, and
    /// <see cref="PlayOptions.Backward"/> is not for tapes of one's own.</param>
    /// <exception cref="ArgumentException">The tape and the options do not go together.</exception>
    public OwnTapeSession Play(RecordedTape tape, PlayOptions options)
    {
        ArgumentNullException.ThrowIfNull(tape);
        ArgumentNullException.ThrowIfNull(options);
        Check();
        options.Check();
        return new OwnTapeSession(this, tape, options);
    }

    /// <summary>Starts a recording on a tape; what its tracks held is erased as well as the erase head can.</summary>
    /// <param name="tape">A blank tape or one that holds something.</param>
    /// <param name="options">Direction, speed, setting and the interface that feeds.</param>
    /// <exception cref="ArgumentException">The deck does not record, or tape and options do not go together.</exception>
    public RecordSession Record(RecordedTape tape, RecordOptions options)
    {
        ArgumentNullException.ThrowIfNull(tape);
        ArgumentNullException.ThrowIfNull(options);
        Check();
        options.Check();
        return new RecordSession(this, tape, options);
    }

    /// <summary>Records and listens off tape at the same time; memory stays flat however long it lasts.</summary>
    /// <param name="tape">What is threaded; it is not changed.</param>
    /// <param name="options">Direction, speed, setting and the interface that feeds and listens.</param>
    /// <param name="program">What is fed, two channels at the options' rate; silence follows it. The session does not dispose it.</param>
    /// <param name="seconds">Length of the capture, s; it holds the same moment at its start as the program.</param>
    public MonitorSession Monitor(RecordedTape tape, RecordOptions options, SoundSource program, double seconds)
    {
        ArgumentNullException.ThrowIfNull(tape);
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(program);
        Check();
        options.Check();
        return new MonitorSession(this, tape, options, program, seconds);
    }

    /// <summary>The speed nearest to a nominal one, within 1 %.</summary>
    internal PracticeSpeed Speed(double cmPerS) =>
        Speeds.FirstOrDefault(s => Math.Abs((s.CmPerS / cmPerS) - 1) < 0.01)
        ?? throw new ArgumentException($"The deck '{Name}' has no speed of {cmPerS} cm/s.", nameof(cmPerS));

    internal void Check()
    {
        Faults.InRange("number of speeds", Speeds.Count, 1, 10);
        foreach (var speed in Speeds)
        {
            Faults.InRange(nameof(PracticeSpeed.CmPerS), speed.CmPerS, 1, 200);
            Faults.InRange(nameof(PracticeSpeed.ErrorPercent), speed.ErrorPercent, -40, 40);
            speed.Curve.Check();
        }

        Forward.Check();
        Reverse.Check();
        Transport.Check();
        Recorder?.Check();
        Faults.InRange(nameof(ReferenceNWbPerM), ReferenceNWbPerM, 1, 10000);
        Faults.InRange(nameof(MainsHz), MainsHz, 10, 1000);
    }
}
