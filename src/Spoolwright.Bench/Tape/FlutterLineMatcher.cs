using Spoolwright.Bench.Decks;

namespace Spoolwright.Bench.Tape;

/// <summary>
/// Names the rotating part behind each line of the flutter. Each harmonic of each part claims lines near its rate, by a normal curve as
/// wide as the line's uncertainty and the part's tolerance together (a reel of unknown radius: evenly over its range); something unknown
/// claims lines anywhere, evenly over the logarithm of frequency. A confidence is a cause's share of all claims. So it falls when several
/// parts fit, and when so many rates lie close together that some would fit any line; it rises when other harmonics of the same part are
/// seen.
/// </summary>
/// <remarks>Our own method; the widths are those of <see cref="RotatingRates"/>, common practice without a source. Its calibration is
/// tested.</remarks>
public static class FlutterLineMatcher
{
    // Unknown causes: evenly from 0.1 to 1000 Hz in ln f.
    private const double UnknownDensity = 0.1086;

    // Worth of the claim of anything unknown against that of all parts together, before the lines are looked at.
    private const double UnknownShareAtFirst = 0.3;

    // A harmonic whose part shows other harmonics as well is worth up to this many times more.
    private const double FamilyGain = 4;

    private const int Rounds = 4;
    private const double HumWithinHz = 0.1;
    private static readonly double[] MainsHz = [50, 60, 100, 120];

    /// <summary>One match for each line, in the order given.</summary>
    /// <param name="lines">Lines of the flutter spectrum.</param>
    /// <param name="profile">The deck.</param>
    /// <param name="condition">Direction and speed of the capture.</param>
    /// <param name="speedErrorPercent">Measured speed error, %.</param>
    /// <param name="radii">Present radii of the reels, where known.</param>
    public static IReadOnlyList<FlutterLineMatch> Match(
        IReadOnlyList<FlutterLineSeen> lines, DeckProfile profile, Condition condition, double speedErrorPercent, ReelRadii? radii = null)
    {
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(condition);
        foreach (var line in lines)
        {
            Wavelength.Positive(line.FrequencyHz, nameof(lines));
            Wavelength.NotNegative(line.FrequencyUncertaintyHz, nameof(lines));
        }

        var rates = RotatingRates.Of(profile, condition.Direction, condition.SpeedCmPerS, radii, speedErrorPercent);
        var claims = rates.SelectMany(r => Enumerable.Range(1, Math.Max(1, r.Part.Harmonics)).Select(h => new FlutterClaim(r, h))).ToList();
        var shares = Shares(lines, claims);
        return [.. lines.Select((line, i) => Tell(line, claims, shares[i]))];
    }

    // Shares of every claim in every line; what is left of 1 belongs to something unknown.
    private static double[][] Shares(IReadOnlyList<FlutterLineSeen> lines, List<FlutterClaim> claims)
    {
        var shares = lines.Select(_ => new double[claims.Count]).ToArray();
        var unknownShare = UnknownShareAtFirst;
        for (var round = 0; round < Rounds; round++)
        {
            var worth = claims.Select((c, n) => c.Worth * (1 + FamilyGain * FamilySeen(claims, shares, n))).ToArray();
            var allWorth = Math.Max(worth.Sum(), double.Epsilon);
            var unknown = 0.0;
            for (var i = 0; i < lines.Count; i++)
            {
                var weights = claims.Select((c, n) => (1 - unknownShare) * worth[n] / allWorth * c.Density(lines[i])).ToArray();
                var total = weights.Sum() + unknownShare * UnknownDensity;
                shares[i] = [.. weights.Select(w => w / total)];
                unknown += unknownShare * UnknownDensity / total;
            }

            // The share of unknown causes is learned from the lines themselves, held by as much as two lines' worth of prior.
            unknownShare = (unknown + 2 * UnknownShareAtFirst) / (lines.Count + 2);
        }

        return shares;
    }

    // How surely another harmonic of the same part is seen in some line, 0 to 1.
    private static double FamilySeen(List<FlutterClaim> claims, double[][] shares, int n)
    {
        var seen = 0.0;
        for (var m = 0; m < claims.Count; m++)
        {
            if (m == n || !ReferenceEquals(claims[m].Rate, claims[n].Rate) || claims[n].Rate.IsRange)
                continue;
            foreach (var line in shares)
                seen = Math.Max(seen, line[m]);
        }

        return seen;
    }

    private static FlutterLineMatch Tell(FlutterLineSeen line, List<FlutterClaim> claims, double[] shares)
    {
        var fits = claims
            .Select((c, n) => new FlutterFit(c.Cause, Math.Clamp(shares[n], 0, 1)))
            .OrderByDescending(f => f.Confidence)
            .ToList();
        var known = shares.Sum();
        // Named once the parts of the profile together are likelier than something unknown.
        var best = fits.Count > 0 && known >= 0.5 ? fits[0] : null;
        var rivals = fits.Skip(best is null ? 0 : 1).Where(f => f.Confidence >= 0.1).ToList();
        var miss = best is null ? claims.MinBy(c => c.Distance(line.FrequencyHz))?.Cause : null;
        var hum = MainsHz.Any(m => Math.Abs(line.FrequencyHz - m) <= HumWithinHz);
        return new FlutterLineMatch(line, best, rivals, miss, FlutterWords.Sentence(line, best, rivals, miss, hum), hum);
    }
}
