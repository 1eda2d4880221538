using Spoolwright.App.Web;
using Spoolwright.Bench;
using Spoolwright.Bench.Controls;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Live;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Hidden;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Tape;

namespace Spoolwright.App.Tests.Live;

/// <summary>
/// Every adjustment of the bench on a practice deck whose controls were turned away, without a browser and faster than it plays: turned as the desk advises, each
/// control comes within its limits in few turns.
/// </summary>
public sealed class TurnDeskTests
{
    private const int Rate = 48_000;
    private const int Picture = 1600;
    private const double SecondsAMove = 3.2;
    private static readonly DeckProfile Profile = DeckProfileFile.Parse(BookCalls.ExampleProfile()).Value!;

    [Theory]
    [InlineData("speed", "speed", 0.2)]
    [InlineData("azimuth", "azimuth", -0.7)]
    [InlineData("level", "level", 0.1)]
    [InlineData("equalization", "azimuth", -0.7)]
    [InlineData("record-level", "level", 0.12)]
    [InlineData("record-equalization", "response", 0.7)]
    [InlineData("bias", "bias", -0.7)]
    public void Adjustment_TurnedAsAdvised_ComesWithinItsLimits(string id, string sound, double away)
    {
        var adjustment = LiveAdjustment.Find(id)!;
        var learner = new LearnersDeck(11, []);
        var names = Names(id);
        foreach (var name in names)
            learner.Board.Turn(name, away);
        var bench = new FastBench(learner, adjustment, names, sound);
        if (id == "bias")
            bench.OverTheTop();
        for (var move = 0; move < 9; move++)
        {
            bench.Hear(SecondsAMove);
            if (bench.Desk.Lines.All(l => l.Advice is { Outcome: TurnOutcome.Met }))
                break;
            foreach (var line in bench.Desk.Lines)
            {
                if (line.Advice is { Outcome: TurnOutcome.Turn } advice && !line.IsPending)
                    bench.Turn(line.Control.Name, advice.Turns[0].Legs);
            }
        }

        var hills = string.Join("; ", bench.Hills.Select(h => h.ToString()));
        Assert.All(bench.Desk.Lines, l => Assert.True(l.Advice is { Outcome: TurnOutcome.Met }, $"{l.Control.Name}: {l.Now?.Reading.Value} {l.Now?.Reading.Unit}, {l.Advice?.Outcome} {l.Advice?.Reason}, moves {l.Moves}; {hills}"));
        Assert.All(bench.Desk.Lines, l => Assert.InRange(l.Moves, 0, 6));
        Assert.All(bench.Desk.Lines, l => Assert.Equal(Verdict.Met, l.Now!.Judgement!.Verdict));
        if (id != "bias")
            Assert.Contains(bench.Desk.Lines, l => l.Moves > 0); // it was turned away: something had to be turned
    }

    // The playback head leans by 1.4 arcmin; what the record head is set to is the tape, not that lean: 3 arcmin of it are the limit, 14 a turn.
    [Fact]
    public void RecordHead_BehindALeaningPlaybackHead_IsSetSquareToTheTape()
    {
        var learner = new LearnersDeck(11, []);
        var square = learner.Board.Control("forward.record-azimuth").WiperTurns;
        learner.Board.Turn("forward.play-azimuth", 0.1);
        learner.Board.Turn("forward.record-azimuth", 0.5);
        var bench = new FastBench(learner, LiveAdjustment.Find("record-azimuth")!, Names("record-azimuth"), "response");
        for (var move = 0; move < 9 && bench.Desk.Lines[0].Advice is not { Outcome: TurnOutcome.Met }; move++)
        {
            bench.Hear(SecondsAMove);
            if (bench.Desk.Lines[0] is { Advice: { Outcome: TurnOutcome.Turn } advice, IsPending: false } line)
                bench.Turn(line.Control.Name, advice.Turns[0].Legs);
        }

        var at = bench.Desk.Lines[0];
        Assert.True(at.Advice is { Outcome: TurnOutcome.Met }, $"{at.Now?.Reading.Value} µs, {at.Advice?.Outcome} {at.Advice?.Reason}, moves {at.Moves}");
        Assert.InRange(at.Moves, 1, 4);
        Assert.InRange(learner.Board.Control("forward.record-azimuth").WiperTurns, square - (3.0 / 14), square + (3.0 / 14));
    }

    [Fact]
    public void RecordHead_WithNoWordOfThePlaybackHead_HasNoFigure()
    {
        var meters = new LiveMeters(Rate, new LiveContext { Profile = Profile, Condition = new Condition(Direction.Forward, 19.05, "normal"), Sent = SentSignal.Find("response", 19.05) });
        float[] left = new float[Rate], right = new float[Rate];
        for (var i = 0; i < Rate; i++)
            left[i] = right[i] = (float)(0.1 * Math.Sin(2 * Math.PI * 1000 * i / Rate));
        meters.Add(left, right);
        var picture = meters.Read(withRings: false);
        Assert.NotNull(picture.Skew);
        Assert.DoesNotContain(picture.Readings, r => r.Reading.Quantity == Quantity.RecordTimeSkew.Id);
        Assert.Null(LiveAdjustment.Find("record-azimuth")!.Reading(picture, new LiveContext(), Channel.Both));
    }

    // Its right replay head is dirty: no trimmer brings 10 kHz up there, and the desk says so after going no other way than towards the stop.
    [Theory]
    [InlineData("record-equalization", "response")]
    [InlineData("equalization", "azimuth")]
    public void Equalization_OfADirtyHead_GoesToTheStopAndSaysSo(string id, string sound)
    {
        var learner = LearnersDeck.Draw(4242, 3);
        Assert.Contains(learner.HiddenFaults, f => f.Name == "dirty-replay-head.forward.right");
        var names = Names(id);
        var bench = new FastBench(learner, LiveAdjustment.Find(id)!, names, sound);
        bench.HearUntil(l => l is { Now: not null, Advice: not null, IsPending: false });
        var values = new List<double>();
        for (var move = 0; move < 5 && bench.Desk.Lines[1].Advice is { Outcome: TurnOutcome.Turn } advice; move++)
        {
            values.Add(bench.Desk.Lines[1].Now!.Reading.Value);
            bench.TurnByKeys(names[1], advice.Turns[0].Legs);
            bench.HearUntil(l => l is { Now: not null, Advice: not null, IsPending: false });
        }

        Assert.Equal(TurnOutcome.EndStop, bench.Desk.Lines[1].Advice!.Outcome);
        Assert.Equal(values.Order(), values);
        Assert.Equal(TurnOutcome.Met, bench.Desk.Lines[0].Advice!.Outcome);
    }

    // A hand that goes back in quick turns, and down slowly again: what was quick leaves no doubt behind on what stands now.
    [Fact]
    public void Bias_GoneBackQuicklyAndOverTheTopAgain_IsKnownWellEnoughToBeMet()
    {
        var learner = LearnersDeck.Draw(4242, 3);
        var names = Names("bias");
        var bench = new FastBench(learner, LiveAdjustment.Find("bias")!, names, "bias");
        bench.Hear(2.5);
        foreach (var name in names)
        {
            for (var i = 0; i < 10; i++)
            {
                bench.Turn(name, [-0.05]);
                bench.Hear(0.1);
            }
        }

        for (var move = 0; move < 8; move++)
        {
            bench.Hear(4);
            for (var row = 0; row < 2; row++)
            {
                switch (bench.Desk.Lines[row].Advice)
                {
                    case { Outcome: TurnOutcome.Turn } advice:
                        bench.TurnByKeys(names[row], advice.Turns[0].Legs);
                        break;
                    case null or { Outcome: TurnOutcome.NoiseTooLarge or TurnOutcome.MeasureAgain }:
                        bench.OverSlowly(row);
                        break;
                }
            }
        }

        Assert.All(bench.Desk.Lines, l => Assert.True(l.Advice is { Outcome: TurnOutcome.Met }, $"{l.Control.Name} at {l.Control.Now().Start}: {l.Now?.Reading.Value} ± {l.Now?.Reading.Uncertainty}, {l.Advice?.Outcome} {l.Advice?.Reason}; {string.Join("; ", bench.Hills)}"));
    }

    private static string[] Names(string id) => id switch
    {
        "speed" => ["speed"],
        "azimuth" => ["forward.play-azimuth"],
        "level" => ["forward.left.play-level", "forward.right.play-level"],
        "equalization" => ["forward.left.play-eq", "forward.right.play-eq"],
        "record-azimuth" => ["forward.record-azimuth"],
        "bias" => ["forward.left.normal.bias", "forward.right.normal.bias"],
        "record-level" => ["forward.left.normal.record-level", "forward.right.normal.record-level"],
        _ => ["forward.left.normal.record-eq", "forward.right.normal.record-eq"],
    };

    /// <summary>A practice deck joined to live meters and a desk, run as fast as the machine can.</summary>
    private sealed class FastBench
    {
        private readonly LearnersDeck _learner;
        private readonly LiveContext _context;
        private readonly LiveMeters _meters;
        private readonly PracticeTape? _tape;
        private double _at;

        public FastBench(LearnersDeck learner, LiveAdjustment adjustment, string[] names, string sound)
        {
            _learner = learner;
            var sent = adjustment.Id is "bias" or "record-azimuth" or "record-level" or "record-equalization" ? SentSignal.Find(sound, 19.05) : null;
            _tape = sent is null ? PracticeTapes.Of(sound, 19.05) : null;
            _context = new LiveContext
            {
                Profile = Profile,
                Condition = new Condition(Direction.Forward, 19.05, "normal"),
                TestTape = _tape is null ? null : TestTapeFile.Parse(TestTapeLeaflet.ToJson(_tape)).Value,
                Sent = sent,
                ReferenceDb = -12,
                IsMadeHere = true,
            };
            if (adjustment.Id == "record-azimuth")
                _context = _context with { PlaybackSkew = Played() };
            _meters = new LiveMeters(Rate, _context);
            Desk = new TurnDesk(adjustment, [.. names.Select(n => new DeskControl(n, n.Contains("left") ? Channel.Left : n.Contains("right") ? Channel.Right : Channel.Both, () => Now(n, adjustment)))]);
        }

        public TurnDesk Desk { get; }

        public IReadOnlyList<LiveHill> Hills => _meters.Read(withRings: false).Hills;

        public void Turn(string name, IReadOnlyList<double> legs)
        {
            foreach (var leg in legs)
                Desk.Turned(name, _learner.Board.Turn(name, leg).MovedTurns, _meters.Read(withRings: false).Input.Seconds);
        }

        // The playback head by a test tape, as the azimuth screen hears it.
        private PlaybackSkew Played()
        {
            var tape = PracticeTapes.Of("azimuth", 19.05);
            var meters = new LiveMeters(Rate, _context with { Sent = null, TestTape = TestTapeFile.Parse(TestTapeLeaflet.ToJson(tape)).Value });
            using var pass = _learner.Board.Deck.Play(tape, new PlayOptions { SpeedCmPerS = 19.05, DurationSeconds = tape.Seconds, SampleRateHz = Rate, Seed = 3, ReferenceDbfs = -12 });
            float[] left = new float[Picture], right = new float[Picture];
            LiveSkew? sharpest = null;
            while (pass.Sound.Read(left, right) is > 0 and var n)
            {
                meters.Add(left.AsSpan(0, n), right.AsSpan(0, n));
                if (meters.Read(withRings: false).Skew is { Cycle: not CycleChoice.Nearest } skew && skew.Uncertainty <= (sharpest?.Uncertainty ?? 1))
                    sharpest = skew;
            }

            return new PlaybackSkew(sharpest!.Microseconds, sharpest.Uncertainty);
        }

        // As the page asks where the top is not known well: back under it, and slowly over it again.
        public void OverSlowly(int row)
        {
            var name = Desk.Lines[row].Control.Name;
            bool Stands(string side, double drop) => Desk.Lines[row].Now is { } now && now.Reading.Class == side && Math.Abs(now.Reading.Value) > drop;
            for (var i = 0; i < 40 && !Stands("under", 2) && _learner.Board.Control(name) is var knob && knob.ShaftTurns > knob.LeastTurns + 0.005; i++)
            {
                TurnByKeys(name, [-0.02]);
                Hear(0.15);
            }

            for (var i = 0; i < 75 && !Stands("over", 3.6); i++)
            {
                TurnByKeys(name, [0.01]);
                Hear(0.5);
            }
        }

        public void HearUntil(Predicate<DeskLine> stands)
        {
            for (var heard = 0; heard < 60 && (heard == 0 || !Desk.Lines.All(l => stands(l))); heard++)
                Hear(1);
        }

        public void TurnByKeys(string name, IReadOnlyList<double> legs)
        {
            foreach (var leg in legs)
            {
                var left = Math.Abs(leg);
                for (; left > 0.05; left -= 0.05)
                    Turn(name, [Math.Sign(leg) * 0.05]);
                for (; left > 0.005; left -= 0.01)
                    Turn(name, [Math.Sign(leg) * 0.01]);
            }
        }

        // As a hand does it: up in small turns until each channel has gone over its top.
        public void OverTheTop()
        {
            Hear(2.5);
            for (var i = 0; i < 40 && !Desk.Lines.All(l => l.Advice is not null); i++)
            {
                foreach (var line in Desk.Lines.Where(l => l.Advice is null))
                    Turn(line.Control.Name, [0.02]);
                Hear(1.0);
            }
        }

        public void Hear(double seconds)
        {
            var deck = _learner.Board.Deck;
            var frames = (int)(seconds * Rate);
            float[] left = new float[Picture], right = new float[Picture];
            using var pass = _tape is { } tape ? (IDisposable)deck.Play(tape, new PlayOptions { SpeedCmPerS = 19.05, StartSeconds = _at, DurationSeconds = seconds, SampleRateHz = Rate, Seed = 3, ReferenceDbfs = -12 }) : Recording(deck, seconds + 0.5);
            var sound = pass is PlaySession play ? play.Sound : ((MonitorSession)pass).Sound;
            _meters.PassOverJoint();
            if (_tape is null)
                Skip(sound, Rate / 2, left, right);
            for (var done = 0; done < frames; done += Picture)
            {
                if (sound.Read(left, right) < Picture)
                    break;
                _meters.Add(left, right);
                Desk.See(_meters.Read(withRings: false), _context);
            }

            _at += seconds;
        }

        private MonitorSession Recording(PracticeDeck deck, double seconds) => deck.Monitor(
            RecordedTape.Blank(deck.Recorder!.Setting("normal").LaidOutFor, 19.05, Rate, 600),
            new RecordOptions { SpeedCmPerS = 19.05, Setting = "normal", SampleRateHz = Rate, StartSeconds = _at, Seed = 3, ReferenceDbfs = -12 },
            new SteadyTones(_context.Sent!, Rate, -12, _at),
            seconds);

        private static void Skip(Spoolwright.Signal.Sound.SoundSource sound, int frames, float[] left, float[] right)
        {
            for (var left1 = frames; left1 > 0; left1 -= Picture)
                sound.Read(left.AsSpan(0, Math.Min(Picture, left1)), right.AsSpan(0, Math.Min(Picture, left1)));
        }

        private Control Now(string name, LiveAdjustment adjustment)
        {
            var control = _learner.Board.Control(name);
            return new Control { Name = name, Unit = TurnUnit.Turn, From = control.LeastTurns, To = control.MostTurns, Start = control.ShaftTurns, Kind = adjustment.Control };
        }
    }
}
