using Spoolwright.Bench;
using Spoolwright.Reports.Plots;

namespace Spoolwright.Reports.Text;

/// <summary>The sections on what the deck records itself, in the catalogue's order, each in plain words first.</summary>
internal static class RecordingSections
{
    private const double LowestDb = -12;

    private const string Pairs = "Two figures with a stroke between them are left and right channel.";

    public static IEnumerable<Block> Of(RecordData data, string before)
    {
        (double, double) noise = NoisePlot.Scale(data);
        return
        [
            .. Section(data, "distortion", "Distortion, and how loud the tape may be driven",
                "How much is added to a pure tone. The curve shows it growing with level, held against reference level (0 dB); the marks stand where the third harmonic reaches 3 %, which is as loud as a tape is commonly driven. Filled: left, ring: right. "
                    + Pairs,
                before,
                limits: true,
                DistortionPlot.Of,
                .41,
                TableQuantity.Low("THD at reference level, %", "distortion", "thd"),
                TableQuantity.Simple("Level of 3 %, dB over reference", "distortion", "mol-relative"),
                TableQuantity.Simple("Saturation at 10 kHz, dBFS", "distortion", "saturation")
            ),
            .. Section(
                data,
                "noise",
                "Noise and hum",
                "What is heard when nothing is recorded: hiss of the tape, and hum of the mains at the frequencies named over the curve. The weighted figures count what the ear counts, held against reference level; more is quieter. "
                    + Pairs,
                before,
                limits: false,
                c => NoisePlot.Of(c, noise),
                .41,
                TableQuantity.Simple("A-weighted, dB under reference", "noise", "signal-to-noise-a"),
                TableQuantity.Simple("468-weighted, dB", "noise", "signal-to-noise-468"),
                TableQuantity.Simple("Unweighted, dB", "noise", "signal-to-noise-unweighted")
            ),
            .. Section(
                data,
                "crosstalk",
                "What leaks from track to track",
                "How far below a tone on one channel its leak into the other one lies, tone by tone; and how far below reference level the tracks of the other direction are heard. Filled: tones of the left channel, ring: of the right; bars: their uncertainty. "
                    + Pairs,
                before,
                limits: true,
                SeparationPlot.Of,
                .33,
                TableQuantity.Simple("Separation at 1 kHz, dB", "crosstalk", "separation"),
                TableQuantity.Simple("Other direction, dB under reference", "crosstalk", "reverse-leak")
            ),
            .. Section(
                data,
                "erase",
                "Erasure",
                "How much of a loud tone one pass over the erase head takes away. " + Pairs,
                before,
                limits: false,
                null,
                0,
                TableQuantity.Simple("Depth at 1 kHz, dB", "erase", "erase-depth")
            ),
            .. Dropouts(data, before),
            .. Section(data, "bias", "Bias",
                "The level of a high tone while bias was turned up: it rises over a peak and falls. Each tape is set so far past the peak as its setting asks for (the rule); where the line ends is how the deck stood. Strong: left channel, thin: right. "
                    + Pairs,
                before,
                limits: true,
                BiasPlot.Of,
                .41,
                TableQuantity.Simple("Drop past the peak, dB", "bias", "overbias"),
                TableQuantity.Simple("Wanted, dB", "bias", "overbias-wanted"),
                TableQuantity.Simple("Drop less wanted, dB", "bias", "overbias-error")
            ),
            .. Record(data, before),
        ];
    }

    /// <summary>Conditions in which a measurement was taken.</summary>
    public static IReadOnlyList<RecordedCondition> Taken(RecordData data, string measurement) =>
        [.. data.Conditions.Where(c => c.Passes.Any(p => p.Measurements.Any(m => m.Entry.Measurement == measurement)))];

    private static IEnumerable<Block> Section(
        RecordData data,
        string measurement,
        string title,
        string words,
        string before,
        bool limits,
        Func<RecordedCondition, Drawing?>? draw,
        double height,
        params TableQuantity[] quantities
    )
    {
        var taken = Taken(data, measurement);
        if (taken.Count == 0)
            yield break;
        yield return new Heading(2, title, measurement, NewPage: draw is not null);
        yield return new Paragraph(words, Small: true);
        var drawings = draw is null ? [] : taken.Select(draw).OfType<Drawing>().ToList();
        if (drawings.Count > 0)
            yield return PlotKey.Of(before, "as left", limits, tones: false);
        foreach (Drawing[] row in drawings.Chunk(2))
            yield return new DrawingRow(row, height);
        // Quantities of which nothing was read anywhere say nothing.
        TableQuantity[] shown = [.. quantities.Where(q => taken.Any(c => c.Passes.Any(p => q.Of(p).Any())))];
        if (shown.Length > 0)
            yield return ConditionTable.Of(taken, Words.Measurement(measurement), shown);
    }

    private static IEnumerable<Block> Dropouts(RecordData data, string before)
    {
        foreach (
            Block block in Section(
                data,
                "dropouts",
                "Dropouts",
                "Moments at which the level falls by 6 dB and more for 5 ms and more, and how steady it is between. " + Pairs,
                before,
                limits: false,
                null,
                0,
                TableQuantity.Simple("Found", "dropouts", "dropout-count"),
                TableQuantity.Simple("Per minute", "dropouts", "dropout-rate"),
                TableQuantity.Simple("Level stability, dB", "dropouts", "level-stability")
            )
        )
            yield return block;
        var classes = data
            .Passes.SelectMany(p =>
                p.Pass.Readings.Where(r => r.Quantity == "dropout-class").Select(r => (p.Condition, p.Pass.Mark, Reading: r))
            )
            .ToList();
        if (classes.Count > 0)
        {
            yield return new Table(
                [new Column("Deeper or longer ones: at least", 2.2), new Column("How many, where", 6)],
                [
                    .. classes
                        .GroupBy(x => x.Reading.Class ?? string.Empty)
                        .Select(g =>
                            (IReadOnlyList<Cell>)
                                [
                                    (Cell)g.Key,
                                    string.Join(
                                        "; ",
                                        g.Select(x =>
                                            $"{Figures.Short(x.Reading)} ({Words.Of(x.Reading.Channel)}, {Words.Of(x.Condition)}, {Words.Of(x.Mark)})"
                                        )
                                    ),
                                ]
                        ),
                ]
            )
            {
                Dense = true,
            };
        }
    }

    private static IEnumerable<Block> Record(RecordData data, string before)
    {
        var taken = Taken(data, "record");
        if (taken.Count == 0)
            yield break;
        // Tones beyond the mask may fall far; the plots show what is inside it.
        (double bottom, double top) = ResponsePlot.Scale(data);
        (double, double) scale = (Math.Max(bottom, LowestDb), top);
        yield return new Heading(2, "Record and playback together", "record", NewPage: true);
        yield return new Paragraph(
            "How loud each pitch comes back from a recording made on this deck. The dotted line is record's part alone: the whole less what playback does to a test tape in the same condition. "
                + Pairs,
            Small: true
        );
        yield return PlotKey.Of(before, "as left; bars: its uncertainty", limits: true, tones: true);
        foreach (RecordedCondition c in taken)
            yield return new DrawingRow(
                [.. new[] { Channel.Left, Channel.Right }.Select(side => ResponsePlot.Of(c, side, scale)).OfType<Drawing>()],
                0.3
            );
        yield return ConditionTable.Of(
            taken,
            Words.Measurement("record"),
            TableQuantity.Simple("Highest, dB", "record", "response-max"),
            TableQuantity.Simple("Lowest, dB", "record", "response-min"),
            TableQuantity.Simple("Skew due to record, µs", "record", "record-time-skew")
        );
    }
}
