using Spoolwright.Signal;
using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Measurements;

/// <summary>Says what of a capture counts as steady noise, and tells what was left out.</summary>
internal static class NoiseSteadiness
{
    private const double TellSpreadDb = 1.5;

    /// <summary>Per step whether it counts in every channel; null where all of it does.</summary>
    public static bool[]? Judge(NoiseMeter meter, int channels, List<Note> notes, bool canRepeat)
    {
        bool[]? keep = null;
        for (var c = 0; c < channels; c++)
        {
            var found = Steadiness.Of(meter.Steps(c));
            if (meter.Steps(c).All(p => p < 1e-16))
            {
                continue;
            }

            var name = channels == 1 ? "" : c == 0 ? " in the left channel" : " in the right channel";
            if (found.SpreadDb > TellSpreadDb)
            {
                notes.Add(
                    Note.Warning(
                        "unsteady-noise",
                        FormattableString.Invariant(
                            $"The noise{name} moves by {found.SpreadDb:0.0} dB from one second to the next; its figures are means. Look for a bad contact, a sticking tape, or modulation."
                        )
                    )
                );
            }

            if (!found.IsUsable)
            {
                notes.Add(
                    Note.Warning(
                        "unsteady-noise",
                        $"Less than half of the capture is steady noise{name}: all of it was measured, and the figures say little of the deck. Capture blank tape running, with nothing else going on."
                    )
                );
                continue;
            }

            var left = canRepeat ? "left out of the figures" : "and counts in the figures, since this input cannot be gone over again";
            if (found.Clicks > 0)
            {
                notes.Add(
                    Note.Warning(
                        "clicks",
                        FormattableString.Invariant(
                            $"{found.Clicks} {(found.Clicks == 1 ? "click or burst" : "clicks or bursts")}{name}, first at {found.FirstClickStep * NoiseMeter.StepSeconds:0.0} s, {left}. Look for a relay, a static discharge or a bad contact."
                        )
                    )
                );
            }

            if (found.OtherLevelSteps > 0)
            {
                notes.Add(
                    Note.Warning(
                        "level-change",
                        FormattableString.Invariant(
                            $"For {found.OtherLevelSteps * NoiseMeter.StepSeconds:0.0} s the noise{name} stands {Math.Abs(found.OtherLevelDb):0.0} dB {(found.OtherLevelDb > 0 ? "higher" : "lower")} than most of the time, first at {found.FirstOtherStep * NoiseMeter.StepSeconds:0.0} s (the tape starting or stopping?), {left}."
                        )
                    )
                );
            }

            if (found.Keep.Contains(false))
            {
                keep = keep is null ? found.Keep : [.. keep.Zip(found.Keep, (a, b) => a && b)];
            }
        }

        return keep is not null && keep.Count(k => k) * NoiseMeter.StepSeconds < 2 ? null : keep;
    }
}
