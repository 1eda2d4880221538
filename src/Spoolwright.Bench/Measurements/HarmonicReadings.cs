using Spoolwright.Signal.Distortion;

namespace Spoolwright.Bench.Measurements;

/// <summary>Turns a tone's harmonics into readings.</summary>
internal static class HarmonicReadings
{
    // What the way of measuring adds of its own, k = 2, as a ratio: rounding, and the table that the sound is read anew by. The tests hold
    // the floor of a perfect tone under 3·10⁻⁶.
    private const double Floor = 1.5e-6;

    /// <summary>
    /// Whether a tone's harmonic counts: below 20 kHz by the tone's name, so that a tape that runs a little slow does not pull one in, and
    /// held by the capture.
    /// </summary>
    public static bool Holds(int orders, double nominalHz, int harmonic) =>
        orders >= harmonic && harmonic * nominalHz < HarmonicTracker.HighestHz;

    /// <summary>
    /// THD, third and second harmonic, as far as they count. A tape makes odd harmonics: without the third a total would be of nothing, so
    /// none is stated then.
    /// </summary>
    /// <param name="figures">The harmonics.</param>
    /// <param name="clips">Whether the interface clips: shown then, and not judged.</param>
    /// <param name="channel">Whose they are.</param>
    /// <param name="nominalHz">The tone's name.</param>
    /// <param name="where">What of the tone was looked at.</param>
    /// <param name="own">What the interface does; null: the interface itself is measured.</param>
    public static IEnumerable<Reading> Of(
        HarmonicFigures figures,
        bool clips,
        Channel channel,
        double nominalHz,
        string where,
        InterfaceHarmonics? own
    )
    {
        figures = own?.Taken(figures) ?? figures;
        where += own?.Loopback is null ? "" : "; interface's own response taken off as far as its loopback reaches";
        var last = FormattableString.Invariant($"2 to {figures.Orders}");
        const string Over =
            "over the total of fundamental and harmonics, each demodulated against the fundamental's own phase through flutter, noise between the harmonics taken out";
        (Quantity Quantity, int From, int To, string Method)[] all =
        [
            (
                Quantity.Thd,
                2,
                figures.Orders,
                $"root of the sum of squares of harmonics {last} (below 20 kHz) {Over}, {where} [IEC60268-3]"
            ),
            (Quantity.ThirdHarmonic, 3, 3, $"third harmonic {Over}, {where} [IEC60268-3]"),
            (Quantity.SecondHarmonic, 2, 2, $"second harmonic {Over}, {where} [IEC60268-3]"),
        ];
        foreach (var (quantity, from, to, method) in all)
        {
            if (!Holds(figures.Orders, nominalHz, quantity == Quantity.Thd ? 3 : from))
            {
                continue;
            }

            var (value, noise) = figures.Ratio(from, to);
            yield return Uncertain.Reading(
                quantity,
                100 * value,
                [
                    new UncertaintyPart("noise", 100 * noise),
                    new UncertaintyPart("method", 100 * Floor),
                    .. own?.Parts(figures, from, to, value, 100) ?? [],
                ],
                clips ? $"{method}; the interface clips, so part of this is its own" : method,
                channel,
                nominalHz
            ) with
            {
                Judgeable = !clips,
            };
        }
    }
}
