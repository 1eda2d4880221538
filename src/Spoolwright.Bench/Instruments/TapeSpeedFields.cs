using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Files;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Instruments;

/// <summary>
/// Reads a test tape's speed and the uncertainties of its speed and azimuth. Preferred are <c>speedUncertaintyPercent</c> and
/// <c>azimuthUncertaintyArcmin</c> beside <c>speedCmPerS</c>; the same may stand in objects named <c>speed</c>, <c>azimuth</c> or
/// <c>speedCmPerS</c>.
/// </summary>
internal static class TapeSpeedFields
{
    private static readonly NumberRange Percent = new(0, 25, "%");
    private static readonly NumberRange Arcmin = new(0, 600, "arcmin");

    /// <summary>Speed in cm/s and its expanded uncertainty in percent.</summary>
    public static (double? Speed, double? UncertaintyPercent) Read(ObjectFields tape)
    {
        var problems = tape.Problems;
        var part = tape.Any("speedCmPerS", required: true);
        double? speed = null;
        var stated = new List<(JsonPart At, double Percent)>();
        if (part is { Kind: JsonKind.Object } && ObjectFields.Of(part, problems, "") is { } inner)
        {
            speed = inner.Number("value", DeckScope.SpeedRange, required: true);
            var absolute = inner.Number("uncertainty", new NumberRange(0, 50, "cm/s"));
            inner.ReportUnknown(FileProblemSeverity.Warning);
            if (speed is not null && absolute is not null)
            {
                // Rounded to twelve digits: the file's decimal fraction, not the division's last bit.
                var percent = Math.Round(100 * absolute.Value / speed.Value, 12);
                if (!Percent.Holds(percent))
                    problems.Error(inner.Any("uncertainty")!,
                        $"{Quoted.Number(absolute.Value)} cm/s is {Quoted.Number(percent)} % of the speed; expected {Percent.Described}");
                stated.Add((inner.Any("uncertainty")!, percent));
            }
        }
        else if (part is not null)
        {
            speed = ObjectFields.NumberOf(part, DeckScope.SpeedRange, problems);
        }

        if (speed is { } value && TapeSpeed.FromInches(value) is { } meant)
            problems.Warning(
                part!,
                $"{Quoted.Number(value)} cm/s is no usual tape speed; {Quoted.Number(value)} in/s is {Quoted.Number(meant)} cm/s"
            );
        Flat(tape, "speedUncertaintyPercent", Percent, stated);
        Nested(tape, "speed", "uncertaintyPercent", Percent, stated);
        return (speed, Only(stated, "the uncertainty of the speed", problems));
    }

    /// <summary>Expanded uncertainty of the tape's azimuth in arcmin.</summary>
    public static double? ReadAzimuth(ObjectFields tape)
    {
        var stated = new List<(JsonPart At, double Value)>();
        Flat(tape, "azimuthUncertaintyArcmin", Arcmin, stated);
        Nested(tape, "azimuth", "uncertaintyArcmin", Arcmin, stated);
        return Only(stated, "the uncertainty of the azimuth", tape.Problems);
    }

    private static void Flat(ObjectFields tape, string name, NumberRange range, List<(JsonPart At, double Value)> stated)
    {
        if (tape.Number(name, range) is { } value)
            stated.Add((tape.Any(name)!, value));
    }

    private static void Nested(ObjectFields tape, string name, string withUnit, NumberRange range, List<(JsonPart At, double Value)> stated)
    {
        if (tape.Any(name) is not { } part || ObjectFields.Of(part, tape.Problems, $"an object {{\"{withUnit}\": …}}") is not { } fields)
            return;
        Flat(fields, withUnit, range, stated);
        Flat(fields, "uncertainty", range, stated);
        fields.ReportUnknown(FileProblemSeverity.Warning);
    }

    private static double? Only(List<(JsonPart At, double Value)> stated, string what, ProblemList problems)
    {
        if (stated.Count > 1)
            problems.Error(stated[1].At, $"{what} stands twice; keep one");
        return stated.Count == 0 ? null : stated[0].Value;
    }
}
