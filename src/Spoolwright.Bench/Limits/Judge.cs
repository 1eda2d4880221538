using System.Globalization;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Limits;

/// <summary>
/// Holds readings against limits, their uncertainty weighed: <em>met</em> when the whole interval of value ± U lies within the limit,
/// <em>not met</em>
/// when it lies wholly beyond, <em>not proven</em> between and where U is not known. A bound (<see cref="Bench.Reading.IsAtLeast"/>) has
/// one side: <em>met</em>
/// when it lies at or above a lower limit and there is no upper one, otherwise <em>not proven</em>.
/// </summary>
public static class Judge
{
    // A tone is nominal on both sides; 3 % tells the closest neighbours of any tone list apart.
    private const double SameToneWithin = 0.03;

    // Ends are included; the sum of two decimal fractions may miss an end by its last bits.
    private const double Rounding = 1e-12;

    /// <summary>One reading against one limit of its quantity.</summary>
    /// <exception cref="ArgumentException">The quantities differ, a figure is not finite, or no step of the mask holds the reading's
    /// tone.</exception>
    public static Judgement Reading(Reading reading, Limit limit)
    {
        ArgumentNullException.ThrowIfNull(reading);
        ArgumentNullException.ThrowIfNull(limit);
        if (reading.Quantity != limit.Quantity)
            throw new ArgumentException(
                $"a reading of {reading.Quantity} cannot be held against a limit of {limit.Quantity}",
                nameof(reading)
            );
        if (!double.IsFinite(reading.Value))
            throw new ArgumentException($"the value of {reading.Quantity} is {Figure(reading.Value)}", nameof(reading));
        if (reading.Uncertainty is { } stated && !(double.IsFinite(stated) && stated >= 0))
            throw new ArgumentException($"the uncertainty of {reading.Quantity} is {Figure(stated)}; expected 0 or more", nameof(reading));
        var (min, max) = Interval(reading, limit);
        var margin = Margin(reading.Value, min, max);
        if (!reading.Judgeable)
            return new Judgement(
                limit,
                reading,
                Verdict.NotMeasured,
                margin,
                "the reading is shown but must not be judged; its notes say why"
            );
        if (reading.IsAtLeast)
        {
            return max is null && min is { } least && reading.Value >= least - (Rounding * Math.Max(1, Math.Abs(reading.Value)))
                ? new Judgement(limit, reading, Verdict.Met, margin)
                : new Judgement(
                    limit,
                    reading,
                    Verdict.NotProven,
                    margin,
                    "the reading is a bound, at least this much: noise hides the rest"
                );
        }

        if (reading.Uncertainty is not { } uncertainty)
            return new Judgement(limit, reading, Verdict.NotProven, margin, "the uncertainty of the reading is not known");

        var slack = Rounding * Math.Max(1, Math.Abs(reading.Value));
        var (low, high) = (reading.Value - uncertainty, reading.Value + uncertainty);
        if (!(low < min - slack) && !(high > max + slack))
            return new Judgement(limit, reading, Verdict.Met, margin);
        if (high < min - slack || low > max + slack)
            return new Judgement(limit, reading, Verdict.NotMet, margin);
        var end = high > max + slack ? max : min;
        return new Judgement(limit, reading, Verdict.NotProven, margin,
            $"the limit {Figure(end!.Value)} {reading.Unit} lies within the uncertainty of ±{Figure(uncertainty)} {reading.Unit}");
    }

    /// <summary>
    /// Every limit against every reading that it speaks of: per channel and tone. A limit that holds for the condition but has no reading
    /// gives one judgement <see cref="Verdict.NotMeasured"/>; so does one whose speed, direction or tape setting is not stated by the
    /// condition. Tones outside a mask are not judged.
    /// </summary>
    /// <param name="readings">Readings of one condition.</param>
    /// <param name="limits">Limits, of any condition; those of others are passed over.</param>
    /// <param name="condition">The readings' condition; null: not stated.</param>
    public static IReadOnlyList<Judgement> Readings(
        IReadOnlyList<Reading> readings,
        IReadOnlyList<Limit> limits,
        Condition? condition = null
    )
    {
        ArgumentNullException.ThrowIfNull(readings);
        ArgumentNullException.ThrowIfNull(limits);
        var judged = new List<Judgement>();
        foreach (var limit in limits)
        {
            if (!Applies(limit, condition, out var unstated))
                continue;
            if (unstated is not null)
            {
                judged.Add(new Judgement(limit, null, Verdict.NotMeasured, null,
                    $"the limit holds for {unstated} alone, which the condition does not state"));
                continue;
            }

            var before = judged.Count;
            judged.AddRange(readings.Where(r => Matches(r, limit)).Select(r => Reading(r, limit)));
            if (judged.Count == before)
                judged.Add(new Judgement(limit, null, Verdict.NotMeasured, null, WhyNone(limit)));
        }

        return judged;
    }

    /// <summary>Judgements gathered by limit, in the order of the limits, each with its worst reading.</summary>
    public static IReadOnlyList<LimitSummary> Summarise(IReadOnlyList<Judgement> judgements)
    {
        ArgumentNullException.ThrowIfNull(judgements);
        return [.. judgements.GroupBy(j => j.Limit, ReferenceEqualityComparer.Instance).Select(g => LimitSummary.Of([.. g]))];
    }

    /// <summary>One verdict for many: the worst of not met, not proven, not measured, met; none at all is not measured.</summary>
    public static Verdict Overall(IEnumerable<Verdict> verdicts)
    {
        ArgumentNullException.ThrowIfNull(verdicts);
        var all = verdicts.ToHashSet();
        return all.Contains(Verdict.NotMet) ? Verdict.NotMet
            : all.Contains(Verdict.NotProven) ? Verdict.NotProven
            : all.Contains(Verdict.NotMeasured) || all.Count == 0 ? Verdict.NotMeasured
            : Verdict.Met;
    }

    /// <summary>The interval that the limit sets for this reading; null where one side is open.</summary>
    /// <exception cref="ArgumentException">No step of the mask holds the reading's tone.</exception>
    public static (double? Min, double? Max) Interval(Reading reading, Limit limit)
    {
        ArgumentNullException.ThrowIfNull(reading);
        ArgumentNullException.ThrowIfNull(limit);
        if (limit.Mask.Count == 0)
            return (LimitSenses.Of(limit.Quantity) == LimitSense.Magnitude ? null : limit.Min, limit.Max);
        // Where two steps touch, the tone must keep to both.
        var steps = limit.Mask.Where(s => Holds(s, reading.FrequencyHz)).ToList();
        if (steps.Count == 0)
        {
            var tone = reading.FrequencyHz is { } f ? Figure(f) + " Hz" : "a reading without a frequency";
            throw new ArgumentException($"no step of the mask holds {tone}", nameof(reading));
        }

        return (steps.Max(s => s.MinDb), steps.Min(s => s.MaxDb));
    }

    private static bool Applies(Limit limit, Condition? condition, out string? unstated)
    {
        unstated = null;
        if (limit.SpeedCmPerS is { } speed)
        {
            if (condition is null)
                unstated = $"{Figure(speed)} cm/s";
            else if (!TapeSpeed.Same(speed, condition.SpeedCmPerS))
                return false;
        }

        if (limit.Direction is { } direction)
        {
            if (condition is null)
                unstated ??= DeckWords.Word(direction);
            else if (direction != condition.Direction)
                return false;
        }

        if (limit.TapeSetting is { } setting)
        {
            if (condition?.TapeSetting is null)
                unstated ??= $"the tape setting {setting}";
            else if (setting != condition.TapeSetting)
                return false;
        }

        return true;
    }

    private static bool Matches(Reading reading, Limit limit)
    {
        if (reading.Quantity != limit.Quantity)
            return false;
        if (limit.Mask.Count > 0)
            return limit.Mask.Any(s => Holds(s, reading.FrequencyHz));
        return limit.FrequencyHz is not { } tone || (reading.FrequencyHz is { } at && Math.Abs(at / tone - 1) <= SameToneWithin);
    }

    private static bool Holds(MaskStep step, double? frequencyHz) =>
        frequencyHz is { } f && f >= step.FromHz * (1 - Rounding) && f <= step.ToHz * (1 + Rounding);

    private static double? Margin(double value, double? min, double? max) =>
        (min, max) switch
        {
            (null, null) => null,
            (null, { } high) => high - value,
            ({ } low, null) => value - low,
            ({ } low, { } high) => Math.Min(value - low, high - value),
        };

    private static string WhyNone(Limit limit)
    {
        var name = Named(limit.Quantity);
        if (limit.Mask.Count > 0)
            return $"no reading of {name} at a tone inside the mask";
        return limit.FrequencyHz is { } tone ? $"no reading of {name} at {Figure(tone)} Hz" : $"no reading of {name}";
    }

    /// <summary>A quantity's plain name as it stands within a sentence; abbreviations keep their capitals.</summary>
    internal static string Named(string quantity)
    {
        var name = Quantity.Find(quantity)?.Name ?? quantity;
        return name.Length > 1 && char.IsLower(name[1]) ? char.ToLowerInvariant(name[0]) + name[1..] : name;
    }

    private static string Figure(double value) => value.ToString("G6", CultureInfo.InvariantCulture);
}
