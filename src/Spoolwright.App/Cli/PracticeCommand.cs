using System.CommandLine;
using System.Globalization;
using Spoolwright.App.Practice;
using Spoolwright.Practice.Hidden;

namespace Spoolwright.App.Cli;

/// <summary><c>practice</c>: a deck in software with hidden faults, to play, record on, turn, and diagnose.</summary>
internal static class PracticeCommand
{
    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var group = new Command("practice", "Practises on a deck in software: hidden faults to find, trimmers to turn.")
        {
            New(terminal, lessons),
            Controls(terminal, lessons),
            PracticePassCommands.Play(terminal, lessons),
            PracticePassCommands.Record(terminal, lessons),
            Turn(terminal, lessons),
            Diagnose(terminal, lessons),
            Reveal(terminal, lessons),
        };
        lessons[group] = new Lesson
        {
            Paragraphs =
            [
                "The deck plays both ways at 9.525 and 19.05 cm/s, has erase, record and replay heads for each direction, and two tape settings. Its captures are ordinary sound "
                + "files: measure them as those of a real deck. Work as at the bench: speed and flutter first, then azimuth, replay level and equalization, and only then record.",
                "Everything about the deck stands in one file in its folder. Its last part holds the answers: leave it alone until you have made your diagnosis.",
            ],
            Examples =
            [
                new("spoolwright practice new --folder bench", "Makes a deck with two faults."),
                new(
                    "spoolwright practice play --folder bench --tape speed --out speed.wav",
                    "Plays a speed tape; measure speed speed.wav reads it."
                ),
                new(
                    "spoolwright practice turn forward.left.play-level -0.05 --folder bench",
                    "Turns a trimmer by a twentieth of a turn, anticlockwise."
                ),
                new("spoolwright practice diagnose speed bias.forward.left.normal --folder bench", "Holds a diagnosis against the faults."),
            ],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return group;
    }

    /// <summary>The folder that a command works in.</summary>
    public static Option<string> Folder() =>
        new("--folder") { HelpName = "DIR", Description = "The deck's folder.", DefaultValueFactory = _ => "practice-deck" };

    private static Command New(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var folder = Folder();
        var seed = new Option<long>("--seed")
        {
            HelpName = "N",
            Description = "Which specimen and which faults. Default: drawn.",
            DefaultValueFactory = _ => Random.Shared.Next(1, 1_000_000),
        };
        var faults = new Option<double?>("--faults")
        {
            HelpName = "N",
            Description = "How many faults, 0 to 6. Default: 2.",
            CustomParser = Figures.Within(0, 6, "faults"),
        };
        var command = new Command("new", "Makes a deck whose faults stay hidden.") { folder, seed, faults };
        command.SetAction(call =>
        {
            var count = (int)(call.GetValue(faults) ?? 2);
            var at = new PracticeFolder(call.GetRequiredValue(folder));
            at.Create(LearnersDeck.Draw(call.GetRequiredValue(seed), count));
            terminal.Output.WriteLine($"{at.DeckFile}: a {LearnersDeck.MakeName} with {count} hidden fault{(count == 1 ? "" : "s")}");
            TextLayout.WriteParagraph(
                terminal.Output,
                "kinds of fault: " + string.Join(", ", FaultKind.All.Select(k => k.Name)),
                terminal.Width
            );
            return ExitCode.Done;
        });
        lessons[command] = new Lesson
        {
            Paragraphs = ["The same seed and number of faults make the same deck again, so that two people can compare what they found."],
            Examples = [new("spoolwright practice new --folder bench --seed 7 --faults 3", "Makes specimen 7 with three faults.")],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    private static Command Controls(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var folder = Folder();
        var command = new Command("controls", "Lists the screws and trimmers with their positions.") { folder };
        command.SetAction(call =>
        {
            var rows = new PracticeFolder(call.GetRequiredValue(folder))
                .Load()
                .Board.Controls.Select(c => new HelpRow(
                    c.Name,
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{c.ShaftTurns:+0.000;-0.000;0.000} of {c.LeastTurns} to {c.MostTurns} turns: {c.Meaning}"
                    )
                ));
            TextLayout.WriteColumns(terminal.Output, rows, terminal.Width, 34);
            return ExitCode.Done;
        });
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "Positions are those of the screwdriver. Each control has a little backlash, and a turn does not do quite the same on every deck.",
            ],
            Examples = [new("spoolwright practice controls --folder bench", "Lists them all.")],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    private static Command Turn(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var folder = Folder();
        var control = new Argument<string>("control") { HelpName = "CONTROL", Description = "Its name, as practice controls lists it." };
        var amount = new Argument<double?>("amount")
        {
            HelpName = "TURNS",
            Description = "How far, in turns; clockwise above 0.",
            CustomParser = Figures.Within(-20, 20, "turns"),
        };
        var command = new Command("turn", "Turns a screw or trimmer.") { control, amount, folder };
        command.SetAction(call =>
        {
            var at = new PracticeFolder(call.GetRequiredValue(folder));
            var deck = at.Load();
            var name = call.GetRequiredValue(control);
            if (!deck.Board.Controls.Any(c => string.Equals(c.Name, name, StringComparison.Ordinal)))
                throw new CallException($"there is no control \"{name}\"; spoolwright practice controls lists them");
            var result = deck.Board.Turn(name, call.GetValue(amount) ?? 0);
            at.Save(deck);
            terminal.Output.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{name}: turned by {result.MovedTurns:+0.000;-0.000;0.000}, now at {result.Control.ShaftTurns:+0.000;-0.000;0.000} turns{(result.AtStop ? "; at its stop" : "")}"));
            return ExitCode.Done;
        });
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "Turn a little, measure again, and turn by what is left. When you change the direction, the first bit of the turn is lost in the backlash.",
            ],
            Examples =
            [
                new(
                    "spoolwright practice turn forward.play-azimuth 0.25 --folder bench",
                    "Turns an azimuth screw by a quarter turn, clockwise."
                ),
            ],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    private static Command Diagnose(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var folder = Folder();
        var words = new Argument<string[]>("name")
        {
            HelpName = "NAME",
            Description = "A kind of fault, then its place, joined by dots.",
            Arity = ArgumentArity.OneOrMore,
        };
        var command = new Command("diagnose", "Holds your diagnosis against the hidden faults, with a score.") { words, folder };
        command.SetAction(call =>
        {
            var deck = new PracticeFolder(call.GetRequiredValue(folder)).Load();
            Diagnosis diagnosis;
            try
            {
                diagnosis = Diagnosis.Of(deck.HiddenFaults, call.GetRequiredValue(words));
            }
            catch (ArgumentException e)
            {
                throw new CallException(e.Message.Split(" (Parameter")[0]);
            }

            foreach (var word in diagnosis.Words)
                terminal.Output.WriteLine(
                    $"{word.Word}: {(word.Finding switch { Finding.Right => "right", Finding.KindOnly => "the kind is right, the place is not", _ => "no" })}"
                );
            terminal.Output.WriteLine($"score {diagnosis.Score} of 100; {diagnosis.Missed} of {deck.HiddenFaults.Count} not named");
            return ExitCode.Done;
        });
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "A fault named with its place counts whole, without it half; a wrong name takes half a fault away. What you named wrongly is told, what you missed is not.",
            ],
            Names = [.. FaultKind.All.Select(k => new HelpRow(Example(k), $"{char.ToUpperInvariant(k.Meaning[0])}{k.Meaning[1..]}."))],
            Examples = [new("spoolwright practice diagnose hum.reverse.left erase-head.forward --folder bench", "Names two faults.")],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    private static Command Reveal(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var folder = Folder();
        var command = new Command("reveal", "Shows the answers.") { folder };
        command.SetAction(call =>
        {
            var deck = new PracticeFolder(call.GetRequiredValue(folder)).Load();
            foreach (var fault in deck.HiddenFaults)
                terminal.Output.WriteLine(
                    string.Create(CultureInfo.InvariantCulture, $"{fault.Name}: {fault.Kind.Meaning} (severity {fault.Severity:0.0})")
                );
            if (deck.HiddenFaults.Count == 0)
                terminal.Output.WriteLine("nothing is wrong with this deck");
            return ExitCode.Done;
        });
        lessons[command] = new Lesson
        {
            Examples = [new("spoolwright practice reveal --folder bench", "Names each fault and how bad it is.")],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    private static string Example(FaultKind kind) =>
        kind.Name + (kind.HasDirection ? ".forward" : "") + (kind.HasSide ? ".left" : "") + (kind.HasSetting ? ".normal" : "");
}
