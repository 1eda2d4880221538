using Spoolwright.App.Desk;
using Spoolwright.App.Tests.Cli;
using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;

namespace Spoolwright.App.Tests.Desk;

public sealed class PlanDeskTests
{
    [Fact]
    public void Clock_StartedAndStopped_CountsTheTimeBetween()
    {
        using var shop = new Shop();
        var desk = new PlanDesk(shop.Book);
        desk.Start(shop.Job.Id, "look-over", Shop.Zone);
        shop.Clock.Wait(25);
        Assert.Equal(25, desk.Board(shop.Job.Id).Find("look-over").Spent.TotalMinutes);
        Assert.Contains("has been running since 2026-03-26 09:00",
            Assert.Throws<EntryException>(() => desk.Start(shop.Job.Id, "look-over", Shop.Zone)).Message, StringComparison.Ordinal);
        desk.Stop(shop.Job.Id);
        shop.Clock.Wait(60);
        desk.Toggle(shop.Job.Id, "look-over", Shop.Zone);
        shop.Clock.Wait(10);
        Assert.False(desk.Toggle(shop.Job.Id, "look-over", Shop.Zone).Runs);
        Assert.Equal(35, desk.Board(shop.Job.Id).Spent.TotalMinutes);
        Assert.Equal(2, desk.Sittings(shop.Job.Id).Count);
        Assert.Contains("no clock", Assert.Throws<EntryException>(() => desk.Stop(shop.Job.Id)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void SecondClock_InOneJob_NeedsASecondPerson()
    {
        using var shop = new Shop();
        var desk = new PlanDesk(shop.Book);
        desk.Start(shop.Job.Id, "clean-path", Shop.Zone, "in a hurry");
        shop.Clock.Wait(5);
        foreach (var start in new Action[] { () => desk.Start(shop.Job.Id, "look-over", Shop.Zone), () => desk.Toggle(shop.Job.Id, "look-over", Shop.Zone) })
            Assert.Contains(
                "the clock of clean-path has been running in this job since 2026-03-26 09:00: stop it first",
                Assert.Throws<EntryException>(start).Message,
                StringComparison.Ordinal
            );
        desk.Start(shop.Job.Id, "look-over", Shop.Zone, beside: true);
        shop.Clock.Wait(5);
        // Hours of people: ten minutes of the one, five of the other.
        Assert.Equal(15, desk.Board(shop.Job.Id).Spent.TotalMinutes);

        // A clock of another job is nobody's business here.
        var other = shop.Jobs.Open(shop.Deck, "Belt alone");
        Assert.True(desk.Start(other.Id, "look-over", Shop.Zone).Runs);
    }

    [Fact]
    public void Clock_InAClosedJob_IsRefused_AndForgottenHoursAreNot()
    {
        using var shop = new Shop();
        var desk = new PlanDesk(shop.Book);
        shop.Jobs.Close(shop.Job);
        shop.Clock.Wait(60);
        foreach (var start in new Action[] { () => desk.Start(shop.Job.Id, "look-over", Shop.Zone), () => desk.Toggle(shop.Job.Id, "look-over", Shop.Zone) })
            Assert.StartsWith(
                "the job was closed on 2026-03-26, so no clock starts in it",
                Assert.Throws<EntryException>(start).Message,
                StringComparison.Ordinal
            );
        Assert.Empty(desk.Sittings(shop.Job.Id, everything: true));
        desk.Enter(shop.Job.Id, "look-over", "20 min", Shop.Zone);
        Assert.Equal(20, desk.Board(shop.Job.Id).Spent.TotalMinutes);
    }

    [Fact]
    public void Clock_OfTheRecordStage_IsRefusedWhileATestTapeIsLoadedWhateverTheReason()
    {
        using var shop = new Shop();
        var (desk, checks) = (new PlanDesk(shop.Book), new CheckDesk(shop.Book));
        checks.Load(shop.Job.Id, LoadedTapeKind.TestTape, "Speed tape");
        foreach (var anyway in new[] { null, "in a hurry" })
            Assert.Contains(
                "once erased is gone",
                Assert.Throws<EntryException>(() => desk.Start(shop.Job.Id, "bias", Shop.Zone, anyway)).Message,
                StringComparison.Ordinal
            );
        Assert.Empty(desk.Sittings(shop.Job.Id, everything: true));
        // Another stage's clock runs with it, and this one's once the tape is off.
        desk.Start(shop.Job.Id, "clean-path", Shop.Zone, "in a hurry");
        desk.Stop(shop.Job.Id);
        checks.Load(shop.Job.Id, LoadedTapeKind.None, null);
        Assert.True(desk.Start(shop.Job.Id, "bias", Shop.Zone, "in a hurry").Runs);
    }

    [Fact]
    public void Clock_TurnedByAnotherBenchMeanwhile_IsLeftAsItIs()
    {
        using var shop = new Shop();
        var desk = new PlanDesk(shop.Book);
        // Both benches saw it standing; the first starts it.
        Assert.True(desk.Toggle(shop.Job.Id, "look-over", Shop.Zone, seen: false).Runs);
        Assert.Equal("the clock of “Look the deck over before it gets power” was started meanwhile, and is left as it is",
            Assert.Throws<EntryException>(() => desk.Toggle(shop.Job.Id, "look-over", Shop.Zone, seen: false)).Message);
        Assert.NotNull(desk.Board(shop.Job.Id).Find("look-over").Running);
        shop.Clock.Wait(5);
        Assert.False(desk.Toggle(shop.Job.Id, "look-over", Shop.Zone, seen: true).Runs);
        Assert.Contains(
            "was stopped meanwhile",
            Assert.Throws<EntryException>(() => desk.Toggle(shop.Job.Id, "look-over", Shop.Zone, seen: true)).Message,
            StringComparison.Ordinal
        );
        Assert.Single(desk.Sittings(shop.Job.Id));
    }

    [Fact]
    public void Sitting_Corrected_KeepsTheOldEntry()
    {
        using var shop = new Shop();
        var desk = new PlanDesk(shop.Book);
        shop.Clock.Wait(60 * 24);
        var first = desk.Enter(shop.Job.Id, "look-over", "yesterday 14:05-15:20", Shop.Zone);
        Assert.Equal(75, first.Length(shop.Book.Now).TotalMinutes);
        var second = desk.Correct(first.Id, "1:30", Shop.Zone);
        Assert.Equal(90, desk.Board(shop.Job.Id).Spent.TotalMinutes);
        var number = CheckBoard.ShortKey(first.Id);
        Assert.Equal($"sitting {number} was corrected, stopped or taken back since; clock list shows what stands now",
            Assert.Throws<EntryException>(() => desk.FindSitting(shop.Job.Id, number)).Message);
        desk.TakeBack(second.Id, "wrong deck");
        Assert.Equal(0, desk.Board(shop.Job.Id).Spent.TotalMinutes);
        Assert.Equal(3, desk.Sittings(shop.Job.Id, everything: true).Count);
    }

    [Fact]
    public void Sitting_ThatCannotHaveBeen_IsRefused()
    {
        using var shop = new Shop();
        var desk = new PlanDesk(shop.Book);
        string Refused(string typed) => Assert.Throws<EntryException>(() => desk.Enter(shop.Job.Id, "look-over", typed, Shop.Zone)).Message;
        Assert.Equal("2026-03-25 lies before the job was opened (2026-03-26)", Refused("yesterday 14:05-15:20"));
        Assert.Contains("lies before", Refused("yesterday 1 h"), StringComparison.Ordinal);
        shop.Clock.Wait(60 * 48);
        var first = desk.Enter(shop.Job.Id, "look-over", "yesterday 14 h", Shop.Zone);
        Assert.Equal("2026-03-27 has 14 h already, and with 14 h more that day would have over 24 hours", Refused("yesterday 14 h"));
        Assert.Contains("over 24 hours", Refused("yesterday 10.1 h"), StringComparison.Ordinal);
        var second = desk.Enter(shop.Job.Id, "look-over", "yesterday 10 h", Shop.Zone);
        // What is corrected makes room for what it becomes.
        Assert.Equal(13, desk.Correct(first.Id, "yesterday 13 h", Shop.Zone).Length(shop.Book.Now).TotalHours);
        Assert.Throws<EntryException>(() => desk.Correct(second.Id, "yesterday 12 h", Shop.Zone));
        Assert.Throws<EntryException>(() => desk.Correct(second.Id, "2026-03-25 1 h", Shop.Zone));
        Assert.Equal(23, desk.Board(shop.Job.Id).Spent.TotalHours);
    }

    [Fact]
    public void Clock_ForgottenForDays_AsksForItsTimes()
    {
        using var shop = new Shop();
        var desk = new PlanDesk(shop.Book);
        var started = desk.Start(shop.Job.Id, "look-over", Shop.Zone);
        shop.Clock.Wait(60 * 50);
        Assert.Contains("forgotten", Assert.Throws<EntryException>(() => desk.Stop(shop.Job.Id)).Message, StringComparison.Ordinal);
        desk.Correct(started.Id, "2026-03-26 9:00-9:40", Shop.Zone);
        Assert.Equal(40, desk.Board(shop.Job.Id).Spent.TotalMinutes);
    }

    [Fact]
    public void Task_Done_StopsItsClockAndFreesWhatWaited()
    {
        using var shop = new Shop();
        var desk = new PlanDesk(shop.Book);
        desk.Start(shop.Job.Id, "look-over", Shop.Zone);
        shop.Clock.Wait(12);
        Assert.Contains("look-over", Assert.Throws<EntryException>(() => desk.Start(shop.Job.Id, "mains-check", Shop.Zone)).Message,
            StringComparison.Ordinal);
        Assert.Throws<EntryException>(() => shop.Jobs.Close(shop.Job));
        desk.Done(shop.Job.Id, "look-over");
        Assert.Null(desk.Board(shop.Job.Id).Find("look-over").Running);
        desk.Start(shop.Job.Id, "mains-check", Shop.Zone);
        desk.Stop(shop.Job.Id, "mains-check");
        Assert.Throws<EntryException>(() => desk.Skip(shop.Job.Id, "first-power", " "));
        shop.Jobs.Close(shop.Job);
        Assert.NotNull(shop.Book.Jobs().Single().Closed);
    }

    [Fact]
    public void Plan_ChangedAfterwards_LeavesTheJobAsItWas()
    {
        using var shop = new Shop();
        var desk = new PlanDesk(shop.Book);
        desk.Copy(null, "Short");
        desk.Keep(desk.Text("Short").Replace("Look the deck over before it gets power", "Look", StringComparison.Ordinal));
        Assert.Single(desk.Plans());
        Assert.Contains("\"Look\"", desk.Text("Short"), StringComparison.Ordinal);
        Assert.Equal("Look the deck over before it gets power", desk.Board(shop.Job.Id).Find("look-over").Task.Title);
        var other = shop.Jobs.Open(shop.Deck, "Again", plan: PlanFile.Parse(desk.Text("Short")).Value);
        Assert.Equal("Look", desk.Board(other.Id).Find("look-over").Task.Title);
        Assert.Contains("\"Short\"", Assert.Throws<EntryException>(() => desk.Text("Long")).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Check_ThatCouldRecord_IsRefusedWhileATestTapeIsLoaded()
    {
        using var shop = new Shop();
        var desk = new CheckDesk(shop.Book);
        desk.Load(shop.Job.Id, LoadedTapeKind.TestTape, "Speed tape 3150");
        Assert.Contains("Speed tape 3150", Assert.Throws<EntryException>(() =>
            desk.Tick(shop.Job.Id, "record-forward", Mark.AsFound, CheckOutcome.Works)).Message, StringComparison.Ordinal);
        desk.Tick(shop.Job.Id, "lamps", Mark.AsFound, CheckOutcome.Works);
        desk.Load(shop.Job.Id, LoadedTapeKind.None, null);
        desk.Tick(shop.Job.Id, "record-forward", Mark.AsFound, CheckOutcome.Works);
        Assert.Null(desk.RecordWarning(shop.Job.Id));
        Assert.Throws<EntryException>(() => desk.Tick(shop.Job.Id, "lamps", Mark.AsLeft, CheckOutcome.Fault));
    }

    [Fact]
    public void Commands_FromDeckToClock_WorkInTheBook()
    {
        using var shop = new Shop();
        shop.Book.Dispose();
        var number = JobDesk.Number(shop.Job);
        string[] at = ["--book", shop.Path];
        var shown = CliRun.Of(["plan", "show", number, .. at]);
        Assert.Equal(0, shown.Code);
        Assert.Contains("Next: look-over", shown.Output, StringComparison.Ordinal);
        Assert.Equal(0, CliRun.Of(["clock", "start", "740 2201", "look", .. at]).Code);
        Assert.Contains("look-over: 0 min", CliRun.Of(["clock", "stop", number, .. at]).Output, StringComparison.Ordinal);
        Assert.Contains("1 h 15 min", CliRun.Of(["clock", "add", number, "look-over", "yesterday 14:05-15:20", .. at]).Output,
            StringComparison.Ordinal);
        Assert.Contains("next: accessories", string.Join(' ', CliRun.Of(["plan", "done", number, "look-over", .. at]).Output.Split('\n')),
            StringComparison.Ordinal);
        var early = CliRun.Of(["clock", "add", number, "look-over", "2026-03-25 14:05-15:20", .. at]);
        Assert.Equal(2, early.Code);
        Assert.Contains("lies before the job was opened", early.Error, StringComparison.Ordinal);
        var wrong = CliRun.Of(["clock", "add", number, "look-over", "90", .. at]);
        Assert.Equal(2, wrong.Code);
        Assert.Equal("spoolwright: \"90\" has no unit: write 90 min or 90 h\n", wrong.Error);
        Assert.Contains("Solvents", CliRun.Of(["plan", "task", number, "clean-path", .. at]).Output, StringComparison.Ordinal);
        Assert.Contains("search-zero: works as left",
            CliRun.Of(["check", "tick", number, "works", "search-zero", "--mark", "as-left", .. at]).Output, StringComparison.Ordinal);
        Assert.Contains("E. Marsh", CliRun.Of(["deck", "show", "740 2201", .. at]).Output, StringComparison.Ordinal);
        Assert.Equal(0, CliRun.Of(["job", "show", number, .. at]).Code);
    }
}
