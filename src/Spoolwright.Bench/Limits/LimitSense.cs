namespace Spoolwright.Bench.Limits;

/// <summary>What a single figure given as a limit means for a quantity.</summary>
public enum LimitSense
{
    /// <summary>The quantity lies either side of zero: a figure means plus or minus.</summary>
    Deviation,

    /// <summary>The quantity has no sign (flutter, distortion): a figure is the most allowed, and no lower limit applies.</summary>
    Magnitude,

    /// <summary>More is better (separation, depth of erasure): a figure is the least allowed.</summary>
    AtLeast,

    /// <summary>A level of something unwanted: a figure is the most allowed.</summary>
    AtMost,

    /// <summary>A level: a single figure says nothing, an interval is needed.</summary>
    Interval,
}

/// <summary>How limits are understood, quantity by quantity.</summary>
public static class LimitSenses
{
    private static readonly Dictionary<string, LimitSense> Senses = new(StringComparer.Ordinal)
    {
        ["speed-error"] = LimitSense.Deviation,
        ["drift"] = LimitSense.Deviation,
        ["wow-flutter-quasi-peak"] = LimitSense.Magnitude,
        ["wow-flutter-quasi-peak-maximum"] = LimitSense.Magnitude,
        ["wow-flutter-two-sigma"] = LimitSense.Magnitude,
        ["wow-flutter-rms"] = LimitSense.Magnitude,
        ["wow-flutter-unweighted-rms"] = LimitSense.Magnitude,
        ["wow-rms"] = LimitSense.Magnitude,
        ["flutter-rms"] = LimitSense.Magnitude,
        ["scrape-flutter-rms"] = LimitSense.Magnitude,
        ["flutter-line"] = LimitSense.Magnitude,
        ["response"] = LimitSense.Deviation,
        ["response-max"] = LimitSense.AtMost,
        ["response-min"] = LimitSense.AtLeast,
        ["channel-balance"] = LimitSense.Deviation,
        ["treble-tilt"] = LimitSense.Deviation,
        ["bass-tilt"] = LimitSense.Deviation,
        ["time-skew"] = LimitSense.Deviation,
        ["phase"] = LimitSense.Deviation,
        ["azimuth-angle"] = LimitSense.Deviation,
        ["azimuth-wander"] = LimitSense.Magnitude,
        ["mono-sum-loss"] = LimitSense.Magnitude,
        ["thd"] = LimitSense.Magnitude,
        ["third-harmonic"] = LimitSense.Magnitude,
        ["second-harmonic"] = LimitSense.Magnitude,
        ["mol"] = LimitSense.AtLeast,
        ["mol-relative"] = LimitSense.AtLeast,
        ["saturation"] = LimitSense.AtLeast,
        ["noise-a"] = LimitSense.AtMost,
        ["noise-468"] = LimitSense.AtMost,
        ["noise-unweighted"] = LimitSense.AtMost,
        ["hum"] = LimitSense.AtMost,
        ["bias-leak"] = LimitSense.AtMost,
        ["signal-to-noise-a"] = LimitSense.AtLeast,
        ["separation"] = LimitSense.AtLeast,
        ["erase-depth"] = LimitSense.AtLeast,
        ["dropout-count"] = LimitSense.Magnitude,
        ["tension-spread"] = LimitSense.Magnitude,
        ["brake-ratio"] = LimitSense.AtLeast,
        ["brake-trail-ratio"] = LimitSense.AtLeast,
        ["brake-balance"] = LimitSense.Deviation,
        ["stop-time"] = LimitSense.AtMost,
        ["stop-faults"] = LimitSense.AtMost,
        ["wind-time"] = LimitSense.AtMost,
    };

    // Words of the trade that leave the detector, band or weighting open.
    private static readonly HashSet<string> Vague = new(StringComparer.OrdinalIgnoreCase)
    {
        "wow-flutter", "wow-and-flutter", "wow", "flutter", "w&f", "wf", "wow-flutter-weighted", "wow-flutter-unweighted",
        "wow-flutter-peak", "flutter-weighted", "flutter-unweighted", "wrms", "din", "scrape", "scrape-flutter",
    };

    /// <summary>What a single figure means for the quantity; <see cref="LimitSense.Interval"/> where nothing is agreed.</summary>
    public static LimitSense Of(string quantity) => Senses.GetValueOrDefault(quantity, LimitSense.Interval);

    /// <summary>Least and most allowed for a single figure, or null when the quantity needs an interval or the figure makes no
    /// sense.</summary>
    public static (double? Min, double? Max)? FromFigure(string quantity, double figure) => Of(quantity) switch
    {
        LimitSense.Deviation when figure > 0 => (-figure, figure),
        LimitSense.Magnitude when figure > 0 => (null, figure),
        LimitSense.AtMost => (null, figure),
        LimitSense.AtLeast => (figure, null),
        _ => null,
    };

    /// <summary>Why the word is no quantity that can be limited, or null when it is one.</summary>
    /// <remarks>A flutter limit names its detector: figures of two detectors cannot be converted.</remarks>
    public static string? Refusal(string quantity)
    {
        ArgumentNullException.ThrowIfNull(quantity);
        if (Quantity.Find(quantity) is not null)
            return null;
        var detectors = string.Join(", ", Quantity.All.Select(q => q.Id).Where(NamesADetector));
        if (Vague.Contains(quantity))
        {
            return $"{Files.Quoted.Text(quantity)} names no detector, and figures of different detectors cannot be converted; say which: {detectors}";
        }

        var ids = Quantity.All.Select(q => q.Id).ToList();
        var near = Files.NearestWord.Of(quantity, ids.Concat(Vague));
        var meant = near is null ? "; each measurement's --help lists the quantities it reads, such as spoolwright measure speed --help"
            : Vague.Contains(near) ? $"; did you mean one of {detectors}?"
            : $"; did you mean {Files.Quoted.Text(near)}?";
        return $"unknown quantity {Files.Quoted.Text(quantity)}{meant}";
    }

    /// <summary>Whether readings of the quantity come one per tone, so that a limit may hold for one frequency.</summary>
    internal static bool PerTone(string quantity) => quantity
        is "response" or "tone-level" or "phase" or "time-skew" or "mono-sum-loss" or "flutter-line" or "hum"
        or "thd" or "third-harmonic" or "separation" or "erase-depth";

    private static bool NamesADetector(string id) =>
        Of(id) == LimitSense.Magnitude && id.Contains("flutter", StringComparison.Ordinal) && id != Quantity.FlutterLine.Id;
}
