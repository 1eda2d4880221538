namespace Spoolwright.Bench.Tests.Levels;

/// <summary>Holds stated uncertainties against the errors made over many seeds.</summary>
internal static class CoverageCheck
{
    /// <summary>
    /// About 95 % of the errors lie within what was stated. With <paramref name="sigmas"/> above 0: no fewer than chance allows; with 0,
    /// strictly: 93 to 97 %, and the median stated is at most 1.3 times the empirical one.
    /// </summary>
    public static void Holds(string what, IReadOnlyList<(double Error, double Stated)> list, int expected, double sigmas)
    {
        var inside = list.Count(p => Math.Abs(p.Error) <= p.Stated) / (double)list.Count;
        var empirical = 2 * Math.Sqrt(list.Average(p => p.Error * p.Error));
        var stated = list.Select(p => p.Stated).Order().ElementAt(list.Count / 2);
        TestContext.Current.TestOutputHelper?.WriteLine(
            FormattableString.Invariant(
                $"{what}: {100 * inside:0.0} % of {list.Count} (asked {expected}), stated {stated:0.0000}, empirical {empirical:0.0000}, bias {list.Average(p => p.Error):0.0000}"
            )
        );
        Assert.True(list.Count >= 0.9 * expected, $"{what}: only {list.Count} of {expected} were read");
        Assert.True(
            inside >= (sigmas > 0 ? 0.95 - (sigmas * Math.Sqrt(0.05 * 0.95 / list.Count)) : 0.93),
            FormattableString.Invariant($"{what}: {inside}")
        );
        Assert.True(
            sigmas > 0 || (inside <= 0.97 && stated <= 1.3 * empirical),
            FormattableString.Invariant($"{what}: {inside}, stated {stated}, empirical {empirical}")
        );
    }
}
