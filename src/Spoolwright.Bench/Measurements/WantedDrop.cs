using Spoolwright.Bench.Standards;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Measurements;

/// <summary>The drop past the bias peak that is wanted, and who says so.</summary>
/// <param name="Db">dB, above 0.</param>
/// <param name="Source">Where the figure comes from, as shown.</param>
internal sealed record WantedDrop(double Db, string Source)
{
    /// <summary>
    /// What the call says, else what the profile says of the tape setting; null where neither does. Published figures for the speed are
    /// shown as a note, marked where only memory stands behind them.
    /// </summary>
    public static WantedDrop? Of(MeasurementSettings settings, double nominalHz, List<Note> notes)
    {
        if (settings.WantedDropDb is { } said)
        {
            return new WantedDrop(said, "given with the call");
        }

        if (settings.Profile?.WantedDrops.FirstOrDefault(w =>
                string.Equals(w.TapeSetting, settings.Condition?.TapeSetting, StringComparison.Ordinal)
                && (w.SpeedCmPerS is not { } speed || settings.SpeedCmPerS is not { } ran || Tape.TapeSpeed.Same(speed, ran))
                && Math.Abs((w.FrequencyHz / nominalHz) - 1) < 0.03) is { } own)
        {
            return new WantedDrop(own.DropDb, $"of the profile's tape setting \"{own.TapeSetting}\": {own.Source}");
        }

        if (settings.SpeedCmPerS is { } cmPerS)
        {
            notes.Add(
                OverbiasAnchors.Find(cmPerS, nominalHz) is { } anchor
                    ? Note.Hint(
                        "wanted-drop-unknown",
                        FormattableString.Invariant(
                            $"No wanted drop is given. For {anchor.For} at {cmPerS:0.##} cm/s, {anchor.DropDb:0.#} dB at {anchor.FrequencyHz:0} Hz {Stands(anchor)}; the tape's own sheet and the deck's own gap decide. Say it with --wanted-drop or in the profile."
                        )
                    )
                    : Note.Hint(
                        "wanted-drop-unknown",
                        FormattableString.Invariant(
                            $"No wanted drop is given, and no figure is known for {nominalHz:0} Hz at {cmPerS:0.##} cm/s. Say it with --wanted-drop or in the profile."
                        )
                    )
            );
        }

        return null;
    }

    private static string Stands(OverbiasAnchor anchor) => anchor.Source.Basis == Basis.Memory
        ? "is remembered, not read in a document [memory]"
        : $"is published [{anchor.Source.Key}]{(anchor.IsDoubtful ? ", doubtful in the copy seen" : "")}";
}
