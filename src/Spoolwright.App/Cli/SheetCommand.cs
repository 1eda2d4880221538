using System.CommandLine;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.App.Cli;

/// <summary><c>spoolwright measure ID SHEET.json</c>: the command of a catalogue entry that is read from a gauge and typed in.</summary>
internal static class SheetCommand
{
    public static Command Build(
        MeasurementEntry entry,
        IReadOnlyList<HelpRow> exitCodes,
        Terminal terminal,
        IDictionary<Command, Lesson> lessons
    )
    {
        var options = new SheetOptions(entry, MeasureOptions.LimitsOf(entry));
        var command = new Command(entry.Id, entry.Description) { options.File };
        foreach (var option in options.All)
            command.Add(option);
        command.SetAction(call => Run(entry, SheetRequest.From(entry, call, options), terminal));
        lessons[command] = new Lesson
        {
            WhatToDo = entry.WhatToPlay,
            Reads = [.. entry.Yields.Select(q => new HelpRow(q.Id, $"{q.Meaning} In {q.Unit}."))],
            Examples = MeasureExamples.ForSheet(entry),
            ExitCodes = exitCodes,
        };
        return command;
    }

    private static int Run(MeasurementEntry entry, SheetRequest request, Terminal terminal)
    {
        MeasuredFile measured;
        try
        {
            measured = SheetMeasurement.Run(entry, request.File, request.Bytes, request.Sheet, request.Settings, request.Limits);
        }
        catch (CannotMeasureException e) when (request.File is not null)
        {
            throw new CannotMeasureException(e.Code, $"{request.File}: {e.Message}", e);
        }

        switch (request.Format)
        {
            case OutputFormat.Json:
                ReadingsJson.Write(measured, withVerdicts: request.Limits.Count > 0, terminal.Output);
                break;
            case OutputFormat.Csv:
                ReadingsCsv.Write(measured, terminal.Output);
                ReadingsCsv.WriteAside(measured, terminal.Error);
                break;
            default:
                ReadingsTable.Write(entry, measured, new MeasurementSettings { Profile = request.Settings.Profile }, terminal);
                break;
        }

        return measured.BreaksLimit ? ExitCode.LimitNotMet : ExitCode.Done;
    }
}
