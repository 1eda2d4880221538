using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.App.Cli;

/// <summary>The program's commands, and the one way from a call to an exit code.</summary>
public static class CommandLine
{
    /// <summary>Runs one call.</summary>
    /// <param name="arguments">The call, without the program's name.</param>
    /// <param name="terminal">Where to write.</param>
    public static int Run(string[] arguments, Terminal terminal) => Run(arguments, terminal, Catalogue.Entries);

    /// <summary>Runs one call with a catalogue of the caller's.</summary>
    public static int Run(string[] arguments, Terminal terminal, IReadOnlyList<MeasurementEntry> entries)
    {
        ArgumentNullException.ThrowIfNull(terminal);
        var lessons = new Dictionary<Command, Lesson>();
        var root = Build(terminal, entries, lessons);
        var help = new HelpPage(lessons, terminal);
        root.Options.OfType<HelpOption>().Single().Action = help;
        var call = root.Parse(arguments);
        if (EmptyArgument.Mistake(call) is { } empty)
            return Complain(terminal, $"{empty} ({CommandPath.Of(call.CommandResult.Command)} --help)", ExitCode.CallWrong);
        try
        {
            return call.Action is null or ParseErrorAction
                ? Refuse(call, arguments, help, terminal)
                : call.Invoke(
                    new InvocationConfiguration
                    {
                        Output = terminal.Output,
                        Error = terminal.Error,
                        EnableDefaultExceptionHandler = false,
                        ProcessTerminationTimeout = null,
                    }
                );
        }
        catch (CallException e)
        {
            return Complain(terminal, e.Message, ExitCode.CallWrong);
        }
        catch (CannotMeasureException e)
        {
            return Complain(terminal, e.Message, ExitCode.CannotMeasure);
        }
    }

    /// <summary>The commands, as help and completion see them.</summary>
    public static RootCommand Build(Terminal terminal, IReadOnlyList<MeasurementEntry> entries, IDictionary<Command, Lesson> lessons)
    {
        ArgumentNullException.ThrowIfNull(terminal);
        ArgumentNullException.ThrowIfNull(lessons);
        var root = new RootCommand(
            "Spoolwright measures open-reel tape decks from what they play, and keeps the record of their restoration."
        )
        {
            DemoCommand.Build(terminal, lessons),
            ServeCommand.Build(terminal, lessons),
            SignalCommand.Build(terminal, lessons),
            SampleCommand.Build(terminal, lessons),
            MeasureCommand.Build(entries, terminal, lessons),
            TurnCommand.Build(terminal, lessons),
            ExplainCommand.Build(terminal, lessons),
            CheckCommand.Profile(terminal, lessons),
            CheckCommand.Tape(terminal, lessons),
            CheckCommand.Gauge(terminal, lessons),
            CheckCommand.Sheet(terminal, lessons),
            BookCommand.Book(terminal, lessons),
            BookCommand.Record(terminal, lessons),
            DeckCommand.Build(terminal, lessons),
            JobCommand.Job(terminal, lessons),
            PlanCommand.Plan(terminal, lessons),
            PlanCommand.Clock(terminal, lessons),
            JobCommand.Checks(terminal, lessons),
            PartCommand.Build(terminal, lessons),
            InstrumentCommand.Build(terminal, lessons),
            OfferCommand.Build(terminal, lessons),
            OfferCommand.Money(terminal, lessons),
            ShopCommand.Photo(terminal, lessons),
            ListingCommand.Listing(terminal, lessons),
            ListingCommand.Field(terminal, lessons),
            ShopCommand.Shop(terminal, lessons),
            PracticeCommand.Build(terminal, lessons),
            CompletionCommand.Build(terminal, lessons),
        };
        var version = root.Options.OfType<VersionOption>().Single();
        version.Description = "Print the version, and the commit it was built from.";
        version.Action = new VersionLine(terminal);
        root.Options.OfType<HelpOption>().Single().Description = "Explain the command.";
        lessons[root] = new Lesson
        {
            Paragraphs =
            [
                "Play a test tape on the deck, capture both channels of its output as a sound file, and measure the file. "
                + "Every figure comes with its uncertainty, and a limit counts as met only when the whole of it keeps to the limit.",
            ],
            Examples =
            [
                new("spoolwright demo", "Shows the whole job on an invented deck."),
                new("spoolwright measure speed capture.wav", "Reads speed error, drift, wow and flutter."),
                new("spoolwright measure speed --help", "Says what to play and which options there are."),
                new("spoolwright check-profile deck.json", "Checks a deck profile before it is used."),
            ],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return root;
    }

    private static int Refuse(ParseResult call, string[] arguments, HelpPage help, Terminal terminal)
    {
        var command = call.CommandResult.Command;
        if (command.Subcommands.Count > 0 && call.UnmatchedTokens.Count == 0)
        {
            // A bare group asks what there is.
            var bare = arguments.Length == 0;
            help.Write(command, bare ? terminal.Output : terminal.Error);
            return bare ? ExitCode.Done : ExitCode.CallWrong;
        }

        return Complain(terminal, $"{Mistake(call)} ({CommandPath.Of(command)} --help)", ExitCode.CallWrong);
    }

    private static string Mistake(ParseResult call)
    {
        var command = call.CommandResult.Command;
        if (call.UnmatchedTokens is [var word, ..])
        {
            var known = command.Subcommands.Where(c => !c.Hidden).Select(c => c.Name).Concat(command.Options.Select(o => o.Name)).ToList();
            var kind = word.StartsWith('-') ? "option" : command.Subcommands.Count > 0 ? "command" : "argument";
            var near = known.Where(k => Spelling.AreNear(word, k)).OrderBy(k => Spelling.Distance(word, k)).FirstOrDefault();
            return $"no such {kind}: {word}" + (near is null ? "" : $"; did you mean {near}?");
        }

        return call.Errors.Count > 0 ? call.Errors[0].Message.TrimEnd('.') : "the call is not complete";
    }

    private static int Complain(Terminal terminal, string message, int code)
    {
        terminal.Error.WriteLine($"{CommandPath.Program}: {message.ReplaceLineEndings(" ")}");
        return code;
    }

    private sealed class VersionLine(Terminal terminal) : SynchronousCommandLineAction
    {
        public override bool ClearsParseErrors => true;

        public override int Invoke(ParseResult parseResult)
        {
            terminal.Output.WriteLine(ProgramVersion.Line);
            return ExitCode.Done;
        }
    }
}
