using Spectre.Console;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Reports.Text;
using Spoolwright.Signal;

namespace Spoolwright.App.Cli;

/// <summary>Prints readings for people: what was measured, single figures, figures tone by tone, verdicts, notes, methods.</summary>
internal static class ReadingsTable
{
    // Tone columns beside each other in one table before 80 columns are full.
    private const int MostToneColumns = 3;

    public static void Write(MeasurementEntry entry, MeasuredFile measured, MeasurementSettings settings, Terminal terminal)
    {
        var console = Screen.Of(terminal);
        WriteHead(terminal, entry, measured.Capture, settings);
        var readings = measured.Result.Readings;
        WriteSingles(console, [.. readings.Where(r => IsSingle(r, readings))], measured.Judgements);
        foreach (var columns in ToneTables([.. readings.Where(r => !IsSingle(r, readings))], measured.Judgements))
            console.Write(ToneTable.Build(columns, measured.Judgements));
        UnknownParts.Write(entry, readings, terminal);
        WriteVerdicts(terminal, measured.Judgements);
        WriteNotes(terminal, measured.Result.Notes);
        WriteMethods(terminal, readings, measured.Capture.SampleRateHz is not null);
    }

    private static void WriteHead(Terminal terminal, MeasurementEntry entry, Capture capture, MeasurementSettings settings)
    {
        var to = terminal.Output;
        to.WriteLine($"{entry.Name}: {(capture.File.Length == 0 ? "typed in the call" : capture.File)}");
        if (capture.SampleRateHz is null)
        {
            var hash = capture.Sha256.Length == 0 ? "" : $"typed readings, SHA-256 {capture.Sha256[..16]}…";
            var deck = settings.Profile?.Name ?? "";
            if (hash.Length + deck.Length > 0)
                to.WriteLine(string.Join(", ", new[] { hash, deck }.Where(t => t.Length > 0)));
            return;
        }

        var channels = capture.Channels == 1 ? "1 channel" : $"{capture.Channels} channels";
        to.WriteLine(
            $"{UncertainFigure.Plain(Math.Round(capture.Seconds ?? 0, 1))} s, {capture.SampleRateHz} Hz, {channels}, SHA-256 {capture.Sha256[..16]}…"
        );
        if (settings.Condition is { } condition)
        {
            var setting = condition.TapeSetting is { } name ? $", tape setting {name}" : "";
            to.WriteLine(
                $"{Bench.Decks.DeckWords.Word(condition.Direction)}, {UncertainFigure.Plain(condition.SpeedCmPerS)} cm/s{setting}{(settings.Profile is { } p ? ", " + p.Name : "")}"
            );
        }
    }

    private static void WriteSingles(IAnsiConsole console, IReadOnlyList<Reading> readings, IReadOnlyList<Judgement> judgements)
    {
        if (readings.Count == 0)
            return;
        var judged = judgements.Any(j => readings.Contains(j.Reading));
        var table = new Table().Border(TableBorder.Simple);
        table.AddColumn(new TableColumn("Reading"));
        table.AddColumn(new TableColumn("Value").RightAligned().NoWrap());
        table.AddColumn(new TableColumn("Unit").NoWrap());
        if (judged)
        {
            table.AddColumn(new TableColumn("Limit").RightAligned().NoWrap());
            table.AddColumn(new TableColumn("Verdict").NoWrap());
        }

        foreach (var reading in readings)
        {
            var own = judgements.Where(j => ReferenceEquals(j.Reading, reading)).DefaultIfEmpty().ToList();
            for (var i = 0; i < own.Count; i++)
            {
                string[] cells =
                    i == 0 ? [NameOf(reading), UncertainFigure.Format(reading), reading.Unit == "1" ? "" : reading.Unit] : ["", "", ""];
                if (judged)
                    cells =
                    [
                        .. cells,
                        own[i] is { } j ? VerdictText.Limit(reading, j.Limit) : "",
                        own[i] is { } k ? VerdictText.Marked(k.Verdict) : "",
                    ];
                table.AddRow([.. cells.Select((c, column) => column == 4 ? new Markup(c) : new Markup(Markup.Escape(c)))]);
            }
        }

        console.Write(table);
    }

    // What has one value for the capture (a balance at the reference tone, a highest response) is no column of a table over tones.
    private static bool IsSingle(Reading reading, IReadOnlyList<Reading> all) =>
        reading.FrequencyHz is null
        || (reading.Quantity is not ("tone-level" or "response" or "phase" or "time-skew" or "flutter-line")
            && all.Count(r => r.Quantity == reading.Quantity && r.Channel == reading.Channel && r.Unit == reading.Unit) == 1);

    private static string NameOf(Reading reading)
    {
        var name = Quantity.Find(reading.Quantity)?.Name ?? reading.Quantity;
        if (reading.Class is { } of)
            name = $"{name} ({of})";
        if (reading.Channel != Channel.Both)
            name = $"{name}, {ContractWords.Of(reading.Channel)}";
        if (!string.IsNullOrEmpty(reading.Place))
            name = $"{name}: {reading.Place}";
        return reading.FrequencyHz is { } tone ? $"{name}, at {UncertainFigure.Plain(tone)} Hz" : name;
    }

    /// <summary>Quantities with a value for each tone, gathered so that as many stand side by side as fit; one that is judged stands
    /// alone.</summary>
    private static IEnumerable<IReadOnlyList<ToneColumn>> ToneTables(IReadOnlyList<Reading> readings, IReadOnlyList<Judgement> judgements)
    {
        List<ToneColumn> open = [];
        foreach (var quantity in readings.Where(r => r.FrequencyHz is not null).GroupBy(r => r.Quantity, StringComparer.Ordinal))
        {
            var columns = quantity
                .GroupBy(r => r.Channel)
                .OrderBy(c => c.Key)
                .Select(c => new ToneColumn(quantity.Key, c.Key, [.. c]))
                .ToList();
            var alone =
                judgements.Any(j => j.Reading is { } r && quantity.Contains(r))
                || quantity.Any(r => r.Part is not null)
                || quantity.Key == Quantity.FlutterLine.Id;
            if (open.Count > 0 && (alone || open.Count + columns.Count > MostToneColumns))
            {
                yield return open;
                open = [];
            }

            open.AddRange(columns);
            if (!alone)
                continue;
            yield return open;
            open = [];
        }

        if (open.Count > 0)
            yield return open;
    }

    private static void WriteVerdicts(Terminal terminal, IReadOnlyList<Judgement> judgements)
    {
        if (judgements.Count == 0)
            return;
        var counts = judgements.GroupBy(j => j.Verdict).OrderBy(g => g.Key).Select(g => $"{g.Count()} {VerdictText.Word(g.Key)}");
        terminal.Output.WriteLine();
        terminal.Output.WriteLine($"Limits: {string.Join(", ", counts)}");
        var unread = judgements.Where(j => j.Verdict == Verdict.NotMeasured)
            .Select(j => new HelpRow(j.Limit.Quantity, j.Reason ?? "")).Distinct();
        TextLayout.WriteColumns(terminal.Output, unread, terminal.Width);
    }

    private static void WriteNotes(Terminal terminal, IReadOnlyList<Note> notes)
    {
        if (notes.Count == 0)
            return;
        terminal.Output.WriteLine();
        terminal.Output.WriteLine("Notes");
        TextLayout.WriteColumns(
            terminal.Output,
            notes.OrderByDescending(n => n.Severity).Select(n => new HelpRow(ContractWords.Of(n.Severity), n.Text)),
            terminal.Width
        );
    }

    private static void WriteMethods(Terminal terminal, IReadOnlyList<Reading> readings, bool ofCapture)
    {
        if (readings.Count == 0)
            return;
        terminal.Output.WriteLine();
        // What chance would change in another capture is no part of ±: a method that knows it says so.
        terminal.Output.WriteLine(
            $"How (uncertainties are k = 2{(ofCapture ? ", of the value in this capture" : "")}{(readings.Any(r => r.Uncertainty is null) ? "; ± ? is not known" : "")})"
        );
        var methods = readings
            .GroupBy(r => r.Method, StringComparer.Ordinal)
            .Select(g => (Names: string.Join(", ", g.Select(r => r.Quantity).Distinct(StringComparer.Ordinal)), Text: g.Key))
            .GroupBy(m => (m.Names, OpenNumbers.Shape(m.Text)))
            .Select(g => (g.Key.Names, Text: g.Select(m => m.Text).Aggregate(OpenNumbers.Merge)))
            .ToList();
        foreach (var (names, text) in methods)
            TextLayout.WriteParagraph(terminal.Output, $"{names}: {text}", terminal.Width, indent: 2);
        if (methods.Any(m => m.Text.Contains(OpenNumbers.Open, StringComparison.Ordinal)))
            TextLayout.WriteParagraph(
                terminal.Output, $"{OpenNumbers.Open} is a number of the single figure's own, which --json and --csv have.", terminal.Width, indent: 2);
    }
}
