using System.CommandLine;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Signal;

namespace Spoolwright.App.Cli;

/// <summary><c>spoolwright measure ID FILE</c>: one command a catalogue entry.</summary>
internal static class MeasureCommand
{
    /// <summary>The group, with a command for each entry.</summary>
    public static Command Build(IReadOnlyList<MeasurementEntry> entries, Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var group = new Command("measure", "Turns a capture of what a deck plays into readings, and holds them against limits.");
        lessons[group] = new Lesson
        {
            Paragraphs =
            [
                "A capture is a sound file of the deck's output, recorded from both channels at one fixed gain, without any processing. "
                + "The file is read and never changed; its SHA-256 is printed with the readings, so that a figure can be traced to its sound.",
                "What is read from a gauge or a stopwatch is typed in: into a sheet of readings, or straight into the call.",
            ],
            Examples =
            [
                new("spoolwright measure speed speed-forward.wav", "Reads speed, drift, wow and flutter from a capture of a speed tape."),
                new("spoolwright measure playback --help", "Says what to play, and which options there are."),
            ],
            ExitCodes = ExitCodes,
        };
        foreach (var entry in entries)
            group.Add(
                entry.MeasureSheet is null ? BuildEntry(entry, terminal, lessons) : SheetCommand.Build(entry, ExitCodes, terminal, lessons)
            );
        return group;
    }

    private static IReadOnlyList<HelpRow> ExitCodes { get; } =
    [
        HelpRow.Of(ExitCode.Done, "measured; no limit is broken (one may still be not proven, or not measured)"),
        HelpRow.Of(ExitCode.LimitNotMet, "measured, and a limit given with the call or by the profile is not met"),
        HelpRow.Of(ExitCode.CallWrong, "the call is wrong, or a file named in it"),
        HelpRow.Of(
            ExitCode.CannotMeasure,
            "the sound or sheet cannot be measured; one line on standard error says what is wrong, where, and what to do"
        ),
    ];

    private static Command BuildEntry(MeasurementEntry entry, Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var options = new MeasureOptions(entry);
        var command = new Command(entry.Id, entry.Description) { options.File };
        foreach (var option in options.For(entry.Takes))
            command.Add(option);
        command.SetAction(call => Run(entry, MeasureRequest.From(call, options), terminal));
        lessons[command] = new Lesson
        {
            WhatToPlay = entry.WhatToPlay,
            Reads = [.. entry.Yields.Select(q => new HelpRow(q.Id, $"{q.Meaning} In {q.Unit}."))],
            Examples = MeasureExamples.For(entry),
            ExitCodes = ExitCodes,
        };
        return command;
    }

    private static int Run(MeasurementEntry entry, MeasureRequest request, Terminal terminal)
    {
        // The deck's own recordings: whoever reads one is about to make another.
        if (DeckMatrix.IsOfTapeSetting(entry.Id))
            LoadedTapeWatch.Warn(named: null, terminal);
        MeasuredFile measured;
        try
        {
            measured = MeasureProgress.Show(
                terminal,
                entry.Name,
                progress => FileMeasurement.Run(entry, request.File, request.Channels, request.Settings, request.Limits, progress)
            );
        }
        catch (CannotMeasureException e)
        {
            throw new CannotMeasureException(e.Code, $"{request.File}: {e.Message}", e);
        }
        catch (IOException e)
        {
            throw new CannotMeasureException("unreadable", $"{request.File}: reading stopped: {e.Message}", e);
        }
        catch (ArgumentOutOfRangeException e) when (e.ParamName == "channels")
        {
            throw new CallException($"--channels: {e.Message.Split('(')[0].Split(Environment.NewLine)[0].Trim()}");
        }

        if (request.SaveCalibration is { } calibration)
        {
            InputFiles.WriteNew(
                calibration,
                LoopbackFile.ToJson(
                    LoopbackCalibration.Of(
                        measured.Result,
                        measured.Capture,
                        request.Settings.InterfaceName!,
                        request.Settings.CapturedOn!.Value
                    )
                )
            );
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
                ReadingsTable.Write(entry, measured, request.Settings, terminal);
                break;
        }

        return measured.BreaksLimit ? ExitCode.LimitNotMet : ExitCode.Done;
    }
}
