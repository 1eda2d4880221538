using Spoolwright.Bench.Causes;

namespace Spoolwright.Reports.Plots;

/// <summary>The pictures that speak for a cause, the one that says most first.</summary>
internal static class CausePlots
{
    private const int Most = 3;

    /// <summary>The drawings of one finding, each with its height against its width.</summary>
    public static IReadOnlyList<(Drawing Drawing, double HeightShare)> Of(Ailments of, CauseFinding finding) =>
        [.. All(of, finding).Where(d => d.Drawing is not null).Take(Most).Select(d => (d.Drawing!, d.HeightShare))];

    private static IEnumerable<(Drawing? Drawing, double HeightShare)> All(Ailments of, CauseFinding finding)
    {
        var responses = CauseResponse.Fitted(finding);
        if (responses.Count > 0)
        {
            yield return (CauseResponse.Residual(finding, responses[0]), 0.46);
            yield return (CauseResponse.OverFrequency(finding), 0.46);
            yield return (CauseResponse.OverWavelength(finding), 0.46);
            // Two speeds tell more of head against electronics than two directions do.
            if (responses.All(r => r.Of.Name != "playback/response") || responses.Select(r => r.Place.SpeedCmPerS).Distinct().Count() < 2)
                yield return (CauseResponse.Directions(of.Found, responses[0]), 0.46);
        }

        yield return (CauseRing.Of(of, finding), 0.46);
        yield return CauseScale.Of(of.Found, finding);
    }
}
