using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Limits;

/// <summary>
/// Holds typed readings against limits by the same <see cref="Judge"/>. A sheet may hold both directions, so each reading's own direction
/// decides; readings told once more in another unit are not judged twice.
/// </summary>
public static class SheetJudge
{
    /// <summary>Every limit against every reading that it speaks of; one judgement <see cref="Verdict.NotMeasured"/> where there is
    /// none.</summary>
    /// <param name="readings">Readings of a sheet.</param>
    /// <param name="limits">Limits, of any condition.</param>
    /// <param name="direction">Direction of readings that do not say their own; null: not stated.</param>
    /// <param name="speedCmPerS">Tape speed of the sheet; null: not stated.</param>
    /// <param name="tapeSetting">The deck's tape setting; null: not stated.</param>
    public static IReadOnlyList<Judgement> Readings(
        IReadOnlyList<Reading> readings, IReadOnlyList<Limit> limits, Direction? direction, double? speedCmPerS, string? tapeSetting)
    {
        ArgumentNullException.ThrowIfNull(readings);
        ArgumentNullException.ThrowIfNull(limits);
        var judged = new List<Judgement>();
        foreach (var limit in limits)
        {
            if ((limit.SpeedCmPerS is { } speed && speedCmPerS is { } ran && !TapeSpeed.Same(speed, ran))
                || (limit.TapeSetting is { } setting && tapeSetting is { } set && setting != set))
                continue;
            var unstated = limit.SpeedCmPerS is { } s && speedCmPerS is null ? FormattableString.Invariant($"{s} cm/s")
                : limit.TapeSetting is { } t && tapeSetting is null ? $"the tape setting {t}"
                : null;
            if (unstated is not null)
            {
                judged.Add(
                    new Judgement(
                        limit,
                        null,
                        Verdict.NotMeasured,
                        null,
                        $"the limit holds for {unstated} alone, which the sheet does not state"
                    )
                );
                continue;
            }

            var own = readings.Where(r => r.Quantity == limit.Quantity && r.Unit == Quantity.Find(r.Quantity)?.Unit).ToList();
            var spoken = own.Where(r => limit.Direction is not { } way || (r.Direction ?? direction) == way).ToList();
            judged.AddRange(spoken.Select(r => Judge.Reading(r, limit)));
            if (spoken.Count > 0)
                continue;
            // Readings of the other direction alone: the limit is not of this sheet.
            if (own.Count > 0 && own.All(r => (r.Direction ?? direction) is not null))
                continue;
            var which = limit.Direction is { } d ? $" {DeckWords.Word(d)}" : "";
            judged.Add(new Judgement(limit, null, Verdict.NotMeasured, null, $"no reading of {Judge.Named(limit.Quantity)}{which}"));
        }

        return judged;
    }
}
