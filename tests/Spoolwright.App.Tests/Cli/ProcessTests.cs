using System.Globalization;
using Spoolwright.App.Cli;

namespace Spoolwright.App.Tests.Cli;

public sealed class ProcessTests(SoundFixture sound) : IClassFixture<SoundFixture>
{
    [Fact]
    public async Task Process_Help_IsTheSameTextInUtf8WithoutMarkOrEscapes()
    {
        var run = await ProgramProcess.Spoolwright("measure", "azimuth", "--help");
        Assert.Equal((ExitCode.Done, ""), (run.Code, run.Error));
        Assert.Equal(CliRun.Of("measure", "azimuth", "--help").Output, run.Output);
        Assert.DoesNotContain('\u001b', run.Output);
    }

    [Fact]
    public async Task Process_WrongCall_ExitsWithTwoAndOneLine()
    {
        var run = await ProgramProcess.Spoolwright("measure", "speed", "/nowhere.wav");
        Assert.Equal((ExitCode.CallWrong, "", "spoolwright: /nowhere.wav does not exist\n"), (run.Code, run.Output, run.Error));
    }

    [Fact]
    public async Task Process_OnARecordingWhileATestTapeIsNamedAsLoaded_WarnsFirst()
    {
        var folder = Directory.CreateTempSubdirectory("spoolwright-loaded-").FullName;
        using (var book = Spoolwright.Storage.ServiceBook.Open(folder))
        {
            var jobs = new Spoolwright.App.Desk.JobDesk(book);
            var job = jobs.Open(
                jobs.TakeIn(
                    await File.ReadAllTextAsync(
                        Path.Combine(Tree.Root, "examples/deck-profile.json"),
                        TestContext.Current.CancellationToken
                    ),
                    "740 2201",
                    ""
                ),
                "work"
            );
            new Spoolwright.App.Desk.CheckDesk(book).Load(job.Id, Spoolwright.Bench.Service.Checks.LoadedTapeKind.TestTape, "Speed tape");
        }

        const string warning = "warning: deck 740 2201: The test tape \"Speed tape\" is loaded, and this could record";
        var text = sound.Write("loaded.wav", "no sound at all");
        Assert.StartsWith(
            warning,
            (await ProgramProcess.Run("dotnet", folder, ProgramProcess.Assembly, "measure", "noise", text)).Error,
            StringComparison.Ordinal
        );
        Assert.DoesNotContain(
            "warning",
            (await ProgramProcess.Run("dotnet", folder, ProgramProcess.Assembly, "measure", "speed", text)).Error,
            StringComparison.Ordinal
        );
        var signal = CliRun.Of("signal", "blank", "--out", Path.Combine(folder, "blank.wav"), "--book", folder);
        Assert.Equal(ExitCode.Done, signal.Code);
        Assert.StartsWith(warning, signal.Error, StringComparison.Ordinal);
        Assert.Equal(
            ExitCode.CallWrong,
            CliRun.Of("signal", "blank", "--out", Path.Combine(folder, "other.wav"), "--book", Path.Combine(folder, "none.db")).Code
        );
        Assert.False(File.Exists(Path.Combine(folder, "other.wav")));
        Directory.Delete(folder, recursive: true);
    }

    [Fact]
    public async Task Process_FileThatIsNoSound_ExitsWithThreeAndOneLine()
    {
        var run = await ProgramProcess.Spoolwright("measure", "speed", sound.Write("text.wav", "no sound at all"), "--json");
        Assert.Equal((ExitCode.CannotMeasure, ""), (run.Code, run.Output));
        Assert.Single(run.Error.TrimEnd('\n').Split('\n'));
    }

    [Fact]
    public async Task Process_WhoseOutputCannotBeWritten_SaysSoAndIsNoSuccess()
    {
        var run = await ProgramProcess.Run("bash", Tree.Root, "-c", $"dotnet '{ProgramProcess.Assembly}' --help >/dev/full");
        Assert.Equal(ExitCode.ProgramFault, run.Code);
        Assert.Single(run.Error.TrimEnd('\n').Split('\n'));
    }

    [Fact]
    public async Task Process_WhoseReaderGoesAway_EndsQuietly()
    {
        var run = await ProgramProcess.Run("bash", Tree.Root, "-c", $"set -o pipefail; dotnet '{ProgramProcess.Assembly}' --help | true");
        Assert.Equal((ExitCode.Done, ""), (run.Code, run.Error));
    }

    [Theory]
    [InlineData("spoolwright me", "measure")]
    [InlineData("spoolwright measure a", "azimuth")]
    [InlineData("spoolwright measure speed --nom", "--nominal")]
    [InlineData("spoolwright measure speed --limit dri", "drift=")]
    [InlineData("spoolwright measure speed --direction rev", "reverse")]
    [InlineData("spoolwright completion ba", "bash")]
    public async Task Completion_InBash_OffersTheWordThatWasBegun(string line, string expected)
    {
        // The shell's own machinery with the printed script: the program is found on PATH under its name, as a person has it.
        var bin = Directory.CreateDirectory(Path.Combine(sound.Folder, "bin")).FullName;
        var program = Path.Combine(bin, "spoolwright");
        await File.WriteAllTextAsync(
            program,
            $"#!/bin/sh\nexec dotnet '{ProgramProcess.Assembly}' \"$@\"\n",
            TestContext.Current.CancellationToken
        );
        await ProgramProcess.Run("chmod", bin, "+x", program);
        var words = line.Split(' ');
        var script = $$"""
            PATH='{{bin}}':$PATH
            source <(spoolwright completion bash)
            complete -p spoolwright >/dev/null || exit 9
            COMP_LINE='{{line}}'; COMP_POINT=${#COMP_LINE}; COMP_WORDS=({{line}}); COMP_CWORD={{words.Length - 1}}
            _spoolwright spoolwright '{{words[^1]}}' '{{words[^2]}}'
            printf '%s\n' "${COMPREPLY[@]}"
            """;
        var run = await ProgramProcess.Run("bash", sound.Folder, "--norc", "-c", script);
        Assert.Equal("", run.Error);
        Assert.Equal(expected + "\n", run.Output);
    }

    [Fact]
    public async Task Launcher_ThroughALinkFromAnotherFolder_RunsOnFilesOfThatFolder()
    {
        var link = Path.Combine(sound.Folder, "run-it");
        File.CreateSymbolicLink(link, Path.Combine(Tree.Root, "spoolwright"));
        sound.Write("here.json", "{}");
        var run = await ProgramProcess.Run(link, sound.Folder, "check-tape", "here.json");
        Assert.Equal(ExitCode.CallWrong, run.Code);
        Assert.StartsWith("here.json:1:1: error: ", run.Output, StringComparison.Ordinal);

        var again = await ProgramProcess.Run(link, sound.Folder, "check-tape", "here.json");
        Assert.Equal("", again.Error);
    }

    [Fact]
    public async Task Launcher_Help_CostsLessThanAQuarterOfASecond()
    {
        await ProgramProcess.Run(Path.Combine(Tree.Root, "spoolwright"), Tree.Root, "--help");
        var best = TimeSpan.MaxValue;
        // Processor time of launcher and program together, the best of ten: what else the machine does is not theirs. tools/start-up has
        // the wall's.
        for (var i = 0; i < 10; i++)
        {
            var run = await ProgramProcess.Run("bash", Tree.Root, "-c", "TIMEFORMAT='%U %S'; time ./spoolwright --help >/dev/null");
            var spent = run.Error.Split(' ').Sum(s => double.Parse(s, CultureInfo.InvariantCulture));
            best = TimeSpan.FromSeconds(Math.Min(best.TotalSeconds, spent));
        }

        Assert.InRange(best, TimeSpan.FromMilliseconds(1), TimeSpan.FromSeconds(0.25));
    }
}
