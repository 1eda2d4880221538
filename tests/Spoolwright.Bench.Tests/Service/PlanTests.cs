using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;

namespace Spoolwright.Bench.Tests.Service;

public sealed class PlanTests
{
    private static readonly DateTimeOffset Now = new(2026, 3, 26, 17, 0, 0, TimeSpan.Zero);
    private static readonly DeckProfile AutoReverse =
        new() { Name = "r", Directions = [Direction.Forward, Direction.Reverse], SpeedsCmPerS = [9.525, 19.05], TapeSettings = ["a", "b"] };
    private static readonly DeckProfile OneWay = new() { Name = "f", Directions = [Direction.Forward], SpeedsCmPerS = [19.05] };

    [Fact]
    public void DefaultPlan_Read_HasEveryStageAndAboutSixteenHoursOfRestoration()
    {
        var plan = PlanLibrary.Default;
        Assert.Empty(PlanFile.Parse(PlanLibrary.DefaultJson).Problems);
        Assert.Equal(Enum.GetValues<Stage>(), plan.Tasks.Select(t => t.Stage).Distinct());
        // Common practice, no source: a whole restoration takes about 16 hours, strip to as left.
        var minutes = plan.Tasks.Where(t => t.Stage is >= Stage.Strip and <= Stage.AsLeft).Sum(t => t.Minutes);
        Assert.InRange(minutes / 60.0, 15, 17);
        Assert.All(plan.Tasks, t => Assert.True(t.Why.Length > 20, t.Key));
    }

    [Theory]
    [InlineData("mains-check", "mains")]
    [InlineData("covers", "stored-charge")]
    [InlineData("clean-path", "solvents")]
    [InlineData("demagnetise", "strong-field")]
    [InlineData("brakes", "moving-parts")]
    [InlineData("azimuth", "test-tape")]
    public void DefaultPlan_WhereItCanHurt_CarriesTheCaution(string task, string caution)
    {
        Assert.Contains(caution, PlanLibrary.Default.Tasks.Single(t => t.Key == task).Cautions);
        Assert.True(Cautions.Text(caution).Length > 60);
    }

    [Fact]
    public void DefaultPlan_PutsTensionBeforeSpeedBeforeAzimuthBeforePlaybackBeforeRecord()
    {
        var tasks = PlanLibrary.Default.Tasks.ToDictionary(t => t.Key);
        foreach (var (first, then) in new[] { ("tensions", "speed"), ("speed", "azimuth"), ("azimuth", "playback-equalization"),
            ("playback-equalization", "bias"), ("demagnetise", "azimuth") })
            Assert.True(Waits(then, first), $"{then} should wait for {first}");

        bool Waits(string task, string on) => tasks[task].Before.Any(b => b == on || Waits(b, on));
    }

    [Fact]
    public void Plan_WrittenAndRead_IsTheSame()
    {
        var back = PlanFile.Parse(PlanFile.ToJson(PlanLibrary.Default)).Value!;
        Assert.Equal(PlanFile.ToJson(PlanLibrary.Default), PlanFile.ToJson(back));
        Assert.Equal(PlanLibrary.Default.Tasks.Count, back.Tasks.Count);
    }

    [Theory]
    [InlineData(
        """{"name":"p","stages":[{"stage":"clean","tasks":[{"key":"a","title":"t","why":"w","minutes":5,"before":["b"]},{"key":"b","title":"t","why":"w","minutes":5}]}]}""",
        "does not stand before it"
    )]
    [InlineData(
        """{"name":"p","stages":[{"stage":"clean","tasks":[{"key":"a","title":"t","why":"w","minutes":5,"before":["ab"]}]}]}""",
        "no task has the key \"ab\""
    )]
    [InlineData(
        """{"name":"p","stages":[{"stage":"clean","tasks":[{"key":"a","title":"t","why":"w","minutes":5,"cautions":["mians"]}]}]}""",
        "did you mean \"mains\"?"
    )]
    [InlineData(
        """{"name":"p","stages":[{"stage":"strip","tasks":[{"key":"a","title":"t","why":"w","minutes":5,"caution ":"x"}]}]}""",
        "unknown property"
    )]
    [InlineData("""{"name":"p","stages":[{"stage":"strip","tasks":[]},{"stage":"intake","tasks":[]}]}""", "order of the trade")]
    [InlineData("""{"name":"p","stages":[]}""", "no task")]
    public void Plan_WithAMistake_IsRefusedAtItsPlace(string json, string says)
    {
        var parsed = PlanFile.Parse(json);
        Assert.Null(parsed.Value);
        Assert.Contains(parsed.Problems, p => p.Text.Contains(says, StringComparison.Ordinal));
    }

    [Fact]
    public void LayOut_OnADeckOfOneDirection_LeavesReverseOutAndNobodyWaitsForIt()
    {
        var all = PlanLibrary.Default.LayOut(Guid.NewGuid(), AutoReverse);
        var some = PlanLibrary.Default.LayOut(Guid.NewGuid(), OneWay);
        Assert.Contains(all, t => t.Key == "azimuth-reverse");
        Assert.DoesNotContain(some, t => t.Key.Contains("reverse", StringComparison.Ordinal));
        var keys = some.Select(t => t.Key).ToHashSet();
        Assert.All(some, t => Assert.All(t.Before, b => Assert.Contains(b, keys)));
    }

    [Fact]
    public void Board_AddsSittings_AndNamesWhatWaits()
    {
        var job = Guid.NewGuid();
        var tasks = PlanLibrary.Default.LayOut(job, AutoReverse);
        ClockEntry[] clock =
        [
            new() { JobId = job, TaskKey = "look-over", Day = new DateOnly(2026, 3, 26), Seconds = 600 },
            new() { JobId = job, TaskKey = "look-over", Day = new DateOnly(2026, 3, 26), Started = Now.AddMinutes(-50),
                Ended = Now.AddMinutes(-30) },
            new() { JobId = job, TaskKey = "look-over", Day = new DateOnly(2026, 3, 26), Started = Now.AddMinutes(-5) },
        ];
        var board = PlanBoard.Of(tasks, [], clock, Now);
        var task = board.Find("look-over");
        Assert.Equal(35, task.Spent.TotalMinutes);
        Assert.NotNull(task.Running);
        Assert.Equal("look-over", board.Next!.Task.Key);
        var waits = board.Find("first-power");
        Assert.Equal(["mains-check"], waits.WaitsFor.Select(w => w.Key));
        Assert.Contains("mains-check", Assert.Throws<EntryException>(() => PlanBoard.MayBegin(waits, null)).Message,
            StringComparison.Ordinal);
        PlanBoard.MayBegin(waits, "was checked by the seller's electrician");
        var done = PlanBoard.Of(tasks, [new TaskMark { JobId = job, TaskKey = "mains-check", State = TaskState.Skipped, Remark = "x" }],
            [], Now);
        Assert.Empty(done.Find("first-power").WaitsFor);
        Assert.Contains("did you mean", Assert.Throws<EntryException>(() => board.Find("cleanpath")).Message, StringComparison.Ordinal);
        Assert.Contains("several", Assert.Throws<EntryException>(() => board.Find("clean")).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void DefaultChecks_TryEachKeyFromEachOtherState_AndKnowWhatCouldRecord()
    {
        Assert.Empty(CheckListFile.Parse(CheckList.DefaultJson).Problems);
        var all = CheckList.Default.LayOut(Guid.NewGuid(), AutoReverse);
        Assert.Equal(all.Count, all.Select(c => c.Key).Distinct().Count());
        foreach (var key in new[] { "stop", "play", "play-reverse", "fast-forward", "rewind", "pause" })
        {
            foreach (var state in new[] { "stop", "play", "play-reverse", "fast-forward", "rewind", "record" })
                Assert.Equal(key != state, all.Any(c => c.Key == $"{key}-from-{state}"));
        }

        Assert.All(all.Where(c => c.Key.StartsWith("record", StringComparison.Ordinal)
            || c.Key.EndsWith("-from-record", StringComparison.Ordinal)), c => Assert.True(c.CouldRecord, c.Key));
        Assert.False(all.Single(c => c.Key == "lamps").CouldRecord);
        Assert.DoesNotContain(CheckList.Default.LayOut(Guid.NewGuid(), OneWay), c => c.Key.Contains("reverse", StringComparison.Ordinal));
        var back = CheckListFile.Parse(CheckListFile.ToJson(CheckList.Default)).Value!;
        Assert.Equal(CheckListFile.ToJson(CheckList.Default), CheckListFile.ToJson(back));
    }

    [Fact]
    public void Board_BlocksTheSignOff_UntilFaultsAreFixedOrAcceptedInWords()
    {
        var job = Guid.NewGuid();
        JobCheck[] checks = [new() { JobId = job, Key = "lamps", Ordinal = 0, Area = "a", Title = "Lamps", What = "w" },
            new() { JobId = job, Key = "remote", Ordinal = 1, Area = "a", Title = "Remote", What = "w" }];
        Fault[] faults = [new() { JobId = job, Id = Guid.NewGuid(), Assembly = "case", What = "scratch", FoundAt = Mark.AsFound }];
        CheckResult Left(string key, CheckOutcome outcome) =>
            new() { JobId = job, CheckKey = key, Mark = Mark.AsLeft, Outcome = outcome, Note = "n" };
        Assert.Equal(3, CheckBoard.Of(checks, [], [], faults, []).OpenPoints.Count);
        var tried = CheckBoard.Of(checks, [Left("lamps", CheckOutcome.Works), Left("remote", CheckOutcome.Fault)], [],
            [faults[0] with { State = FaultState.Accepted, Words = "said" }], []);
        Assert.Equal("remote", Assert.Single(tried.OpenPoints).Key);
        var accepted = CheckBoard.Of(checks, [Left("lamps", CheckOutcome.Works), Left("remote", CheckOutcome.Fault)],
            [new() { JobId = job, CheckKey = "remote", Words = "w" }], [], []);
        Assert.Empty(accepted.OpenPoints);
        Assert.Throws<EntryException>(() => (faults[0] with { State = FaultState.Accepted }).Check());
    }

    [Fact]
    public void Board_WhileATestTapeIsLoaded_WarnsOfWhatCouldRecordAlone()
    {
        var job = Guid.NewGuid();
        JobCheck record = new() { JobId = job, Key = "r", Ordinal = 0, Area = "a", Title = "t", What = "w", CouldRecord = true },
            lamps = record with { Key = "l", CouldRecord = false };
        LoadedTape test = new() { JobId = job, Kind = LoadedTapeKind.TestTape, Name = "Speed tape" },
            none = new() { JobId = job, Kind = LoadedTapeKind.None };
        var board = CheckBoard.Of([record, lamps], [], [], [], [test]);
        Assert.Contains("Speed tape", board.Warning(record), StringComparison.Ordinal);
        Assert.Null(board.Warning(lamps));
        Assert.Null(CheckBoard.Of([record], [], [], [], [test, none]).Warning(record));
        Assert.Null(CheckBoard.Of([record], [], [], [], [test with { Kind = LoadedTapeKind.Blank }]).Warning(record));
    }

    [Fact]
    public void Profile_WithAPlanAndChecks_IsOneFileThatReadsBack()
    {
        var profile = AutoReverse with { Plan = PlanLibrary.Default, FunctionChecks = CheckList.Default };
        var parsed = DeckProfileFile.Parse(DeckProfileFile.ToJson(profile));
        Assert.Empty(parsed.Problems);
        Assert.Equal(DeckProfileFile.ToJson(profile), DeckProfileFile.ToJson(parsed.Value!));
        Assert.Equal(PlanLibrary.Default.Tasks.Count, parsed.Value!.Plan!.Tasks.Count);
    }
}
