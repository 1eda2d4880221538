using System.Globalization;
using Spoolwright.Bench;

namespace Spoolwright.Reports;

/// <summary>How a record writes numbers: rounded as their uncertainty deserves, a true minus, a sign where the sign says
/// something.</summary>
internal static class Figures
{
    /// <summary>What stands where an uncertainty is not known.</summary>
    public const string NotStated = "not stated";

    /// <summary>Keeps a number and its unit on one line.</summary>
    private const char NoBreak = '\u00A0';

    private static readonly HashSet<string> WithSign = new(StringComparer.Ordinal)
    {
        "speed-error", "drift", "response", "response-max", "response-min", "channel-balance", "treble-tilt", "bass-tilt", "time-skew",
            "phase", "azimuth-angle", "overbias-error", "record-time-skew", "record-response", "brake-balance",
    };

    /// <summary>The value at the decimals that its uncertainty deserves, such as <c>+0.043</c>.</summary>
    public static string Value(Reading reading) => Number(reading.Value, Decimals(reading), WithSign.Contains(reading.Quantity));

    /// <summary>The value with unit, such as <c>+0.043 %</c>.</summary>
    public static string ValueWithUnit(Reading reading) => Join(Value(reading), reading.Unit);

    /// <summary>The uncertainty, such as <c>0.002 %</c>, or <see cref="NotStated"/>.</summary>
    public static string Uncertainty(Reading reading) => reading.Uncertainty is null ? NotStated
        : Join(UncertaintyNumber(reading), reading.Unit);

    /// <summary>The uncertainty without its unit, such as <c>0.0020</c>, or <see cref="NotStated"/>.</summary>
    public static string UncertaintyNumber(Reading reading) => reading.Uncertainty is { } u
        ? Rounded(u, Decimals(reading)) : NotStated;

    /// <summary>The size of a part of an uncertainty, to two figures.</summary>
    public static string Size(double expanded) => Number(expanded, DecimalsFor(expanded) ?? 0, sign: false);

    /// <summary>Short form for a table that is read across the room: the decimals of the quantity's trade, no more than the uncertainty
    /// deserves.</summary>
    public static string Short(Reading reading) =>
        Number(reading.Value, Math.Min(Usual(reading), Decimals(reading)), WithSign.Contains(reading.Quantity));

    /// <summary>A figure with its unit where its uncertainty stands elsewhere: the decimals that the trade reads (of a ratio two), and
    /// three digits at most.</summary>
    public static string Spoken(double value, string unit)
    {
        int usual = unit is "1" or "" ? 2 : Usual(unit);
        int three = value == 0 ? usual : Math.Max(0, 2 - (int)Math.Floor(Math.Log10(Math.Abs(value))));
        return Join(Number(value, Math.Min(usual, three), sign: false), unit.Length == 0 ? "1" : unit);
    }

    /// <summary>A limit or margin in a quantity's usual decimals, trailing zeros dropped.</summary>
    public static string Plain(double value, bool sign = false) =>
        Sign(value.ToString("0.####", CultureInfo.InvariantCulture), value, sign);

    /// <summary>A margin in the short form of its unit, never as a bare zero: what is smaller than the last digit is said to be.</summary>
    public static string Margin(double margin, string unit) => Margin(margin, Usual(unit));

    /// <summary>The distance of a reading from its limit, in the decimals that its figure is shown with.</summary>
    public static string Margin(double margin, Reading reading) => Margin(margin, Math.Min(Usual(reading), Decimals(reading)));

    private static string Margin(double margin, int decimals)
    {
        double least = Math.Pow(10, -decimals), size = Math.Abs(margin);
        return size > 0 && size < least / 2 ? "< " + Number(least, decimals, sign: false) : Number(size, decimals, sign: false);
    }

    /// <summary>A frequency for people: <c>31.5 Hz</c>, <c>1 kHz</c>, <c>12.5 kHz</c>.</summary>
    public static string Frequency(double hertz) => hertz >= 1000
        ? (hertz / 1000).ToString("0.###", CultureInfo.InvariantCulture) + NoBreak + "kHz"
        : hertz.ToString(hertz < 10 ? "0.##" : "0.#", CultureInfo.InvariantCulture) + NoBreak + "Hz";

    /// <summary>A tape speed, such as <c>19.05 cm/s</c>.</summary>
    public static string Speed(double cmPerS) => cmPerS.ToString("0.###", CultureInfo.InvariantCulture) + NoBreak + "cm/s";

    /// <summary>A day, such as <c>14 March 2026</c>, UTC.</summary>
    public static string Day(DateTimeOffset time) => time.UtcDateTime.ToString("d MMMM yyyy", CultureInfo.InvariantCulture);

    /// <summary>A moment, such as <c>14 March 2026, 08:26 UTC</c>.</summary>
    public static string Moment(DateTimeOffset time) => time.UtcDateTime.ToString("d MMMM yyyy, HH:mm", CultureInfo.InvariantCulture)
        + " UTC";

    /// <summary>Number and unit; a count has none, nor has a rate whose name says it is per minute, and a degree stands close.</summary>
    public static string Join(string number, string unit) => unit switch
    {
        "1" or "1/min" => number,
        "°" => number + unit,
        _ => number + NoBreak + unit,
    };

    /// <summary>At fixed decimals with a true minus sign.</summary>
    public static string Number(double value, int decimals, bool sign)
    {
        string digits = value.ToString("F" + Math.Clamp(decimals, 0, 9), CultureInfo.InvariantCulture);
        return Sign(digits, value, sign);
    }

    // An uncertainty is never shown as nothing, and rounded away from it.
    private static string Rounded(double uncertainty, int decimals)
    {
        double least = Math.Pow(10, -decimals);
        return uncertainty > 0 && uncertainty < least
            ? "<\u00A0" + Number(least, decimals, sign: false)
            : Number(uncertainty, decimals, sign: false);
    }

    private static string Sign(string digits, double value, bool sign)
    {
        bool zero = digits.All(c => c is '0' or '.' or '-');
        string bare = digits.TrimStart('-');
        return zero ? bare : value < 0 ? '−' + bare : sign ? '+' + bare : bare;
    }

    // As the uncertainty deserves, but no finer than two digits beyond what the trade reads.
    private static int Decimals(Reading reading) => reading.Uncertainty is { } u
        ? DecimalsFor(u) is { } d ? Math.Min(d, Usual(reading) + 2)
            : Usual(reading) // a count, or the reference itself: exact
        : Usual(reading) + 1;

    /// <summary>Decimals that show two significant figures of an uncertainty; null where it is zero.</summary>
    private static int? DecimalsFor(double uncertainty) =>
        uncertainty > 0 ? Math.Clamp(1 - (int)Math.Floor(Math.Log10(uncertainty)), 0, 6) : null;

    private static int Usual(string unit) => unit switch
    {
        "%" => 3,
        "kHz" or "Hz" => 2,
        "dB" or "dBFS" or "dBu" or "dBV" or "arcmin" => 1,
        "µs" => 1,
        "°" => 0,
        "1" => 0,
        "gf" or "g·cm" => 0,
        "s" => 1,
        _ => 2,
    };

    // A ratio has no unit either, and is no count.
    private static int Usual(Reading reading) =>
        reading.Unit == "1" && (reading.Quantity.EndsWith("ratio", StringComparison.Ordinal) || reading.Quantity == "tension-exponent")
            ? 2
            : Usual(reading.Unit);
}
