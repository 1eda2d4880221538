using Spoolwright.Bench;
using Spoolwright.Reports.Plots;

namespace Spoolwright.Reports.Text;

/// <summary>
/// The running text of a record, from the page a buyer reads to the pages an engineer checks. Every format sets these blocks, so none can
/// say more
/// or less than another.
/// </summary>
internal static class RecordText
{
    /// <summary>More conditions than this are shown in several tables, so that figures stay legible on paper.</summary>
    private const int ConditionsAbreast = 4;

    public static IReadOnlyList<Block> Of(RecordData data)
    {
        ArgumentNullException.ThrowIfNull(data);
        var methods = new MethodList(ListedFigures.Of(data));
        return [.. FirstPage.Of(data), .. CausesText.Of(data), .. Pictures(data, methods), .. Ledger.Of(data, methods)];
    }

    /// <summary>The sections, in the catalogue's order.</summary>
    private static IEnumerable<Block> Pictures(RecordData data, MethodList methods)
    {
        string before = data.Conditions.All(c => Passes.Before(c)?.Mark == Mark.FirstRun) ? "first run, after cleaning" : "as found";
        return
        [
            .. Speed(data, before),
            .. Playback(data, before),
            .. Azimuth(data, before),
            .. RecordingSections.Of(data, before),
            .. GaugeSections.Of(data, methods),
        ];
    }

    private static IEnumerable<Block> Speed(RecordData data, string before)
    {
        RecordedCondition[] taken = [.. RecordingSections.Taken(data, "speed")];
        var flutter = taken.Select(FlutterPlot.Of).OfType<Drawing>().ToList();
        if (flutter.Count == 0)
            yield break;
        yield return new Heading(2, "Flutter and the parts that make it", "speed", NewPage: true);
        yield return new Paragraph(
            "How much the speed swings, by how often it swings. A peak belongs to a part that turns at that rate, and is named where the deck's profile has such a part.",
            Small: true
        );
        yield return PlotKey.Of(before, "as left", limits: false);
        foreach (Drawing[] row in flutter.Chunk(2))
            yield return new DrawingRow(row, 0.66);
        foreach (RecordedCondition[] abreast in taken.Chunk(ConditionsAbreast))
        {
            if (FlutterLines(abreast) is { } lines)
                yield return lines;
        }
    }

    private static IEnumerable<Block> Playback(RecordData data, string before)
    {
        (double, double) scale = ResponsePlot.Scale(data);
        var responses = data
            .Conditions.Where(c => !c.Passes.Any(p => p.Measurements.Any(m => m.Entry.Measurement == "record")))
            .Select(c =>
                new[] { Channel.Left, Channel.Right, Channel.Both }
                    .Select(side => ResponsePlot.Of(c, side, scale))
                    .OfType<Drawing>()
                    .ToArray()
            )
            .Where(r => r.Length > 0)
            .ToList();
        if (responses.Count == 0)
            yield break;
        yield return new Heading(2, "Response inside its limits", "playback", NewPage: true);
        yield return new Paragraph(
            "How loud each tone of the test tape comes out, against the reference tone. A flat line at 0 dB plays every pitch as loud as it was recorded.",
            Small: true
        );
        yield return PlotKey.Of(before, "as left; bars: its uncertainty", limits: true);
        foreach (Drawing[] row in responses)
            yield return new DrawingRow(row, 0.56);
    }

    private static IEnumerable<Block> Azimuth(RecordData data, string before)
    {
        var azimuth = data
            .Conditions.Where(c => c.Passes.Any(p => p.Measurements.Any(m => m.Entry.Measurement == "azimuth")))
            .Select(AzimuthDrawing.Of)
            .OfType<Drawing>()
            .ToList();
        if (azimuth.Count == 0)
            yield break;
        yield return new Heading(2, "Azimuth", "azimuth");
        yield return new Paragraph(
            "Left: the head gap across the tape, its angle drawn 60 times too large, seen from the side that faces the head; the arrow is the way the tape runs. Right: a tone's phase allows several delays between the channels, one tick each. "
            + "Only the true delay is allowed by every tone: there the ticks stand in one line.", Small: true);
        yield return PlotKey.Of(before, "as left", limits: false);
        foreach (Drawing[] row in azimuth.Chunk(2))
            yield return new DrawingRow(row, 0.72);
    }

    /// <summary>The lines by the part that makes them, so that one part can be followed through the conditions.</summary>
    private static Table? FlutterLines(RecordedCondition[] abreast)
    {
        var passes = abreast.Select(c => Passes.After(c) ?? Passes.Before(c)).ToList();
        var lines = passes.Select(p => p is null ? [] : FlutterPlot.Lines(p).ToList()).ToList();
        var parts = lines.SelectMany(l => l).OrderByDescending(l => l.Value).Select(l => l.Part).Distinct(StringComparer.Ordinal)
            .OrderBy(p => p is null).ToList();
        if (parts.Count == 0)
            return null;
        var columns = new List<Column> { new("Part", 1.5) };
        columns.AddRange(
            abreast.Select(
                (c, i) =>
                    new Column(
                        $"{Words.Capital(Words.Of(c.Condition))}{(passes[i] is { Mark: not Mark.AsLeft } p ? $", {Words.Of(p.Mark)}" : string.Empty)}",
                        2
                    )
            )
        );
        var rows = parts
            .Select(part =>
                (IReadOnlyList<Cell>)
                    [
                        (Cell)(part is null ? "fits no part" : Words.Capital(part)),
                        .. lines.Select(l => new Cell(string.Join('\n', l.Where(x => x.Part == part).Select(Line).DefaultIfEmpty("–")))),
                    ]
            )
            .ToList();
        return new Table(columns, rows)
        {
            Dense = true,
            Caption =
            "Lines of the spectrum, as left where measured: rate, peak swing, and how sure the part is"
        };
    }

    private static string Line(Reading line) =>
        $"{Figures.Frequency(line.FrequencyHz!.Value)}: {Figures.ValueWithUnit(line)}{(line.Part is not null && line.Confidence is { } sure ? $",\n{CausesSection.Percent(sure)} sure" : string.Empty)}";
}
