using System.Globalization;

namespace Spoolwright.Bench.Tape;

/// <summary>Says in one sentence what a flutter line was matched to.</summary>
internal static class FlutterWords
{
    public static string Sentence(FlutterLineSeen line, FlutterFit? best, List<FlutterFit> rivals, FlutterCause? miss, bool hum)
    {
        var text = best is null ? None(line, rivals, miss) : Named(best, rivals);
        return hum
            ? text
                + "; it stands at mains frequency or twice it, so it may be hum in the carrier: hum stays where it is when the tape speed is switched"
            : text;
    }

    private static string Named(FlutterFit best, List<FlutterFit> rivals)
    {
        var text = $"{Cause(best.Cause)}, {Percent(best.Confidence)} sure";
        if (rivals.Count == 0)
            return text;
        var equal = rivals.Where(r => r.Confidence > 0.8 * best.Confidence).ToList();
        return equal.Count > 0
            ? $"{text}; {string.Join(" and ", equal.Select(r => Cause(r.Cause)))} fits equally well"
            : $"{text}; else {Cause(rivals[0].Cause)}, {Percent(rivals[0].Confidence)}";
    }

    private static string None(FlutterLineSeen line, List<FlutterFit> rivals, FlutterCause? miss)
    {
        if (rivals.Count > 0)
        {
            var perhaps = rivals.TakeWhile(r => r.Confidence > 0.8 * rivals[0].Confidence).Select(r => Cause(r.Cause));
            return $"no part of the profile for certain; perhaps {string.Join(" or, just as well, ", perhaps)}, {Percent(rivals[0].Confidence)}";
        }

        if (miss is null)
            return "no part of the profile turns at this speed and direction";
        var nearest = Math.Clamp(line.FrequencyHz, miss.ExpectedLowHz, miss.ExpectedHighHz);
        var off = 100 * (line.FrequencyHz / nearest - 1);
        return $"no part of the profile; nearest is {Cause(miss)}, {off.ToString("+0.0;-0.0;0.0", CultureInfo.InvariantCulture)} % away";
    }

    private static string Cause(FlutterCause cause)
    {
        var where = cause.ExpectedHighHz > cause.ExpectedLowHz
            ? $"{Hertz(cause.ExpectedLowHz)} to {Hertz(cause.ExpectedHighHz)} Hz, by its radius"
            : $"{Hertz(cause.ExpectedLowHz)} Hz";
        return cause.Harmonic == 1 ? $"{cause.Part} ({where})" : $"{cause.Part}, {cause.Harmonic} times its turn ({where})";
    }

    private static string Hertz(double hz) => hz.ToString("G4", CultureInfo.InvariantCulture);

    private static string Percent(double share) => (100 * share).ToString("0", CultureInfo.InvariantCulture) + " %";
}
