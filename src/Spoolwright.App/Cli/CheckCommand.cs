using System.CommandLine;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Files;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements.Typed;

namespace Spoolwright.App.Cli;

/// <summary><c>check-profile</c>, <c>check-tape</c>, <c>check-gauge</c> and <c>check-sheet</c>: say of a hand-written file, line by line,
/// what is wrong in it.</summary>
internal static class CheckCommand
{
    public static Command Profile(Terminal terminal, IDictionary<Command, Lesson> lessons) =>
        Build("check-profile", "deck profile", "DECK.json", DeckProfileFile.Parse, p => p.Name, terminal, lessons);

    public static Command Tape(Terminal terminal, IDictionary<Command, Lesson> lessons) =>
        Build("check-tape", "test tape", "TAPE.json", TestTapeFile.Parse, t => t.Name, terminal, lessons);

    public static Command Gauge(Terminal terminal, IDictionary<Command, Lesson> lessons) =>
        Build(
            "check-gauge",
            "gauge",
            "GAUGE.json",
            GaugeFile.Parse,
            g => g.Name,
            terminal,
            lessons,
            g => GaugeTable.Write(new GaugeCurve(g), terminal),
            "The curve follows, with each weight's residual and the uncertainty of one reading there, and where the gauge should not be read."
        );

    public static Command Sheet(Terminal terminal, IDictionary<Command, Lesson> lessons) =>
        Build("check-sheet", "sheet", "SHEET.json", BenchSheetFile.Parse, s => s.Tape ?? "no tape stated", terminal, lessons);

    private static Command Build<T>(
        string name,
        string kind,
        string fileName,
        Func<string, ParsedFile<T>> parse,
        Func<T, string> nameOf,
        Terminal terminal,
        IDictionary<Command, Lesson> lessons,
        Action<T>? after = null,
        string? more = null
    )
        where T : class
    {
        var file = new Argument<string>("file") { HelpName = fileName, Description = $"The {kind} file." };
        var command = new Command(name, $"Checks a {kind} file that somebody wrote, and points at every line that is wrong.") { file };
        command.SetAction(call => Check(call.GetRequiredValue(file), kind, parse, nameOf, terminal, after));
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                $"Each problem is one line: file, line, column, whether it is an error or a warning, and what was expected. A {kind} with warnings alone can be used.",
                .. (more is null ? [] : new[] { more }),
            ],
            Examples = [new($"spoolwright {name} {fileName}", "Prints the problems, or that there are none.")],
            ExitCodes =
            [
                HelpRow.Of(ExitCode.Done, "the file can be used"),
                HelpRow.Of(ExitCode.CallWrong, "it has an error, or cannot be read"),
            ],
        };
        return command;
    }

    private static int Check<T>(
        string path,
        string kind,
        Func<string, ParsedFile<T>> parse,
        Func<T, string> nameOf,
        Terminal terminal,
        Action<T>? after
    )
        where T : class
    {
        var parsed = parse(InputFiles.Text(path));
        foreach (var problem in parsed.Problems)
            terminal.Output.WriteLine($"{path}:{problem}");
        if (parsed.Value is not { } value || parsed.Errors.Any())
            return ExitCode.CallWrong;
        terminal.Output.WriteLine(
            $"{path}: {(parsed.Problems.Count == 0 ? "no problems" : "warnings only")}; the {kind} \"{nameOf(value)}\" can be used"
        );
        after?.Invoke(value);
        return ExitCode.Done;
    }
}
