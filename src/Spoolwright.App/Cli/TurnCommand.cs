using System.CommandLine;
using Spoolwright.Bench.Controls;
using Spoolwright.Signal;

namespace Spoolwright.App.Cli;

/// <summary><c>turn</c>: says from what was turned and read so far what to turn next, which way and how far.</summary>
internal static class TurnCommand
{
    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var file = new Argument<string>("file")
        {
            HelpName = "MOVES.json",
            Description = "Controls, targets, and what was turned and read so far.",
        };
        var json = new Option<bool>("--json") { Description = "Print one JSON object and nothing else." };
        var command = new Command("turn", "Says what to turn next, which way and how far, and when to stop.") { file, json };
        command.SetAction(call => Run(call.GetRequiredValue(file), call.GetValue(json), terminal));
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "You write down each control with its unit and range, the limits to reach, what was read as found, and then each move: how far you turned, and what you read "
                + "after it. The program works out what each control does, two that interact included, how much a change of direction loses, and where to go next. "
                + "It aims at the middle of the limits, never beyond a control's range, and arrives from the same side every time: where it says to turn back past the place first, do so.",
                "A turn is written as people say it: \"quarter turn cw\", \"3/8 turn ccw, then 1/8 turn cw\", \"+0.25\", \"2 o'clock to 3 o'clock\". A reading is typed with its uncertainty, "
                + "or is the name of a file that measure ... --json printed. examples/moves.json is a whole one.",
                "Stop when it says so: every target met with its uncertainty, the range at its end, no effect (wrong or loose screw), or readings too uncertain for the limits. "
                + "Keep your hands and tools clear of mains parts; turn with an insulated driver.",
            ],
            Examples =
            [
                new("spoolwright turn moves.json", "Says what to turn next, and what to expect."),
                new("spoolwright turn moves.json --json", "The same as one JSON object, with the trail so far."),
            ],
            ExitCodes =
            [
                HelpRow.Of(ExitCode.Done, "advice, or done"),
                HelpRow.Of(ExitCode.CallWrong, "the call is wrong, or the file"),
                HelpRow.Of(ExitCode.CannotMeasure, "it cannot be said: the readings are too uncertain for the limits"),
            ],
        };
        return command;
    }

    private static int Run(string path, bool json, Terminal terminal)
    {
        var folder = Path.GetDirectoryName(Path.GetFullPath(path)) ?? ".";
        var parsed = MovesFile.Parse(InputFiles.Text(path), name => Beside(folder, name));
        var errors = parsed.Errors.ToList();
        foreach (var warning in parsed.Warnings)
            terminal.Error.WriteLine($"{path}:{warning}");
        if (parsed.Value is not { } adjustment)
        {
            // All but the last, which the refusal itself is.
            foreach (var error in errors.SkipLast(1))
                terminal.Error.WriteLine($"{path}:{error}");
            throw new CallException($"{path}:{errors[^1]}");
        }

        var advice = TurnAdvisor.Advise(adjustment);
        if (json)
            TurnJson.Write(adjustment, advice, terminal.Output);
        else if (advice.Outcome != TurnOutcome.NoiseTooLarge)
            TurnPage.Write(adjustment, advice, terminal);
        return advice.Outcome == TurnOutcome.NoiseTooLarge
            ? throw new CannotMeasureException("noise-too-large", $"{path}: {advice.Reason}")
            : ExitCode.Done;
    }

    private static string? Beside(string folder, string name)
    {
        try
        {
            return InputFiles.Text(Path.Combine(folder, name));
        }
        catch (CallException)
        {
            return null;
        }
    }
}
