using Spoolwright.Bench.Limits;

namespace Spoolwright.Reports;

/// <summary>Says what a reader might take from the record and must not. A record that a buyer can trust names its own edges.</summary>
internal static class WhatItDoesNotProve
{
    public static IReadOnlyList<string> Of(IReadOnlyList<RecordedCondition> conditions)
    {
        var said = new List<string>
        {
            "The figures hold for the day and the tape they were taken with; wear, transport and storage change a deck, and the record says nothing of how long they will hold.",
            "A capture's hash shows that the sound has not changed since it was measured. It does not show that the sound came from this deck: for that you rely on the workshop.",
        };
        var readings = conditions.SelectMany(c => c.Passes).SelectMany(p => p.Readings).ToList();
        var judgements = conditions.SelectMany(c => c.Passes).SelectMany(p => p.Judgements).ToList();
        if (readings.Exists(r => r.Quantity is "response" or "playback-level" or "azimuth-angle"))
            said.Add(
                "Response, level and azimuth are read from a test tape; what that tape is off by and its certificate does not state is in the figures."
            );
        if (readings.Exists(r => r.Quantity == "azimuth-angle"))
            said.Add(
                "The azimuth angle is the apparent one: stagger of the two gaps, the tape's own azimuth and skew of the audio interface are in it."
            );
        int unknown = readings.Count(r => r.Uncertainty is null),
            partly = readings.Count(r => r.Uncertainty is not null && r.Parts.Any(p => p.Expanded is null));
        if (unknown > 0)
            said.Add(
                $"{Count(unknown, "figure has", "figures have")} no stated uncertainty; held against a limit, such a figure is never more than not proven."
            );
        if (partly > 0)
            said.Add(
                $"{Count(partly, "figure has", "figures have")} parts of uncertainty whose size is not known; their stated uncertainty covers the known parts alone."
            );
        if (readings.Exists(r => !r.Judgeable))
            said.Add("Tones marked as not judged are shown for what they are worth; nothing follows from them.");
        if (judgements.Exists(j => j.Verdict == Verdict.NotMeasured))
            said.Add("Not measured means that there is no figure. It is no verdict on the deck, for or against.");
        said.Add(
            "Only what is listed was measured. The figures say nothing of electrical safety, nor of anything else that is not in the tables."
        );
        return said;
    }

    private static string Count(int n, string one, string many) => n == 1 ? $"One {one}" : $"{n} {many}";
}
