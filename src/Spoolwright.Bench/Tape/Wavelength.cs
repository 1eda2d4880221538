using System.Runtime.CompilerServices;

namespace Spoolwright.Bench.Tape;

/// <summary>Wavelength of a tone on the tape, and the checks that every law of this room makes of its arguments.</summary>
public static class Wavelength
{
    /// <summary>λ = v/f, in µm.</summary>
    /// <param name="frequencyHz">Frequency, Hz, above 0.</param>
    /// <param name="speedCmPerS">Tape speed, cm/s, above 0.</param>
    public static double Micrometres(double frequencyHz, double speedCmPerS) =>
        Positive(speedCmPerS) * 1e4 / Positive(frequencyHz);

    /// <summary>The argument itself when it is finite and above 0.</summary>
    /// <exception cref="ArgumentOutOfRangeException">It is not.</exception>
    internal static double Positive(double value, [CallerArgumentExpression(nameof(value))] string? name = null) =>
        double.IsFinite(value) && value > 0
            ? value
            : throw new ArgumentOutOfRangeException(name, value, "expected a finite number above 0");

    /// <summary>The argument itself when it is finite and not below 0.</summary>
    /// <exception cref="ArgumentOutOfRangeException">It is not.</exception>
    internal static double NotNegative(double value, [CallerArgumentExpression(nameof(value))] string? name = null) =>
        double.IsFinite(value) && value >= 0
            ? value
            : throw new ArgumentOutOfRangeException(name, value, "expected a finite number of 0 or more");

    /// <summary>The argument itself when it is finite.</summary>
    /// <exception cref="ArgumentOutOfRangeException">It is not.</exception>
    internal static double Finite(double value, [CallerArgumentExpression(nameof(value))] string? name = null) =>
        double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(name, value, "expected a finite number");
}
