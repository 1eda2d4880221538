using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;
using Spoolwright.Signal;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;
using Direction = Spoolwright.Bench.Direction;

namespace Spoolwright.App.Tests.Causes;

/// <summary>Takes a deck's readings as a person does: its true sound through a 24-bit capture, measured by the catalogue, every noise
/// on.</summary>
internal sealed class ProofBench(PracticeDeck deck, long seed)
{
    private const int RateHz = 48000;
    private const double ReferenceDbfs = -16;
    private static readonly Lazy<DeckProfile> Known = new(() =>
        DeckProfileFile.Parse(File.ReadAllText(Path.Combine(Cli.Tree.Root, "examples", "deck-profile.json"))).Value!
    );
    private readonly List<(string Measurement, Condition Condition, IReadOnlyList<Reading> Readings)> _taken = [];

    public static DeckProfile Profile => Known.Value;

    /// <summary>Every capture of the proof.</summary>
    public IReadOnlyList<(string Measurement, Condition Condition, IReadOnlyList<Reading> Readings)> Take()
    {
        foreach (var direction in new[] { TapeDirection.Forward, TapeDirection.Reverse })
        {
            Speed(direction);
            foreach (var speed in new[] { 19.05, 9.525 })
                Levels(direction, speed);
            foreach (var setting in new[] { "normal", "high" })
                Record(direction, setting);
            Noise(direction);
            Bias(direction, "normal");
            Bias(direction, "high");
            Erase(direction);
        }

        return _taken;
    }

    private void Speed(TapeDirection direction)
    {
        var options = Playing(direction, 19.05, 14) with { StartSeconds = 40 };
        Measure("speed", Of(direction, 19.05), Played(RestorersTapes.Speed(19.05), options), new MeasurementSettings());
    }

    private void Levels(TapeDirection direction, double speed)
    {
        var tape = Tape(speed);
        var options = Playing(direction, speed, Math.Ceiling(tape.Seconds * 1.01) + 2) with
        {
            Backward = direction == TapeDirection.Reverse,
            LeadInSeconds = 0.5,
        };
        var capture = Played(tape, options);
        var settings = new MeasurementSettings { TestTape = TestTapeFile.Parse(TestTapeLeaflet.ToJson(tape)).Value };
        Measure("playback", Of(direction, speed), capture, settings);
        Measure("azimuth", Of(direction, speed), capture, settings);
    }

    private void Record(TapeDirection direction, string setting)
    {
        var program = ProgramList.Make(ProgramList.Find("multitone")!, brief: true);
        var capture = Monitored(direction, setting, program, [], program.Seconds + 1);
        var condition = Of(direction, 19.05);
        var playback = _taken
            .Where(t => t.Measurement is "playback" or "azimuth" && t.Condition == condition)
            .SelectMany(t => t.Readings)
            .ToArray();
        Measure("record", condition with { TapeSetting = setting }, capture, new MeasurementSettings { PlaybackReadings = playback });
    }

    private void Noise(TapeDirection direction)
    {
        var program = ProgramList.Make(ProgramList.Find("blank")!, null, 4);
        var capture = Monitored(direction, "normal", program, [], program.Seconds + 1);
        Measure("noise", Of(direction, 19.05) with { TapeSetting = "normal" }, capture, new MeasurementSettings());
    }

    private void Bias(TapeDirection direction, string setting)
    {
        var program = ProgramList.Make(ProgramList.Find("bias")!, 10_000, 22);
        var capture = Monitored(direction, setting, program, [new(2, -7), new(16, 1.5), new(18, 0)], program.Seconds + 1);
        Measure("bias", Of(direction, 19.05) with { TapeSetting = setting }, capture, new MeasurementSettings());
    }

    private void Erase(TapeDirection direction)
    {
        var options = Recording(direction, "normal", []);
        var session = deck.Record(RecordedTape.Blank(TapeStock.Hembury, 19.05, RateHz, 20), options);
        using var program = new ProgramSound(ProgramList.Make(ProgramList.Find("dropouts")!, null, 5), RateHz, ReferenceDbfs, Sides.Both);
        session.Feed(program);
        var recorded = session.Finish();
        var again = deck.Record(recorded, options with { Seed = options.Seed + 1 });
        var silence = new float[RateHz];
        for (var second = 0; second < 8; second++)
            again.Feed(silence, silence);
        var erased = again.Finish();
        var tone = Captured(deck.Play(recorded, Playing(direction, 19.05, 4) with { StartSeconds = 2.5 }).Sound);
        var rest = Captured(deck.Play(erased, Playing(direction, 19.05, 4) with { StartSeconds = 2.5 }).Sound);
        Measure(
            "erase",
            Of(direction, 19.05) with
            {
                TapeSetting = "normal",
            },
            rest,
            new MeasurementSettings { NominalHz = 1000, OpenRecorded = () => Open(tone) }
        );
    }

    private void Measure(string id, Condition condition, byte[] capture, MeasurementSettings settings)
    {
        using var sound = Open(capture);
        var full = settings with { Profile = Profile, Condition = condition };
        IReadOnlyList<Reading> readings;
        try
        {
            readings = Catalogue.Find(id)!.Measure!(sound, full, null).Readings;
        }
        catch (CannotMeasureException e)
        {
            Console.Error.WriteLine($"{id} {condition}: {e.Message}");
            readings = [];
        }

        _taken.Add((id, condition, readings));
    }

    private byte[] Played(PracticeTape tape, PlayOptions options)
    {
        using var session = deck.Play(tape, options);
        return Captured(session.Sound);
    }

    private byte[] Monitored(TapeDirection direction, string setting, SignalProgram program, IReadOnlyList<BiasMove> moves, double seconds)
    {
        using var fed = new ProgramSound(program, RateHz, ReferenceDbfs, Sides.Both);
        var stock = deck.Recorder!.Setting(setting).LaidOutFor;
        using var session = deck.Monitor(RecordedTape.Blank(stock, 19.05, RateHz), Recording(direction, setting, moves), fed, seconds);
        return Captured(session.Sound);
    }

    private PlayOptions Playing(TapeDirection direction, double speed, double seconds) => new()
    {
        Direction = direction,
        SpeedCmPerS = speed,
        DurationSeconds = seconds,
        SampleRateHz = RateHz,
        Seed = (seed * 100) + _taken.Count,
        ReferenceDbfs = ReferenceDbfs,
        InterfaceClockPpm = 4,
    };

    private RecordOptions Recording(TapeDirection direction, string setting, IReadOnlyList<BiasMove> moves) => new()
    {
        Direction = direction,
        SpeedCmPerS = 19.05,
        Setting = setting,
        SampleRateHz = RateHz,
        Seed = (seed * 100) + _taken.Count,
        ReferenceDbfs = ReferenceDbfs,
        InterfaceClockPpm = 4,
        BiasMoves = moves,
    };

    private static Condition Of(TapeDirection direction, double speed) =>
        new(direction == TapeDirection.Forward ? Direction.Forward : Direction.Reverse, speed);

    // The restorer's tape in short: the same tones and errors of the leaflet, each as long as it needs to be read.
    private static PracticeTape Tape(double speed)
    {
        var whole = RestorersTapes.Levels(speed);
        return whole with
        {
            Tones =
            [
                .. whole.Tones.Select(t =>
                    t with
                    {
                        Seconds = t.Role switch
                        {
                            PracticeToneRole.Response => 1.2,
                            PracticeToneRole.Azimuth => t.Seconds,
                            _ => 2,
                        },
                        GapSeconds = 0.4,
                        Announced = false,
                    }
                ),
            ],
        };
    }

    private static SoundFileReader Open(byte[] capture) => SoundFile.Open(new MemoryStream(capture));

    private static byte[] Captured(SoundSource sound)
    {
        using var stream = new MemoryStream();
        using (var writer = new WavWriter(stream, RateHz, 2, WavSamples.Integer24, leaveOpen: true))
        {
            var (left, right) = (new float[4096], new float[4096]);
            for (int got; (got = sound.Read(left, right)) > 0;)
                writer.Write(left.AsSpan(0, got), right.AsSpan(0, got));
        }

        return stream.ToArray();
    }
}
