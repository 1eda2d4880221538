namespace Spoolwright.Bench.Tape;

/// <summary>
/// Flux that a standard asks on the tape over frequency, from its time constants.
/// [IEC60094-1:1981] clause 15 (transition and treble term seen in quotation; bass term remembered); [NAB:1965] uses the same form.
/// </summary>
public static class Equalization
{
    /// <summary>
    /// N(f) = 10·lg[1 + 1/(2πf·t2)²] − 10·lg[1 + (2πf·t1)²]: recorded short-circuit flux in dB against the flat middle. The reproducer's
    /// own response to constant flux is −N(f).
    /// </summary>
    /// <param name="frequencyHz">Frequency, Hz, above 0.</param>
    /// <param name="trebleMicroseconds">t1, µs, above 0.</param>
    /// <param name="bassMicroseconds">t2, µs, above 0; null: infinite, no bass term.</param>
    public static double FluxLevelDb(double frequencyHz, double trebleMicroseconds, double? bassMicroseconds)
    {
        var omega = 2 * Math.PI * Wavelength.Positive(frequencyHz) * 1e-6;
        var treble = omega * Wavelength.Positive(trebleMicroseconds);
        var level = -10 * Math.Log10(1 + treble * treble);
        if (bassMicroseconds is { } given)
        {
            var bass = omega * Wavelength.Positive(given);
            level += 10 * Math.Log10(1 + 1 / (bass * bass));
        }

        return level;
    }

    /// <summary>Transition frequency 1/(2πt), Hz.</summary>
    public static double TransitionHz(double microseconds) => 1e6 / (2 * Math.PI * Wavelength.Positive(microseconds));

    /// <summary>Time constant of a transition frequency, µs: the inverse of <see cref="TransitionHz"/>.</summary>
    public static double Microseconds(double transitionHz) => 1e6 / (2 * Math.PI * Wavelength.Positive(transitionHz));

    /// <summary>
    /// What a deck with the wrong equalization makes of a tape: N of the tape less N of the deck, less the same at the frequency that the
    /// level was set at. Positive: too loud.
    /// </summary>
    /// <param name="frequencyHz">Frequency, Hz.</param>
    /// <param name="tape">Time constants t1 and t2 of the tape, µs.</param>
    /// <param name="deck">Time constants t1 and t2 of the deck, µs.</param>
    /// <param name="setAtHz">Frequency at which the level was set, Hz.</param>
    public static double MismatchDb(
        double frequencyHz,
        (double Treble, double? Bass) tape,
        (double Treble, double? Bass) deck,
        double setAtHz
    )
    {
        double At(double f) => FluxLevelDb(f, tape.Treble, tape.Bass) - FluxLevelDb(f, deck.Treble, deck.Bass);
        return At(frequencyHz) - At(setAtHz);
    }
}
