using System.Globalization;
using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Service;
using Spoolwright.Signal;

namespace Spoolwright.Reports.Text;

/// <summary>The last pages: every figure with all that is needed to trust it or not.</summary>
internal static class Ledger
{
    /// <summary>More notes than this that differ in their numbers alone are told as one.</summary>
    private const int MostAlike = 3;

    public static IEnumerable<Block> Of(RecordData data, MethodList methods)
    {
        yield return new Heading(2, "Figures and their uncertainty", "figures", NewPage: true);
        yield return new Paragraph(
            "Value ± expanded uncertainty (k = 2, about 95 %), in the unit after the quantity; what the uncertainties are made of stands after the tables. "
                + ListedFigures.LeftOut
                + " “Not stated” means that nobody knows how far the figure may be off. L and R are the channels; m1, m2 … name the method, listed after the tables.",
            Small: true
        );
        foreach (RecordedCondition condition in data.Conditions)
        {
            yield return new Heading(3, Words.Capital(Words.Of(condition.Condition)));
            string[] measurements = [.. condition.Passes.SelectMany(p => p.Measurements).Select(m => m.Entry.Measurement)
                .Where(m => !ListedFigures.IsTyped(m)).Distinct(StringComparer.Ordinal).OrderBy(CatalogueOrder)];
            if (measurements.Length == 0)
                yield return new Paragraph("No figure was taken in this condition.");
            foreach (Table table in FigureTables.Of(condition, measurements, methods))
                yield return table;
        }

        yield return new Heading(3, "What the uncertainties are made of");
        yield return FigureTables.Parts(data);
        yield return new Heading(2, "Limits and whence they come", "limits");
        yield return Limits(data);
        yield return new Heading(2, "Methods", "methods");
        yield return new Table(
            [new Column(string.Empty, .5), new Column("Method, with detector, band and the standard's key", 9)],
            [.. methods.Texts.Select((m, i) => (IReadOnlyList<Cell>)[(Cell)MethodList.Name(i), m])]
        )
        {
            Dense = true,
        };
        yield return new Paragraph(
            $"“{OpenNumbers.Open}” stands for a number that is the single figure’s own, such as the seconds it was averaged over; the CSV and JSON have it. Keys in square brackets stand for the editions listed in the program's list of standards, docs/standards.md.",
            Small: true
        );
        yield return new Heading(2, "Instruments", "instruments");
        yield return data.Instruments.Count == 0
            ? new Paragraph("No instrument was named; the figures lean on nothing that could be checked.")
            : new Table([new Column("Kind", 1.2), new Column("Name", 2), new Column("What is known of it", 4)],
                [.. data.Instruments.Select(i => (IReadOnlyList<Cell>)[(Cell)Words.InstrumentKind(i.Kind), i.Name, i.Remark
                    ?? "nothing is known of its calibration"])])
            { Dense = true };
        foreach (Block block in LoopbackSection.Of(data))
            yield return block;
        yield return new Heading(2, "Captures", "captures");
        yield return new Paragraph(
            "The sound that the figures were read from, known by its SHA-256. Whoever holds the file can compute the hash, and can measure it again."
                + (
                    data.SupersededMeasurements > 0
                        ? $" {Count(data.SupersededMeasurements)} superseded by later ones; the service book keeps them."
                        : string.Empty
                ),
            Small: true
        );
        foreach (Block block in Captures(data))
            yield return block;
        foreach (Block block in Notes(data))
            yield return block;
        yield return new Heading(2, "What this record does not prove", "edges");
        yield return new Findings([.. data.DoesNotProve.Select(s => new Finding(null, string.Empty, s))]);
    }

    private static Table Limits(RecordData data)
    {
        var limits = data
            .Passes.SelectMany(p => p.Pass.Judgements)
            .Select(j => j.Limit)
            .GroupBy(l =>
                (
                    l.Quantity,
                    l.Min,
                    l.Max,
                    l.SpeedCmPerS,
                    l.Direction,
                    l.TapeSetting,
                    l.FrequencyHz,
                    l.Source,
                    Mask: string.Join(';', l.Mask)
                )
            )
            .Select(g => g.First());
        return new Table(
            [new Column("Quantity", 2.4), new Column("Limit", 3.4), new Column("Holds for", 2), new Column("Source", 3)],
            [
                .. limits.Select(l =>
                    (IReadOnlyList<Cell>)
                        [
                            (Cell)Words.Quantity(l.Quantity),
                            l.Mask.Count == 0
                                ? Words.Of(l, Quantity.Find(l.Quantity)?.Unit ?? string.Empty)
                                : string.Join(
                                    "; ",
                                    l.Mask.Select(m =>
                                        $"{Figures.Frequency(m.FromHz)} to {Figures.Frequency(m.ToHz)}: {Figures.Plain(m.MinDb, true)} to {Figures.Plain(m.MaxDb, true)} dB"
                                    )
                                ),
                            Holds(l),
                            l.Source,
                        ]
                ),
            ]
        )
        {
            Dense = true,
        };
    }

    private static string Holds(Limit limit)
    {
        string[] words =
        [
            limit.Direction is { } d ? Words.Of(d) : string.Empty,
            limit.SpeedCmPerS is { } s ? Figures.Speed(s) : string.Empty,
            limit.TapeSetting ?? string.Empty,
            limit.FrequencyHz is { } f ? Figures.Frequency(f) : string.Empty,
        ];
        string said = string.Join(", ", words.Where(w => w.Length > 0));
        return said.Length == 0 ? "every condition" : said;
    }

    // One table a condition; what all of them have in common is said once.
    private static IEnumerable<Block> Captures(RecordData data)
    {
        var all = data.Calibrations.Concat(data.Passes.SelectMany(p => p.Pass.Measurements)).ToList();
        foreach (var group in all.GroupBy(m => (m.Entry.Condition, m.Entry.Mark)))
        {
            yield return new Table(
                [new Column(string.Empty, 2.7), new Column(string.Empty, 2), new Column(string.Empty, 5.6)],
                [
                    .. group
                        .GroupBy(m => (m.Entry.Capture.Sha256, m.Entry.Capture.File))
                        .Select(g =>
                        {
                            CaptureEntry e = g.First().Entry;
                            return (IReadOnlyList<Cell>)
                                [
                                    (Cell)(e.Capture.File.Length == 0 ? "no file" : e.Capture.File),
                                    $"{Sound(e.Capture)}; {string.Join(", ", g.Select(m => m.Entry.Measurement))}{Other(data, g)}",
                                    e.Capture.Sha256,
                                ];
                        }),
                ]
            )
            {
                Dense = true,
                Caption =
                    $"{Words.Capital(Words.Of(group.Key.Condition))}, {Words.Of(group.Key.Mark)}; measured {Moments([.. group.Select(m => m.Entry.MeasuredAt)])}",
            };
        }
    }

    private static string Sound(Capture capture) =>
        capture.SampleRateHz is null
            ? "typed in"
            : string.Create(
                CultureInfo.InvariantCulture,
                $"{capture.Seconds:0.0} s, {capture.Channels} ch, {capture.SampleRateHz / 1000.0:0.###} kHz"
            );

    private static string Moments(IReadOnlyList<DateTimeOffset> at)
    {
        (DateTimeOffset first, DateTimeOffset last) = (at.Min(), at.Max());
        return last - first < TimeSpan.FromMinutes(1) ? Figures.Moment(first) : $"{Figures.Moment(first)} to {Figures.Moment(last)}";
    }

    private static int CatalogueOrder(string measurement)
    {
        int at = Catalogue.Entries.ToList().FindIndex(e => e.Id == measurement);
        return at < 0 ? int.MaxValue : at;
    }

    // The version stands on the first page; one that differs is said.
    private static string Other(RecordData data, IEnumerable<PassMeasurement> measurements) =>
        string.Concat(
            measurements.Select(m => m.Entry.ProgramVersion).Where(v => v != data.ProgramVersion).Distinct().Select(v => $", by {v}")
        );

    /// <summary>Notes of one kind and place stand together; the same note of several places stands once.</summary>
    private static IEnumerable<Block> Notes(RecordData data)
    {
        yield return new Heading(2, "Notes taken while measuring", "notes");
        var everywhere = data
            .Calibrations.Concat(data.Passes.SelectMany(p => p.Pass.Measurements))
            .Select(m => m.Entry)
            .ToLookup(e => (e.Mark, e.Measurement), e => e.Condition);
        var notes = data
            .Calibrations.Concat(data.Passes.SelectMany(p => p.Pass.Measurements))
            .SelectMany(m => m.Result.Notes.Select(n => (Note: n, m.Entry)))
            .ToList();
        var rows = notes
            .GroupBy(x => (x.Note.Severity, x.Note.Code, Shape: OpenNumbers.Shape(x.Note.Text)))
            .SelectMany(g => Told([.. g]))
            .Select(g => (g.Note, Where: Places(g.Entries, everywhere)))
            .GroupBy(x => (x.Note.Severity, x.Note.Code, x.Where))
            .OrderByDescending(g => g.Key.Severity)
            .Select(g => (IReadOnlyList<Cell>)[
                new Cell(g.Key.Severity switch { NoteSeverity.Error => "figure missing", NoteSeverity.Warning => "less sure", _ =>
                    "to know" }, g.Key.Code),
                string.Join('\n', g.Select(x => x.Note.Text)),
                g.Key.Where,
            ]).ToList();
        if (rows.Count == 0)
            yield return new Paragraph("None.");
        else
            yield return new Table([new Column("Weight", 1.2), new Column("What was seen", 5.4), new Column("Where", 2.6)], rows)
            {
                Dense = true,
            };
    }

    /// <summary>Each note by itself where they are few; where many differ in their numbers alone, one that leaves those open.</summary>
    private static IEnumerable<(Note Note, IEnumerable<CaptureEntry> Entries)> Told(IReadOnlyList<(Note Note, CaptureEntry Entry)> alike)
    {
        var apart = alike.GroupBy(x => x.Note).ToList();
        return apart.Count <= MostAlike ? apart.Select(g => (g.Key, g.Select(x => x.Entry)))
            : [(alike[0].Note with { Text = apart.Select(g => g.Key.Text).Aggregate(OpenNumbers.Merge) }, alike.Select(x => x.Entry))];
    }

    private static string Places(IEnumerable<CaptureEntry> entries, ILookup<(Mark, string), Condition> everywhere) =>
        string.Join("; ", entries
        .GroupBy(e => (e.Mark, e.Measurement))
        .Select(g => (g.Key, Conditions: g.Select(e => e.Condition).Distinct().ToList()))
        .Select(x => $"{Words.Measurement(x.Key.Measurement)}, {Words.Of(x.Key.Mark)}: "
            + (x.Conditions.Count > 1 && x.Conditions.Count == everywhere[x.Key].Distinct().Count() ? "every condition measured"
                : string.Join(" and ", x.Conditions.Select(Words.Of)))));

    private static string Count(int n) => n == 1 ? "One measurement was" : $"{n} measurements were";
}
