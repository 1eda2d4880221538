using Spoolwright.App.Cli;
using Spoolwright.Bench.Measurements;

namespace Spoolwright.App.Tests.Cli;

public sealed class HelpTests
{
    [Theory]
    [InlineData("root", "--help")]
    [InlineData("serve", "serve", "--help")]
    [InlineData("sample", "sample", "--help")]
    [InlineData("sample-make", "sample", "make", "--help")]
    [InlineData("sample-compare", "sample", "compare", "--help")]
    [InlineData("measure", "measure", "--help")]
    [InlineData("measure-speed", "measure", "speed", "--help")]
    [InlineData("measure-playback", "measure", "playback", "--help")]
    [InlineData("measure-azimuth", "measure", "azimuth", "-h")]
    [InlineData("measure-noise", "measure", "noise", "--help")]
    [InlineData("measure-crosstalk", "measure", "crosstalk", "--help")]
    [InlineData("measure-erase", "measure", "erase", "--help")]
    [InlineData("measure-dropouts", "measure", "dropouts", "--help")]
    [InlineData("measure-distortion", "measure", "distortion", "--help")]
    [InlineData("measure-loopback", "measure", "loopback", "--help")]
    [InlineData("measure-bias", "measure", "bias", "--help")]
    [InlineData("measure-record", "measure", "record", "--help")]
    [InlineData("measure-tension", "measure", "tension", "--help")]
    [InlineData("measure-torque", "measure", "torque", "--help")]
    [InlineData("measure-brakes", "measure", "brakes", "--help")]
    [InlineData("measure-wind-time", "measure", "wind-time", "--help")]
    [InlineData("measure-pinch-force", "measure", "pinch-force", "--help")]
    [InlineData("check-gauge", "check-gauge", "--help")]
    [InlineData("check-profile", "check-profile", "--help")]
    [InlineData("check-tape", "check-tape", "--help")]
    [InlineData("book-backup", "book", "backup", "--help")]
    [InlineData("book-restore", "book", "restore", "--help")]
    [InlineData("book-check", "book", "check", "--help")]
    [InlineData("book-captures", "book", "captures", "--help")]
    [InlineData("book-find", "book", "find", "--help")]
    [InlineData("book-history", "book", "history", "--help")]
    [InlineData("book-undo", "book", "undo", "--help")]
    [InlineData("turn", "turn", "--help")]
    [InlineData("explain", "explain", "--help")]
    [InlineData("completion", "completion", "--help")]
    [InlineData("practice", "practice", "--help")]
    [InlineData("practice-new", "practice", "new", "--help")]
    [InlineData("practice-play", "practice", "play", "--help")]
    [InlineData("practice-record", "practice", "record", "--help")]
    [InlineData("practice-controls", "practice", "controls", "--help")]
    [InlineData("practice-turn", "practice", "turn", "--help")]
    [InlineData("practice-diagnose", "practice", "diagnose", "--help")]
    [InlineData("practice-reveal", "practice", "reveal", "--help")]
    [InlineData("book", "book", "--help")]
    [InlineData("book-table", "book", "table", "--help")]
    [InlineData("book-verify", "book", "verify", "--help")]
    [InlineData("deck", "deck", "--help")]
    [InlineData("deck-add", "deck", "add", "--help")]
    [InlineData("job", "job", "--help")]
    [InlineData("job-tape", "job", "tape", "--help")]
    [InlineData("plan", "plan", "--help")]
    [InlineData("plan-done", "plan", "done", "--help")]
    [InlineData("clock", "clock", "--help")]
    [InlineData("clock-add", "clock", "add", "--help")]
    [InlineData("check", "check", "--help")]
    [InlineData("check-tick", "check", "tick", "--help")]
    [InlineData("part", "part", "--help")]
    [InlineData("part-fit", "part", "fit", "--help")]
    [InlineData("instrument", "instrument", "--help")]
    [InlineData("instrument-note", "instrument", "note", "--help")]
    [InlineData("offer", "offer", "--help")]
    [InlineData("offer-weigh", "offer", "weigh", "--help")]
    [InlineData("money", "money", "--help")]
    [InlineData("photo-add", "photo", "add", "--help")]
    [InlineData("listing", "listing", "--help")]
    [InlineData("listing-sign", "listing", "sign", "--help")]
    [InlineData("field", "field", "--help")]
    [InlineData("shop-set", "shop", "set", "--help")]
    public void Help_OfEachCommand_IsAsApproved(string name, params string[] call)
    {
        var run = CliRun.Of(call);
        Assert.Equal(ExitCode.Done, run.Code);
        Assert.Empty(run.Error);
        Approved.Equal(run.Output, "help-" + name);
    }

    [Theory]
    [InlineData("measure", "speed", "--help")]
    [InlineData("measure", "playback", "--help")]
    [InlineData("--help")]
    public void Help_Piped_KeepsToEightyColumns(params string[] call) =>
        Assert.DoesNotContain(CliRun.Of(call).Output.Split('\n'), line => line.Length > 80);

    [Fact]
    public void Help_OfEveryCommand_HasAnExampleThatBeginsAsItIsCalled()
    {
        var lessons = new Dictionary<System.CommandLine.Command, Lesson>();
        var root = CommandLine.Build(new Terminal { Output = TextWriter.Null, Error = TextWriter.Null }, Catalogue.Entries, lessons);
        var leaves = Leaves(root).ToList();
        Assert.True(leaves.Count > 100);
        Assert.All(leaves, leaf =>
        {
            Assert.True(lessons.TryGetValue(leaf, out var lesson) && lesson.Examples.Count > 0, CommandPath.Of(leaf));
            Assert.All(lesson!.Examples, e => Assert.Contains(CommandPath.Of(leaf), e.Term, StringComparison.Ordinal));
        });

        static IEnumerable<System.CommandLine.Command> Leaves(System.CommandLine.Command command) =>
            command.Subcommands.Count == 0 ? [command] : command.Subcommands.SelectMany(Leaves);
    }

    [Fact]
    public void Measure_EveryCatalogueEntry_HasItsCommandWithItsPlayAndQuantities()
    {
        Assert.NotEmpty(Catalogue.Entries);
        Assert.All(Catalogue.Entries, entry =>
        {
            var run = CliRun.Of("measure", entry.Id, "--help");
            Assert.Equal(ExitCode.Done, run.Code);
            var text = string.Join(' ', run.Output.Split((char[])[' ', '\n'], StringSplitOptions.RemoveEmptyEntries));
            Assert.Contains(entry.Description, text, StringComparison.Ordinal);
            Assert.Contains(entry.WhatToPlay, text, StringComparison.Ordinal);
            Assert.All(entry.Yields, q => Assert.Contains(q.Id, text, StringComparison.Ordinal));
        });
    }

    [Fact]
    public void Program_WithoutArguments_PrintsItsHelp()
    {
        var run = CliRun.Of();
        Assert.Equal(ExitCode.Done, run.Code);
        Assert.Equal(CliRun.Of("--help").Output, run.Output);
    }

    [Fact]
    public void Version_Asked_IsOneLineWithTheVersion()
    {
        var run = CliRun.Of("--version");
        Assert.Equal(ExitCode.Done, run.Code);
        Assert.Matches(@"^spoolwright \d+\.\d+\.\d+( \(commit [0-9a-f]{12}\))?\n$", run.Output);
    }
}
