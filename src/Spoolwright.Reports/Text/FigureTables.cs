using Spoolwright.Bench;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Reports.Text;

/// <summary>
/// The tables of every figure of one measurement in one condition: what speaks of both channels together first, then the channels side by
/// side; under them what the uncertainties are made of.
/// </summary>
internal static class FigureTables
{
    private static readonly Channel[] Sides = [Channel.Left, Channel.Right];

    /// <summary>The tables of one condition, its measurements one under another in one table.</summary>
    /// <param name="condition">The condition.</param>
    /// <param name="measurements">Ids of the measurements to list.</param>
    /// <param name="methods">The record's methods.</param>
    public static IEnumerable<Table> Of(RecordedCondition condition, IReadOnlyList<string> measurements, MethodList methods)
    {
        var passes = condition.Passes.Where(p => p.Measurements.Any(m => measurements.Contains(m.Entry.Measurement)))
            .Select(p => new FiguresOfPass(p, measurements)).ToList();
        // Rows of a quantity stand together, also those that only one of the passes has.
        var keys = passes
            .SelectMany(p => p.Keys)
            .Distinct()
            .GroupBy(k => (k.Measurement, k.Quantity))
            .OrderBy(g => measurements.ToList().IndexOf(g.Key.Measurement))
            .SelectMany(g => g)
            .ToList();
        if (keys.Where(k => k.Channel == Channel.Both).ToList() is { Count: > 0 } together)
            yield return Table(null, passes, [.. together.Select(k => (k, new[] { Channel.Both }))], [Channel.Both], methods);

        if (
            keys.Where(k => k.Channel != Channel.Both).Select(k => k with { Channel = Channel.Both }).Distinct().ToList() is
            { Count: > 0 } apart
        )
            yield return Table(null, passes, [.. apart.Select(k => (k, Sides))], Sides, methods);
    }

    /// <summary>What the uncertainties of each measurement are made of, over the whole record.</summary>
    public static Table Parts(RecordData data)
    {
        var measured = data.Passes.SelectMany(p => p.Pass.Measurements).GroupBy(m => m.Entry.Measurement, StringComparer.Ordinal);
        return new Table([new Column("Measurement", 1.4), new Column("Uncertainty", 7)],
            [.. measured.Select(g => (IReadOnlyList<Cell>)[
                (Cell)Words.Measurement(g.Key), Parts(g.SelectMany(m => m.Result.Readings.Where(r => ListedFigures.Lists(g.Key, r))))])])
        { Dense = true };
    }

    private static Table Table(
        string? caption,
        List<FiguresOfPass> passes,
        IReadOnlyList<(FigureKey Key, Channel[] Channels)> rows,
        Channel[] channels,
        MethodList methods
    )
    {
        bool tones = rows.Any(r => r.Key.FrequencyHz is not null);
        var columns = new List<Column> { new("Quantity", channels.Length == 1 ? 4.4 : 3.1) };
        if (tones)
            columns.Add(new Column("Tone", 1.3, true));
        foreach (FiguresOfPass pass in passes)
        {
            columns.AddRange(channels.Select(c => new Column(
                c == Channel.Both ? Words.Of(pass.Mark) : $"{Words.Of(pass.Mark)}, {Words.Of(c)}", 2.3, true)));
        }

        columns.AddRange([new Column("Limit", 1.75, true), new Column("Verdict", 2.5), new Column("How", .8)]);
        return new Table(columns, [.. rows.Select(r => Row(passes, r.Key, r.Channels, methods, tones))])
        {
            Dense = true,
            Caption = caption,
        };
    }

    private static IReadOnlyList<Cell> Row(List<FiguresOfPass> passes, FigureKey key, Channel[] channels, MethodList methods, bool tones)
    {
        var readings = passes.Select(p => channels.Select(c => p.Reading(key with { Channel = c })).ToArray()).ToList();
        var all = readings.SelectMany(r => r).OfType<Reading>().ToList();
        string unit = all[0].Unit;
        var row = new List<Cell>
        {
            new(
                (unit is "1" or "1/min" ? Words.Quantity(key.Quantity) : $"{Words.Quantity(key.Quantity)}, {unit}")
                    + (Words.Where(key.Where) is { Length: > 0 } where ? $": {where}" : string.Empty)
            ),
        };
        if (tones)
            row.Add(key.FrequencyHz is { } f ? Figures.Frequency(f) : "–");
        row.AddRange(readings.SelectMany(r => r).Select(Value));
        var worst = readings.Select((r, i) => Worst(passes[i], r)).OfType<Judgement>().ToList();
        row.Add(worst.Count == 0 ? "–" : Words.Of(worst[^1].Limit, "1", key.FrequencyHz));
        row.Add(
            worst.Count == 0
                ? new Cell(all.TrueForAll(r => r.Judgeable) ? "–" : "not judged")
                : new Cell(
                    Said(worst[^1], channels),
                    worst.Count > 1 && worst[0].Verdict != Verdict.Met ? "was " + Words.Of(worst[0].Verdict) : null,
                    worst[^1].Verdict
                )
        );
        row.Add(string.Join(' ', all.Select(methods.NameOf).Distinct(StringComparer.Ordinal)));
        return row;
    }

    private static Judgement? Worst(FiguresOfPass pass, Reading?[] readings)
    {
        Judgement? worst = Summary.Worst(readings.OfType<Reading>().SelectMany(pass.Judged));
        return worst is null || Summary.NotJudged(worst) ? null : worst;
    }

    private static string Said(Judgement judgement, Channel[] channels) =>
        Words.WithMargin(judgement, judgement.Reading!.Unit)
        + (channels.Length > 1 ? $",\u00A0{(judgement.Reading.Channel == Channel.Left ? "L" : "R")}" : string.Empty);

    private static Cell Value(Reading? reading)
    {
        if (reading is null)
            return new Cell("–");
        return new Cell($"{Figures.Value(reading)}\u00A0±\u00A0{Figures.UncertaintyNumber(reading)}", reading.Part);
    }

    /// <summary>What the uncertainties of a measurement are made of, each part from its smallest to its largest; what is not known, by
    /// name.</summary>
    private static string Parts(IEnumerable<Reading> readings)
    {
        var parts = readings.SelectMany(r => r.Parts.Select(p => (r.Unit, p.Name, p.Expanded))).ToList();
        var known = parts.Where(p => p.Expanded is not null).GroupBy(p => (p.Name, p.Unit)).Where(g => g.Any(p => p.Expanded > 0))
            .Select(g => (g.Key.Name, Range: Range(g.Min(p => p.Expanded!.Value), g.Max(p => p.Expanded!.Value), g.Key.Unit)))
            .GroupBy(x => x.Name).Select(g => $"{Words.Part(g.Key)} ({string.Join("; ", g.Select(x => x.Range))})").ToList();
        var unknown = parts.Where(p => p.Expanded is null).Select(p => Words.Part(p.Name)).Distinct().ToList();
        return (known.Count == 0 ? "No part of any uncertainty is known." : $"Uncertainty from {string.Join(", ", known)}.")
            + (unknown.Count == 0 ? string.Empty : $" Not known, and so in none of the figures: {string.Join(", ", unknown)}.");
    }

    private static string Range(double least, double most, string unit)
    {
        string low = Figures.Size(least), high = Figures.Size(most);
        return Figures.Join(low == high || low.Trim('0', '.').Length == 0 ? $"up to {high}" : $"{low} to {high}", unit);
    }

    // A line of the mains is read where it stands, a few hundredths of a hertz apart in two channels or on two days; its row is that of its
    // nominal frequency.
    private static double? Named(Reading reading)
    {
        if (reading is not { Quantity: "hum", FrequencyHz: > 40 and var hz })
            return reading.FrequencyHz;
        double[] near = [50 * Math.Round(hz / 50), 60 * Math.Round(hz / 60)];
        return near.Where(f => Math.Abs((hz / f) - 1) < 0.0125).OrderBy(f => Math.Abs(hz - f)).Select(f => (double?)f).FirstOrDefault()
            ?? hz;
    }

    /// <summary>What a figure speaks of; several of the same kind are told apart by their order.</summary>
    private readonly record struct FigureKey(
        string Measurement,
        string Quantity,
        Channel Channel,
        double? FrequencyHz,
        string? Where,
        string Unit,
        int Again
    );

    private sealed class FiguresOfPass
    {
        private readonly Dictionary<FigureKey, Reading> _byKey = [];
        private readonly ILookup<Reading, Judgement> _judged;

        public FiguresOfPass(RecordedPass pass, IReadOnlyList<string> measurements)
        {
            Mark = pass.Mark;
            _judged = pass.Judgements.Where(j => j.Reading is not null).ToLookup(j => j.Reading!);
            foreach (
                (string measurement, Reading r) in pass
                    .Measurements.Where(m => measurements.Contains(m.Entry.Measurement))
                    .SelectMany(m =>
                        m.Result.Readings.Where(r => ListedFigures.Lists(m.Entry.Measurement, r)).Select(r => (m.Entry.Measurement, r))
                    )
            )
            {
                var key = new FigureKey(measurement, r.Quantity, r.Channel, Named(r), r.Place ?? r.Class, r.Unit, 0);
                while (!_byKey.TryAdd(key, r))
                    key = key with { Again = key.Again + 1 };
            }
        }

        public Mark Mark { get; }

        public IEnumerable<FigureKey> Keys => _byKey.Keys;

        public Reading? Reading(FigureKey key) => _byKey.GetValueOrDefault(key);

        public IEnumerable<Judgement> Judged(Reading reading) => _judged[reading];
    }
}
