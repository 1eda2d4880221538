using System.Globalization;
using Spoolwright.Bench;

namespace Spoolwright.App.Cli;

/// <summary>A value with its uncertainty as people write it: the uncertainty to two significant digits, the value to the same
/// place.</summary>
public static class UncertainFigure
{
    // A value without an uncertainty is shown to this many significant digits: enough to read, too few to boast.
    private const int DigitsWithout = 4;

    private const int MostDecimals = 12;

    // Nobody reads a deck finer than this; and where a part of the uncertainty is not known, the digits would outrun what is.
    private const int FinestDecimals = 3;

    // Flutter and distortion of good decks lie in the third decimal of a percent, a reel's torque in that of a newton metre; two more show
    // their uncertainty.
    private const int FinestOfShares = 5;

    /// <summary>
    /// A reading's figure: as below, but no finer than 0.001 of its unit where a part of its uncertainty is not known, and nowhere finer
    /// than anybody reads a deck. An uncertainty smaller than the last digit is said to be so: <c>-0.768 ± &lt; 0.001</c>.
    /// </summary>
    public static string Format(Reading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        var finest =
            reading.Unit is "N·m" ? FinestOfShares
            : reading.Unit is "%" or "1" or "1/min" && reading.Parts.All(p => p.Expanded is not null) ? FinestOfShares : FinestDecimals;
        var (value, uncertainty) = (reading.Value, reading.Uncertainty);
        if (uncertainty is null)
            return $"{Rounded(value, Math.Min(finest, DecimalsFor(value, DigitsWithout)))} ± ?";
        var counted = reading.Unit is "1" or "1/min";
        if (uncertainty is 0 && (counted || value != 0))
            return $"{Plain(Math.Round(value, reading.Unit == "1/min" ? 2 : finest))} ± 0";
        if (uncertainty > 0 && DecimalsFor(uncertainty.Value, 2) <= finest)
            return Format(value, uncertainty);
        var shown = Rounded(uncertainty.Value, finest);
        var least = Rounded(Math.Pow(10, -finest), finest);
        return $"{Rounded(value, finest)} ± {(shown.AsSpan().IndexOfAnyExcept("0.") < 0 ? "< " + least : shown)}";
    }

    /// <summary>Such as <c>0.452 ± 0.020</c>; <c>0.4521 ± ?</c> where the uncertainty is not known.</summary>
    /// <param name="value">The value, finite.</param>
    /// <param name="uncertainty">0 or more, finite; null: not known.</param>
    public static string Format(double value, double? uncertainty)
    {
        if (uncertainty is not > 0)
        {
            var alone = Rounded(value, DecimalsFor(value, DigitsWithout));
            return uncertainty is 0 ? $"{alone} ± 0" : $"{alone} ± ?";
        }

        var decimals = DecimalsFor(uncertainty.Value, 2);
        return $"{Rounded(value, decimals)} ± {Rounded(uncertainty.Value, decimals)}";
    }

    /// <summary>A limit or frequency: as it was given, without a tail of digits.</summary>
    public static string Plain(double value) => value.ToString("0.######", CultureInfo.InvariantCulture);

    private static int DecimalsFor(double figure, int digits)
    {
        if (figure == 0)
            return 0;
        // Rounding may carry into the next place (0.0996 becomes 0.10), so the place is taken after it.
        var rounded = double.Parse(Math.Abs(figure).ToString($"E{digits - 1}", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        return digits - 1 - (int)Math.Floor(Math.Log10(rounded) + 1e-9);
    }

    private static string Rounded(double value, int decimals)
    {
        if (decimals > MostDecimals)
            return value.ToString("0.0E0", CultureInfo.InvariantCulture);
        if (decimals < 0)
        {
            var place = Math.Pow(10, -decimals);
            return (Math.Round(value / place) * place).ToString("0", CultureInfo.InvariantCulture);
        }

        var text = value.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        return text.StartsWith('-') && text.AsSpan(1).IndexOfAnyExcept("0.") < 0 ? text[1..] : text;
    }
}
