using Spoolwright.Signal;

namespace Spoolwright.Bench.Controls;

/// <summary>What a person should know beside the advice.</summary>
internal static class TurnNotes
{
    // Mean square misfit, in its own variance, beyond which readings and turns do not belong together; for the few readings there are,
    // chance passes it in far under one case of a hundred.
    private const double Disagreement = 4;

    public static IReadOnlyList<Note> Of(Adjustment adjustment, TurnModel model)
    {
        var notes = new List<Note>();
        for (var t = 0; t < adjustment.Targets.Count; t++)
        {
            var target = adjustment.Targets[t];
            if (adjustment.Moves.Count >= 2 && model.Misfit[t] > Disagreement)
                notes.Add(
                    Note.Warning(
                        "readings-disagree",
                        $"the readings of {target.Quantity} do not follow the turns noted: look for a loose screw, an unsteady reading, or a turn noted wrongly"
                    )
                );
            if (adjustment.Latest[t].Uncertainty is null)
                notes.Add(
                    Note.Warning(
                        "uncertainty-unknown",
                        $"the last reading of {target.Quantity} says no uncertainty: a fifth of the limits' half width stands in, and nothing can be proven"
                    )
                );
            else if (adjustment.Latest[t].Uncertainty > target.HalfWidth)
                notes.Add(
                    Note.Warning(
                        "noise-too-large",
                        $"the readings of {target.Quantity} are more uncertain than its limits are wide: they can guide, not prove"
                    )
                );
            for (var c = 0; c < adjustment.Controls.Count; c++)
            {
                var (value, deviation) = model.Gain(t, c);
                var expected = model.Expected[t, c];
                if (expected.Sign != 0 && value * expected.Sign < -3 * deviation)
                    notes.Add(
                        Note.Warning(
                            "effect-opposite",
                            $"{adjustment.Controls[c].Name} moves {target.Quantity} the other way than stated; the way found is used, but make sure that it is the right control"
                        )
                    );
            }
        }

        for (var c = 0; c < adjustment.Controls.Count; c++)
        {
            var control = adjustment.Controls[c];
            if (
                adjustment
                    .Moves.Select((_, m) => adjustment.Dial(c, m + 1))
                    .Any(d => d < control.From - 1e-9 * control.Span || d > control.To + 1e-9 * control.Span)
            )
                notes.Add(
                    Note.Warning("beyond-range", $"{control.Name} was turned beyond the range given; correct the range or the turns noted")
                );
        }

        return notes;
    }
}
