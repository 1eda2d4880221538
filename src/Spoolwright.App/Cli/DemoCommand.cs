using System.CommandLine;
using Spoolwright.App.Demo;

namespace Spoolwright.App.Cli;

/// <summary><c>demo</c>: the main job, whole, on an invented deck.</summary>
internal static class DemoCommand
{
    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var folder = new Option<string>("--folder")
        {
            HelpName = "DIR",
            Description = "Where to put captures, service book and record.",
            DefaultValueFactory = _ => "spoolwright-demo",
        };
        var command = new Command("demo", "Shows the whole job on an invented deck: from captures to the record.") { folder };
        command.SetAction(call => Run(call.GetRequiredValue(folder), terminal));
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "A deck in software plays test tapes and records our programs, as it was found and as it was left, forward and reverse at two speeds, as left in both its tape "
                + "settings. Its sound is written as ordinary WAV files; they are measured, judged against the deck's limits and filed in a service book beside typed gauge "
                + "readings, and written up as a record in HTML and PDF. The book holds the shop's year before it as well: a dozen invented decks from offer to aftercare, whose "
                + "readings are typed and marked as invented. It takes under two minutes on two cores and just under a gigabyte, in a folder of its own that is "
                + "emptied at each run.",
            ],
            Examples =
            [
                new("spoolwright demo", "Makes everything in the folder spoolwright-demo."),
                new("spoolwright demo --folder /tmp/demo", "Makes it elsewhere."),
            ],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    private static int Run(string path, Terminal terminal)
    {
        using var folder = DemoFolder.Prepare(path);
        terminal.Error.WriteLine($"The demonstration works in {folder.Root}");
        var record = new DemoRun(folder, terminal, TimeProvider.System).Run();
        terminal.Output.WriteLine(
            $"{record.Deck.ProfileName}, serial number {record.Deck.SerialNumber}: an invented deck, played by the practice deck"
        );
        ConditionsTable.Write(record, terminal);
        terminal.Output.WriteLine(
            "Not proven: the limit lies within the uncertainty, or the uncertainty is not known. Not measured is no verdict on the deck."
        );
        terminal.Output.WriteLine();
        terminal.Output.WriteLine($"Captures      {folder.Capture("")}");
        terminal.Output.WriteLine($"Service book  {folder.Book}");
        terminal.Output.WriteLine($"Record        {folder.RecordHtml}");
        terminal.Output.WriteLine($"              {folder.RecordPdf}");
        terminal.Output.WriteLine(
            $"Signed record {folder.Handover} (spoolwright book verify {Path.Combine(folder.Handover, Desk.SignOffDesk.SheetName)})"
        );
        return ExitCode.Done;
    }
}
