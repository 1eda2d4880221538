namespace Spoolwright.Reports.Text;

/// <summary>What was read from gauge and stopwatch, by reel, fill and direction.</summary>
internal static class GaugeSections
{
    public static IEnumerable<Block> Of(RecordData data, MethodList methods)
    {
        var kinds = Bench
            .Measurements.Catalogue.Entries.Where(e => e.MeasureSheet is not null && RecordingSections.Taken(data, e.Id).Count > 0)
            .ToList();
        if (kinds.Count == 0)
            yield break;
        yield return new Heading(2, "Gauge and stopwatch", "gauges");
        yield return new Paragraph(
            "Forces and times read by hand and typed in, each through its gauge’s own calibration: how hard each reel pulls with much and with little tape on it, how brakes hold, how long a fast wind takes.",
            Small: true
        );
        foreach (var kind in kinds)
        {
            yield return new Heading(3, kind.Name, kind.Id);
            foreach (RecordedCondition condition in RecordingSections.Taken(data, kind.Id))
            {
                foreach (Table table in FigureTables.Of(condition, [kind.Id], methods))
                    yield return table;
            }
        }
    }
}
