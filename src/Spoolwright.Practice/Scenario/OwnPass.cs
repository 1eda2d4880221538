using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Tape;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Practice.Scenario;

/// <summary>What of the deck's own recording a pass captures.</summary>
public enum OwnCapture
{
    /// <summary>The multitone, off tape: overall response, separation, skew.</summary>
    Multitone,

    /// <summary>A tone while bias is turned through its peak and back to its place, off tape.</summary>
    Bias,

    /// <summary>1 kHz in steps up to 12 dB over reference level, off tape.</summary>
    Ramp,

    /// <summary>10 kHz in steps until the tape takes no more, off tape.</summary>
    Saturation,

    /// <summary>Tape biased without a signal, off tape.</summary>
    Blank,

    /// <summary>A steady 1 kHz at reference level, recorded, wound back and played.</summary>
    Tone,

    /// <summary>The same tape after one erasure, played.</summary>
    Erased,

    /// <summary>1 kHz on the left channel alone, then on the right alone, off tape.</summary>
    Pair,

    /// <summary>Tape with nothing on this direction's tracks and 1 kHz on those of the other direction, played.</summary>
    OtherDirection,
}

/// <summary>One pass of blank tape in a job: one of our own programs, recorded by the deck and heard from tape.</summary>
/// <param name="FileName">A name for its capture, without folder, ending in .wav.</param>
/// <param name="AsLeft">False: as found; true: as left.</param>
/// <param name="Direction">Which way the tape runs.</param>
/// <param name="SpeedCmPerS">Nominal speed.</param>
/// <param name="Setting">Position of the tape selector; the tape is the one it was laid out for.</param>
/// <param name="Kind">What is captured.</param>
/// <param name="SampleRateHz">Sample rate, Hz.</param>
/// <param name="Seed">Draws its noises.</param>
public sealed record OwnPass(
    string FileName,
    bool AsLeft,
    TapeDirection Direction,
    double SpeedCmPerS,
    string Setting,
    OwnCapture Kind,
    int SampleRateHz,
    long Seed
)
{
    // A second for the way from record to playback head, and for what follows the last marker.
    private const double AfterSeconds = 1;
    private const double ErasedSeconds = 10;
    private const double LeakSeconds = 9;

    /// <summary>The deck as it is at that time.</summary>
    public PracticeDeck Deck => AsLeft ? AutoReverseDeck.AsLeft : AutoReverseDeck.AsFound;

    /// <summary>The tape.</summary>
    public TapeStock Stock => Deck.Recorder!.Setting(Setting).LaidOutFor;

    /// <summary>The program fed.</summary>
    public SignalProgram Program => Kind switch
    {
        OwnCapture.Multitone => Make("multitone", brief: true),
        OwnCapture.Bias => Make("bias", BiasHz, 34),
        OwnCapture.Ramp => Make("mol", brief: true),
        OwnCapture.Saturation => Make("saturation", brief: true),
        OwnCapture.Pair => Make("erase", seconds: 5),
        OwnCapture.Blank => Make("blank", seconds: 9),
        _ => Make("dropouts", seconds: 24),
    };

    /// <summary>The tone that bias is set by at this speed, Hz.</summary>
    public double BiasHz => SpeedCmPerS > 15 ? 10_000 : 6_300;

    /// <summary>What ought to be found, computed from the deck without its sound.</summary>
    public RecordTruth Truth => new(Deck, Tape(60), Options);

    /// <summary>What ought to be found of a recording by the other direction's heads, such as the one that leaks.</summary>
    public RecordTruth OtherTruth => new(Deck, Tape(60), Options with { Direction = Other });

    private TapeDirection Other => Direction == TapeDirection.Forward ? TapeDirection.Reverse : TapeDirection.Forward;

    private RecordOptions Options => new()
    {
        Direction = Direction,
        SpeedCmPerS = SpeedCmPerS,
        Setting = Setting,
        SampleRateHz = SampleRateHz,
        Seed = Seed,
        ReferenceDbfs = AutoReverseJob.ReferenceDbfs,
        InterfaceClockPpm = AutoReverseJob.ClockPpm,
        BiasMoves = Kind == OwnCapture.Bias ? [new(5, -8), new(29, 1.5), new(32, 0)] : [],
    };

    /// <summary>The sound of the pass at the interface's inputs.</summary>
    public SoundSource Play() =>
        Kind switch
        {
            OwnCapture.Pair => Deck.Monitor(
                Tape(120),
                Options,
                new InARow(Sound(Sides.Left), Sound(Sides.Right)),
                (2 * Program.Seconds) + AfterSeconds
            ).Sound,
            OwnCapture.Tone => Deck.Play(Recorded(Direction), Playing(Program.Seconds + AfterSeconds, 0)).Sound,
            OwnCapture.Erased => Deck.Play(Erased(), Playing(ErasedSeconds, 8)).Sound,
            OwnCapture.OtherDirection => Deck.Play(Recorded(Other), Playing(LeakSeconds, 37)).Sound,
            _ => Deck.Monitor(Tape(120), Options, Sound(), Program.Seconds + AfterSeconds).Sound,
        };

    private static SignalProgram Make(string name, double? hertz = null, double? seconds = null, bool brief = false) =>
        ProgramList.Make(ProgramList.Find(name)!, hertz, seconds, brief);

    private ProgramSound Sound(Sides sides = Sides.Both) => new(Program, SampleRateHz, AutoReverseJob.ReferenceDbfs, sides);

    private RecordedTape Tape(double seconds) => RecordedTape.Blank(Stock, SpeedCmPerS, SampleRateHz, seconds);

    // The other direction's recording is played from its end: on a tape of 60 s its 3 to 27 s stand between 33 and 57 s of this one.
    private RecordedTape Recorded(TapeDirection direction)
    {
        var session = Deck.Record(Tape(60), Options with { Direction = direction });
        using var program = Sound();
        session.Feed(program);
        return session.Finish();
    }

    private RecordedTape Erased()
    {
        var session = Deck.Record(Recorded(Direction), Options with { Seed = Seed + 1 });
        var silence = new float[SampleRateHz];
        for (var second = 0; second < 8 + ErasedSeconds + AfterSeconds; second++)
            session.Feed(silence, silence);
        return session.Finish();
    }

    private PlayOptions Playing(double seconds, double start) => new()
    {
        Direction = Direction,
        SpeedCmPerS = SpeedCmPerS,
        StartSeconds = start,
        DurationSeconds = seconds,
        SampleRateHz = SampleRateHz,
        Seed = Seed + 2,
        ReferenceDbfs = AutoReverseJob.ReferenceDbfs,
        InterfaceClockPpm = AutoReverseJob.ClockPpm,
    };
}

/// <summary>Sounds one after another.</summary>
internal sealed class InARow(params SoundSource[] sounds) : SoundSource
{
    private int _now;

    /// <inheritdoc/>
    public override int SampleRateHz => sounds[0].SampleRateHz;

    /// <inheritdoc/>
    public override int Channels => 2;

    /// <inheritdoc/>
    public override long? Frames => sounds.Sum(s => s.Frames);

    /// <inheritdoc/>
    public override IReadOnlyList<Signal.Note> Notes => [];

    /// <inheritdoc/>
    public override int Read(Span<float> left, Span<float> right)
    {
        for (; _now < sounds.Length; _now++)
        {
            if (sounds[_now].Read(left, right) is > 0 and var n)
                return n;
        }

        return 0;
    }
}
