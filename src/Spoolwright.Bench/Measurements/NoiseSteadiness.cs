using Spoolwright.Signal;
using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Measurements;

/// <summary>Says what of a capture counts as steady noise, and tells what was left out.</summary>
internal static class NoiseSteadiness
{
    private const double TellSpreadDb = 1.5;
    private const double ShortestSeconds = 2;

    /// <summary>Per step whether it counts in every channel; null where all of it does.</summary>
    public static bool[]? Judge(NoiseMeter meter, int channels, HeardProgram? program, List<Note> notes, bool canRepeat)
    {
        bool[]? keep = null;

        // Of a program of ours what lies between its markers, a step off either, is looked at alone.
        var all = meter.Steps(0).Count;
        var from = program is null ? 0 : Math.Min(all, (int)Math.Ceiling(program.FromSeconds / NoiseMeter.StepSeconds) + 1);
        var to = program is null ? all : (int)Math.Clamp(Math.Floor(program.ToSeconds / NoiseMeter.StepSeconds) - 1, from, all);
        if (!canRepeat || (to - from) * NoiseMeter.StepSeconds < ShortestSeconds)
        {
            (from, to) = (0, all);
        }
        else if (from > 0 || to < all)
        {
            keep = [.. Enumerable.Range(0, all).Select(i => i >= from && i < to)];
        }

        for (var c = 0; c < channels; c++)
        {
            float[] own = [.. meter.Steps(c).Skip(from).Take(to - from)];
            var found = Steadiness.Of(own);
            if (own.All(p => p < 1e-16))
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
                            $"{found.Clicks} {(found.Clicks == 1 ? "click or burst" : "clicks or bursts")}{name}, first at {(from + found.FirstClickStep) * NoiseMeter.StepSeconds:0.0} s, {left}. Look for a relay, a static discharge or a bad contact."
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
                            $"For {found.OtherLevelSteps * NoiseMeter.StepSeconds:0.0} s the noise{name} stands {Math.Abs(found.OtherLevelDb):0.0} dB {(found.OtherLevelDb > 0 ? "higher" : "lower")} than most of the time, first at {(from + found.FirstOtherStep) * NoiseMeter.StepSeconds:0.0} s (the tape starting or stopping?), {left}."
                        )
                    )
                );
            }

            if (found.Keep.Contains(false))
            {
                var steady = found.Keep;
                keep = [.. Enumerable.Range(0, all).Select(i => (keep?[i] ?? true) && i >= from && i < to && steady[i - from])];
            }
        }

        return keep is not null && keep.Count(k => k) * NoiseMeter.StepSeconds < ShortestSeconds ? null : keep;
    }
}
