using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Scenario;
using Spoolwright.Signal;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Benchmarks.Matrix;

/// <summary>Makes the matrix's captures by the practice deck, all noises on, at 96 kHz and 24 bits; a capture that is there is left as it
/// is.</summary>
internal static class MatrixCaptures
{
    private const int RateHz = 96000;
    private const double Tail = 1;

    public static void Make(string folder)
    {
        Directory.CreateDirectory(folder);
        var missing = MatrixPass.All.Where(p => !File.Exists(Path.Combine(folder, p.FileName))).ToArray();
        if (missing.Length > 0)
            Console.Error.WriteLine($"making {missing.Length} captures in {folder}");
        Parallel.ForEach(missing, new ParallelOptions { MaxDegreeOfParallelism = 2 }, pass =>
        {
            var path = Path.Combine(folder, pass.FileName);
            using (var file = new FileStream(path + ".part", FileMode.Create, FileAccess.ReadWrite, FileShare.None, 1 << 20))
                Write(pass, file);
            File.Move(path + ".part", path);
        });
    }

    private static void Write(MatrixPass pass, FileStream file)
    {
        var deck = AutoReverseDeck.AsLeft;
        switch (pass.Kind)
        {
            case "speed":
                using (var session = deck.Play(RestorersTapes.Speed(pass.Cell.SpeedCmPerS), Played(pass, 60) with { StartSeconds = 20 }))
                    Copy(session.Sound, file);
                return;
            case "levels":
                using (var session = deck.Play(RestorersTapes.Levels(pass.Cell.SpeedCmPerS), Played(pass, 74)))
                    Copy(session.Sound, file);
                return;
            case "erase":
                Erased(deck, pass, file);
                return;
            case "crosstalk":
                Monitored(deck, pass, new OneSideThenTheOther(), 36, [], file);
                return;
            default:
                var (program, moves) = Program(pass.Kind, pass.Cell.SpeedCmPerS);
                using (var fed = new ProgramSound(program, RateHz, MatrixCell.ReferenceDbfs))
                    Monitored(deck, pass, fed, program.Seconds + Tail, moves, file);
                return;
        }
    }

    private static (SignalProgram Program, IReadOnlyList<BiasMove> Moves) Program(string kind, double speed)
    {
        var known = ProgramList.Find(kind)!;
        return kind switch
        {
            "bias" => (ProgramList.Make(known, speed > 15 ? 10_000 : 5_000, 45), [new(2, -9), new(38, 1), new(42, 0)]),
            "blank" => (ProgramList.Make(known, null, 40), []),
            "dropouts" => (ProgramList.Make(known, 1000, 60), []),
            _ => (ProgramList.Make(known), []),
        };
    }

    private static void Monitored(
        PracticeDeck deck,
        MatrixPass pass,
        SoundSource fed,
        double seconds,
        IReadOnlyList<BiasMove> moves,
        FileStream file
    )
    {
        using var session = deck.Monitor(
            RecordedTape.Blank(pass.Cell.Stock, pass.Cell.SpeedCmPerS), Recorded(pass) with { BiasMoves = moves }, fed, seconds);
        Copy(session.Sound, file);
    }

    // A tone over all of it, then its second half recorded over with nothing, then played.
    private static void Erased(PracticeDeck deck, MatrixPass pass, FileStream file)
    {
        const int Half = 22;
        var record = deck.Record(RecordedTape.Blank(pass.Cell.Stock, pass.Cell.SpeedCmPerS), Recorded(pass));
        var tone = new OneSideThenTheOther { BothSides = true };
        var (left, right) = (new float[RateHz], new float[RateHz]);
        for (var s = 0; s < 2 * Half; s++)
        {
            tone.Read(left, right);
            record.Feed(left, right);
        }

        var again = deck.Record(record.Finish(), Recorded(pass) with { StartSeconds = Half, Seed = 2 });
        var silence = new float[RateHz];
        for (var s = 0; s < Half; s++)
            again.Feed(silence, silence);
        using var session = deck.Play(again.Finish(), Played(pass, (2 * Half) - 1));
        Copy(session.Sound, file);
    }

    private static RecordOptions Recorded(MatrixPass pass) => new()
    {
        Direction = pass.Cell.Direction,
        SpeedCmPerS = pass.Cell.SpeedCmPerS,
        Setting = pass.Cell.Setting,
        SampleRateHz = RateHz,
        ReferenceDbfs = MatrixCell.ReferenceDbfs,
    };

    private static PlayOptions Played(MatrixPass pass, double seconds) => new()
    {
        Direction = pass.Cell.Direction,
        SpeedCmPerS = pass.Cell.SpeedCmPerS,
        Backward = pass.Kind is "speed" or "levels" && pass.Cell.Direction == TapeDirection.Reverse,
        SampleRateHz = RateHz,
        DurationSeconds = seconds,
        ReferenceDbfs = MatrixCell.ReferenceDbfs,
    };

    private static void Copy(SoundSource sound, Stream file)
    {
        using var writer = new WavWriter(file, RateHz, 2, WavSamples.Integer24, leaveOpen: true);
        var (left, right) = (new float[4096], new float[4096]);
        for (int got; (got = sound.Read(left, right)) > 0;)
            writer.Write(left.AsSpan(0, got), right.AsSpan(0, got));
    }

    /// <summary>1 kHz at reference level: 18 s on the left, then on the right; or on both.</summary>
    private sealed class OneSideThenTheOther : SoundSource
    {
        private long _at;

        public bool BothSides { get; init; }

        public override int SampleRateHz => RateHz;

        public override int Channels => 2;

        public override long? Frames => null;

        public override IReadOnlyList<Note> Notes => [];

        public override int Read(Span<float> left, Span<float> right)
        {
            var peak = Math.Pow(10, MatrixCell.ReferenceDbfs / 20);
            for (var i = 0; i < left.Length; i++, _at++)
            {
                var value = (float)(peak * Math.Sin(2 * Math.PI * (_at % 96 / 96.0)));
                left[i] = BothSides || _at < 18L * RateHz ? value : 0;
                right[i] = BothSides || _at >= 18L * RateHz ? value : 0;
            }

            return left.Length;
        }
    }
}
