using System.Collections.Concurrent;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Service;
using Spoolwright.Reports;

namespace Spoolwright.App.Desk;

/// <summary>
/// What ailed a deck, weighed once for the same measurements: it costs tenths of a second, and a record is looked at more often than a
/// measurement is filed. Measurements are only ever added, so their ids tell whether it is the same.
/// </summary>
internal static class KnownAilments
{
    // The jobs on a bench, and those looked up beside them.
    private const int Most = 64;

    private static readonly ConcurrentDictionary<(Guid Job, Guid Last, int Count), Ailments?> Known = new();

    /// <summary>What the job's readings say; null: there is none to weigh.</summary>
    public static Ailments? Of(JobFile file)
    {
        if (file.Measurements.Count == 0)
            return null;
        var key = (file.Job.Id, file.Measurements.Max(m => m.Entry.Id), file.Measurements.Count);
        if (Known.Count > Most)
            Known.Clear();
        return Known.GetOrAdd(key, static (_, f) => Ailments.Of(f, CauseBook.Default), file);
    }
}
