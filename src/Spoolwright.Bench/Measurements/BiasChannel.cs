using Spoolwright.Signal;
using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Measurements;

/// <summary>One channel's bias readings.</summary>
internal sealed class BiasChannel(
    BiasCourse course,
    BiasCourse? companion,
    Channel channel,
    double nominalHz,
    MeasurementSettings settings,
    WantedDrop? wanted,
    List<Note> notes
)
{
    private const double SteadyDb = 0.25;
    // Slow noise that makes the peak this much less well known than the 0.05 dB asked of a steady tape is worth saying.
    private const double WanderingDb = 0.02;
    private const double WideDb = 0.1;

    // Of little use for setting a drop of some decibels, whatever made it so.
    private const double HardlyKnownDb = 0.3;

    // Of a normal distribution's middle value: so many times the variance of its mean (π/2, closed form).
    private const double MiddleScatter = 1.571;
    private string Word => PlaybackMeasurement.Word(channel);

    public IEnumerable<Reading> Readings()
    {
        var level = course.LevelDb;
        if (BiasTop.Of(level) is not { } top)
        {
            throw NoPeak(LevelNoise.Of(level).Over(21));
        }

        var (peak, hill, noise, drop, ofDrop) = top;
        AddDoubts(peak, hill);

        var how =
            peak.IsOfSteps ? "parabola through the levels held in steps, the steps of the control taken as equal"
            : hill is null ? "polynomial through the level's course over the peak, as wide as its shape allows; never the highest sample"
            : "peak of the hill that the level's course climbs, by a hand at its own pace under white and slow noise; never the highest sample";
        UncertaintyPart[] ofPeak = [new("noise", peak.NoiseDb), new("method", peak.MethodDb), new("interface-response", null)];
        yield return Uncertain.Reading(
            Quantity.BiasPeak,
            peak.LevelDb,
            ofPeak,
            FormattableString.Invariant($"{how}; at {Time(peak.Index):0.0} s"),
            channel,
            nominalHz
        );

        var uncertainty = top.DropUncertaintyDb;
        var side = SideOf(peak, drop, uncertainty);
        if (side == BiasSide.Under)
        {
            // Shown, and of use to whoever turns; but no drop past the peak, so nothing to hold a limit against.
            yield return Uncertain.Reading(
                Quantity.Overbias,
                drop,
                ofDrop,
                "peak less the level at the end of the capture, short of the peak by the 1 kHz beside the tone: too little bias",
                channel,
                nominalHz
            ) with
            {
                Class = BiasMeasurement.Word(side),
                Judgeable = false,
            };
            notes.Add(
                Note.Warning(
                    "under-biased",
                    FormattableString.Invariant(
                        $"The {Word} channel ends {drop:0.0} dB under its peak on the side of too little bias: 1 kHz fell with it. Turn the bias up, over the peak."
                    )
                )
            );
            yield break;
        }

        yield return Uncertain.Reading(
            Quantity.Overbias,
            drop,
            ofDrop,
            "peak less the level at the end of the capture"
                + (
                    side == BiasSide.Over ? ", past the peak by the 1 kHz beside the tone"
                    : side == BiasSide.Unknown ? ", side of the peak unknown"
                    : ""
                ),
            channel,
            nominalHz
        ) with
        {
            Class = BiasMeasurement.Word(side),
        };
        if (wanted is null)
        {
            yield break;
        }

        yield return new Reading
        {
            Quantity = Quantity.OverbiasWanted.Id,
            Value = wanted.Db,
            Unit = Quantity.OverbiasWanted.Unit,
            Channel = channel,
            FrequencyHz = nominalHz,
            Method = wanted.Source,
            Judgeable = false,
        };
        yield return Uncertain.Reading(
            Quantity.OverbiasError, drop - wanted.Db, ofDrop,
            FormattableString.Invariant($"drop less the {wanted.Db:0.##} dB wanted"), channel, nominalHz);
        if (WantedAt(peak, noise.Over(21)) is { } at)
        {
            yield return at;
        }
    }

    private void AddDoubts(LevelPeak peak, LevelHill? hill)
    {
        var known = double.Hypot(peak.NoiseDb, peak.MethodDb);
        if (hill is { } h && h.SlowDb > WanderingDb && known > WideDb)
        {
            notes.Add(
                Note.Warning(
                    "level-wanders",
                    FormattableString.Invariant(
                        $"The {Word} channel's level goes in steps or wanders by itself, some {h.SlowDb:0.00} dB in every octave, so the peak is known to {known:0.00} dB only. Turn slowly and evenly over the peak again and compare; clean the path, or try another piece of tape."
                    )
                )
            );
        }
        else if (known > HardlyKnownDb)
        {
            notes.Add(
                Note.Warning(
                    "peak-uncertain",
                    FormattableString.Invariant(
                        $"The {Word} channel's peak, at {Time(peak.Index):0.0} s, is known to {known:0.0} dB only: too little of the tone is heard there. Turn slowly over the peak again, 15 s within half a decibel of it."
                    )
                )
            );
        }
    }

    private double Time(double index) => course.SecondsAt(index) - ((settings.MonitorDelayMs ?? 0) / 1000);

    private BiasSide SideOf(LevelPeak peak, double drop, double uncertainty)
    {
        if (companion is null || companion.LevelDb.Count < course.LevelDb.Count - 5)
        {
            if (drop > Math.Max(0.3, uncertainty))
            {
                notes.Add(
                    Note.Warning(
                        "side-unknown",
                        $"On which side of the bias peak the {Word} channel ends is unknown: a tone alone does not say. Record 1 kHz at 20 dB under reference together with it (spoolwright signal bias)."
                    )
                );
            }

            return drop > Math.Max(0.3, uncertainty) ? BiasSide.Unknown : BiasSide.AtPeak;
        }

        var beside = companion.LevelDb;
        var variance = LevelNoise.Of(beside).Over((int)LevelCourse.PerSecond);
        int n = (int)LevelCourse.PerSecond,
            at = Math.Clamp((int)peak.Index, 0, beside.Count - 1);
        // Middle ones: a dropout, at the end or on the peak, takes 1 kHz down as if the bias had.
        double Middle(int from, int to) =>
            Enumerable.Range(Math.Max(0, from), Math.Max(1, Math.Min(beside.Count, to) - Math.Max(0, from)))
                .Select(i => beside[i]).Order().ElementAt(Math.Max(0, Math.Min(beside.Count, to) - Math.Max(0, from) - 1) / 2);
        var change = Middle(beside.Count - n, beside.Count) - Middle(at - n, at + n + 1);
        var side = BiasMeasurement.Side(drop, uncertainty, change, 2 * Math.Sqrt(variance * 1.5 * MiddleScatter / n));
        if (side == BiasSide.Unknown)
        {
            notes.Add(
                Note.Warning(
                    "side-unknown",
                    FormattableString.Invariant(
                        $"On which side of the bias peak the {Word} channel ends is unknown: 1 kHz changed by {change:0.0} dB meanwhile, which fits neither side."
                    )
                )
            );
        }

        return side;
    }

    // Where the course, smoothed, first lies the wanted drop under the peak after it.
    private Reading? WantedAt(LevelPeak peak, double variance)
    {
        const int Reach = 10;
        var smooth = LevelPeak.Smooth(course.LevelDb, Reach);
        for (var i = (int)peak.Index + 1; i < smooth.Length; i++)
        {
            if (peak.LevelDb - smooth[i] < wanted!.Db)
            {
                continue;
            }

            int from = Math.Max((int)peak.Index, i - Reach), to = Math.Min(smooth.Length, i + Reach);
            if (LevelLine.Slope(course.LevelDb, from, to) is not { } slope || slope > -1e-3)
            {
                continue;
            }

            var before = peak.LevelDb - smooth[i - 1];
            var share = (wanted.Db - before) / Math.Max(1e-9, peak.LevelDb - smooth[i] - before);
            var noise = double.Hypot(peak.NoiseDb, 2 * Math.Sqrt(variance / ((2 * Reach) + 1))) / (-slope * LevelCourse.PerSecond);
            return Uncertain.Reading(
                Quantity.WantedDropTime,
                Time(i - 1 + Math.Clamp(share, 0, 1)),
                [new("noise", noise)],
                "time in the capture at which the level, over a second, first lay the wanted drop under the peak"
                    + (
                        settings.MonitorDelayMs is { } ms
                            ? FormattableString.Invariant($", less the monitor delay of {ms:0} ms: when the control stood there")
                            : "; the control stood there a monitor delay earlier"
                    ),
                channel,
                nominalHz
            );
        }

        notes.Add(
            Note.Hint(
                "wanted-drop-not-reached",
                FormattableString.Invariant($"The {Word} channel never lies {wanted!.Db:0.0} dB under its peak after it.")
            )
        );
        return null;
    }

    private CannotMeasureException NoPeak(double variance)
    {
        var smooth = LevelPeak.Smooth(course.LevelDb, 10);
        double highest = smooth.Max(), range = highest - smooth.Min();
        if (range < Math.Max(SteadyDb, 8 * Math.Sqrt(variance / 21)))
        {
            return new CannotMeasureException(
                "no-peak",
                FormattableString.Invariant(
                    $"The tone's level hardly changes ({range:0.0} dB): the bias was not turned. Turn it slowly from too little, over the peak, while the tone is recorded and heard."
                )
            );
        }

        var at = Array.IndexOf(smooth, highest);
        var where =
            at > smooth.Length * 0.9 ? "still rises at the end"
            : at < smooth.Length * 0.1 ? "falls from the start on"
            : FormattableString.Invariant($"goes over no peak that can be told from its own wander ({range:0.0} dB in all)");
        return new CannotMeasureException(
            "no-peak",
            $"The level {where}, so no peak can be fitted. Turn the bias on, slowly, until the level has risen to its peak and fallen again."
        );
    }
}
