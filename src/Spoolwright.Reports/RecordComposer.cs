using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;

namespace Spoolwright.Reports;

/// <summary>Makes a record's data out of what the service book holds of a job.</summary>
public static class RecordComposer
{
    // Nominal speeds lie a factor of two apart, their roundings less than half a percent.
    private const double SameSpeedWithin = 0.005;

    /// <summary>The measurement that calibrates the interface and says nothing of the deck.</summary>
    private const string CalibrationId = "loopback";

    /// <summary>
    /// Composes the record. Of each measurement the last one that is not superseded stands; its limits are those it was filed with.
    /// </summary>
    /// <param name="file">The job, whole.</param>
    /// <param name="judge">Holds readings against limits: <c>Judge.Readings</c>.</param>
    /// <param name="written">When the record is written.</param>
    /// <param name="programVersion">Version of the program that writes it.</param>
    /// <param name="expected">Conditions that the deck's profile has: those without a single figure are shown as not measured. Null: only
    /// what was filed.</param>
    /// <param name="workshop">Who vouches for it; null: not said.</param>
    public static RecordData Compose(
        JobFile file, JudgeReadings judge, DateTimeOffset written, string programVersion, IReadOnlyList<Condition>? expected = null,
            string? workshop = null)
    {
        ArgumentNullException.ThrowIfNull(file);
        ArgumentNullException.ThrowIfNull(judge);
        // One speed goes by several roundings (9.5, 9.53); the profile's stands for all of them, else the one filed first.
        var names = new List<Condition>(expected ?? []);
        var filed = file.Measurements.Where(m => m.SupersededBy is null).SelectMany(SheetParts.Of).ToList();
        foreach (Condition c in filed.Select(m => m.Entry.Condition).Concat(file.Unmeasured.Select(u => u.Condition)))
        {
            if (!names.Exists(n => Same(n, c)))
                names.Add(c);
        }

        Condition Name(Condition condition) => names.Find(n => Same(n, condition))!;
        var unmeasured = file.Unmeasured.Select(u => u with { Condition = Name(u.Condition) }).ToList();
        var notSuperseded = filed
            .Select(m => m with { Entry = m.Entry with { Condition = Name(m.Entry.Condition) } }).ToList();
        // The interface's own figures are no figures of the deck.
        var calibrations = notSuperseded.Where(m => m.Entry.Measurement == CalibrationId).OrderBy(m => m.Entry.MeasuredAt).ToList();
        var standing = notSuperseded.Where(m => m.Entry.Measurement != CalibrationId)
            .GroupBy(m => (m.Entry.Condition, m.Entry.Mark, m.Entry.Measurement))
            .SelectMany(g => Standing([.. g.OrderByDescending(m => m.Entry.MeasuredAt).ThenByDescending(m => m.Entry.Id)]))
            .OrderBy(m => CatalogueOrder(m.Entry.Measurement)).ThenBy(m => m.Entry.Measurement, StringComparer.Ordinal)
            .ToList();
        var scope = new JudgedScope([.. standing.Select(m => m.Entry)]);
        var marks = standing.Select(m => m.Entry.Mark).Concat(unmeasured.Select(u => u.Mark)).Distinct().Order().ToList();
        // Tape settings in the profile's order where that is given, test tapes before all.
        var settings = names.Select(n => n.TapeSetting).Distinct().OrderBy(s => s is not null).ToList();
        var conditions = standing.Select(m => m.Entry.Condition).Concat(unmeasured.Select(u => u.Condition)).Concat(expected ?? [])
            .Distinct()
            .OrderBy(c => c.Direction).ThenBy(c => c.SpeedCmPerS).ThenBy(c => settings.IndexOf(c.TapeSetting));

        // The newest limits speak for cells that hold no measurement of their own.
        IReadOnlyList<Limit> newest = standing.Where(m => m.Limits.Count > 0).MaxBy(m => m.Entry.MeasuredAt)?.Limits ?? [];
        var recorded = conditions.Select(c => new RecordedCondition(c, [.. marks.Select(mark => Pass(c, mark)).OfType<RecordedPass>()]))
            .ToList();
        return new RecordData
        {
            Deck = file.Deck,
            Job = file.Job,
            Workshop = workshop,
            Written = written.ToUniversalTime(),
            ProgramVersion = programVersion,
            Conditions = recorded,
            SupersededMeasurements = file.Measurements.Count - standing.Concat(calibrations).Select(m => m.Entry.Id).Distinct().Count(),
            Calibrations = [.. calibrations.Select(m => new PassMeasurement(m.Entry, m.Result))],
            DoesNotProve = WhatItDoesNotProve.Of(recorded),
        };

        RecordedPass? Pass(Condition condition, Mark mark)
        {
            var here = standing.Where(m => m.Entry.Condition == condition && m.Entry.Mark == mark).ToList();
            var missing = unmeasured.Where(u => u.Condition == condition && u.Mark == mark).ToList();
            if (mark == Mark.FirstRun && here.Count == 0 && missing.Count == 0)
                return null; // a first run after cleaning happens only where the deck needed one
            IReadOnlyList<Limit> limits = here.LastOrDefault(m => m.Limits.Count > 0)?.Limits ?? newest;
            // What was typed in is told in a second unit beside the quantity's own; limits hold for that one.
            var readings = here.SelectMany(m => m.Result.Readings)
                .Where(r => Quantity.Find(r.Quantity) is not { } q || q.Unit == r.Unit)
                .ToList();
            var judgements = judge(readings, limits, condition)
                .Where(j => j.Reading is not null || scope.Asks(j.Limit, condition))
                .Select(j => j.Verdict == Verdict.NotMeasured && missing.Count > 0 ? j with { Reason = missing[0].Reason } : j)
                .ToList();
            return new RecordedPass(mark, here.Select(m => new PassMeasurement(m.Entry, m.Result)).ToList(), judgements, missing);
        }
    }

    // A later measurement takes the place of an earlier one that reads the same: a ramp for the output level and one for saturation stand
    // beside each other.
    private static IEnumerable<FiledMeasurement> Standing(IReadOnlyList<FiledMeasurement> latestFirst)
    {
        var read = new HashSet<(string, double?, string?)>();
        var kept = new List<FiledMeasurement>();
        foreach (var m in latestFirst)
        {
            var own = m.Result.Readings.Select(r => (r.Quantity, r.FrequencyHz, r.Place)).ToHashSet();
            if (kept.Count > 0 && (own.Count == 0 || read.Overlaps(own)))
                continue;
            kept.Add(m);
            read.UnionWith(own);
        }

        kept.Reverse();
        return kept;
    }

    private static bool Same(Condition a, Condition b) =>
        a.Direction == b.Direction && a.TapeSetting == b.TapeSetting && Math.Abs(a.SpeedCmPerS - b.SpeedCmPerS) <= SameSpeedWithin * Math
            .Max(a.SpeedCmPerS, b.SpeedCmPerS);

    private static int CatalogueOrder(string measurement)
    {
        var entries = Catalogue.Entries;
        for (int i = 0; i < entries.Count; i++)
        {
            if (entries[i].Id == measurement)
                return i;
        }

        return entries.Count;
    }
}
