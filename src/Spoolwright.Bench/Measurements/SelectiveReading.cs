using Spoolwright.Signal;
using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Measurements;

/// <summary>Ratios of a level to what is left of it: where nothing is seen in the noise, the least that is proven is read and
/// said.</summary>
internal static class SelectiveReading
{
    /// <summary>The reading of a ratio, positive where little is left.</summary>
    /// <param name="quantity">What it is.</param>
    /// <param name="full">Power of the level held against.</param>
    /// <param name="left">What is left.</param>
    /// <param name="methodDb">What the method leaves open, k = 2.</param>
    /// <param name="method">How it was measured.</param>
    /// <param name="channel">The channel.</param>
    /// <param name="hz">The tone's nominal frequency.</param>
    /// <param name="notes">Takes the note on what the noise hides.</param>
    /// <param name="word">What it is, in a sentence.</param>
    /// <param name="more">Further parts of the uncertainty.</param>
    public static Reading Ratio(
        Quantity quantity,
        double full,
        LinePower left,
        double methodDb,
        string method,
        Channel channel,
        double hz,
        List<Note> notes,
        string word,
        params UncertaintyPart[] more
    )
    {
        if (left.IsSeen)
        {
            return Uncertain.Reading(
                quantity,
                10 * Math.Log10(full / left.Power),
                [new("noise", SelectiveCapture.ExpandedDb(left)), new("method", methodDb), new("interface-response", null), .. more],
                method,
                channel,
                hz
            );
        }

        var least = 10 * Math.Log10(full / Math.Max(left.Most, 1e-20));
        notes.Add(
            Note.Warning(
                "at-least",
                FormattableString.Invariant(
                    $"At {hz:0.##} Hz nothing of the tone is seen in the noise of what was read for the {PlaybackMeasurement.Word(channel)} channel: its {word} is at least {least:0.0} dB, and how much more is not known. A longer capture sees deeper."
                )
            )
        );
        // No part of it is known, so no uncertainty is stated: the bound holds downwards only, and the Judge takes it so.
        return Uncertain.Reading(
            quantity,
            least,
            [new(Bench.Reading.AtLeastPart, null), new("interface-response", null), .. more],
            "at least, as noise hides what is left: " + method,
            channel,
            hz
        );
    }
}
