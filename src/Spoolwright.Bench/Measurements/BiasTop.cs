using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Measurements;

/// <summary>What the bias tone's level, over the time the control was turned, tells of its peak and of where it ends: the same for a file
/// and live.</summary>
/// <param name="Peak">The peak.</param>
/// <param name="Hill">The hill that a hand climbed; null where none fits, or where it took something else for the peak.</param>
/// <param name="Noise">Noise on the level.</param>
/// <param name="DropDb">Peak less the level at the end.</param>
/// <param name="DropParts">Of its uncertainty, k = 2.</param>
internal sealed record BiasTop(LevelPeak Peak, LevelHill? Hill, LevelNoise Noise, double DropDb, IReadOnlyList<UncertaintyPart> DropParts)
{
    /// <summary>Less than this under the peak, the way says little of the drop.</summary>
    public const double LeastDropDb = 0.3;

    // Two ways to fit one hill; further apart than this and their uncertainties, one of them took something else for the peak.
    private const double DisagreeDb = 0.2;

    // A course less likely than this over a hill (natural logarithm: twenty to one) is the level's own wander: nobody turned. Of a
    // thousand turned ones the least has 3 where all of the noise is slow, 20 where three tenths are, and 48 in white noise; such as
    // nobody turned have −6 and less (docs/decisions/levels.md). Steps that no hill goes over at all are wander too: those of a control
    // it fits.
    private const double LeastLogOdds = 3;

    /// <summary>Of the drop, k = 2.</summary>
    public double DropUncertaintyDb => Math.Sqrt(DropParts.Sum(p => p.Expanded!.Value * p.Expanded.Value));

    /// <summary>Fits a course, 20 points a second; null where it goes over no peak.</summary>
    public static BiasTop? Of(IReadOnlyList<double> level)
    {
        var noise = LevelNoise.Of(level);
        if (LevelPeak.Find(level, noise) is not { } peak)
        {
            return null;
        }

        // A hand that rests is a hand too: what looks like steps, slow noise may have made of a slow turn, and the hill weighs both.
        var hill = LevelHill.Fit(level, LevelCourse.PerSecond);
        if (hill is { LogOdds: < LeastLogOdds } || (hill is null && peak.IsOfSteps))
        {
            return null;
        }

        if (hill is { } h && Math.Abs(h.PeakDb - peak.LevelDb) < DisagreeDb + (2 * (h.NoiseDb + h.MethodDb + peak.NoiseDb + peak.MethodDb)))
        {
            peak = peak with { LevelDb = h.PeakDb, NoiseDb = h.NoiseDb, MethodDb = h.MethodDb, IsOfSteps = false };
        }
        else
        {
            hill = null;
        }

        // Near the top the way says little of the drop: there the level of the end is read by itself.
        if (
            hill is { } fit
            && fit.DropDb > Math.Max(LeastDropDb, double.Hypot(fit.DropNoiseDb, fit.DropMethodDb))
            && fit.DropDb < LevelHill.LowestDb - 1
        )
        {
            return new BiasTop(peak, hill, noise, fit.DropDb, [new("noise", fit.DropNoiseDb), new("method", fit.DropMethodDb)]);
        }

        var (endDb, endNoise) = LevelEnd.Of(level, (int)Math.Ceiling(peak.Index), noise, LevelCourse.PerSecond);
        return new BiasTop(
            peak, hill, noise, peak.LevelDb - endDb, [new("peak", double.Hypot(peak.NoiseDb, peak.MethodDb)), new("noise", endNoise)]);
    }
}
