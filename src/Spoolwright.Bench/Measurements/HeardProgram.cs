using Spoolwright.Signal;
using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Bench.Measurements;

/// <summary>The program of ours that a capture holds, by its markers.</summary>
/// <param name="Name">Its name; null: a number that this build does not know.</param>
/// <param name="FrequenciesHz">Frequencies that it holds, as sent.</param>
/// <param name="FromSeconds">Where its first marker ends in the capture, s; 0 where that was not heard.</param>
/// <param name="ToSeconds">Where its last marker begins, s; infinite where that was not heard.</param>
internal sealed record HeardProgram(string? Name, IReadOnlyList<double> FrequenciesHz, double FromSeconds, double ToSeconds)
{
    /// <summary>By the markers found; null without one.</summary>
    public static HeardProgram? Of(IReadOnlyList<FoundMarker> markers)
    {
        if (markers.Count == 0)
        {
            return null;
        }

        // Which marker comes first in a capture hangs on the way the tape ran. Source and tape may stand beside each other, some time apart.
        static bool Opens(FoundMarker m) => TimeMap.IsEnd(m) == m.Word.IsBackwards;
        var first = markers.Min(m => m.StartSeconds);
        var from = markers
            .Where(m => Opens(m) && m.StartSeconds < first + MarkerSweep.MarkerSeconds)
            .Select(m => m.StartSeconds + (m.Stretch * MarkerSweep.MarkerSeconds))
            .DefaultIfEmpty(0)
            .Max();
        var to = markers.Where(m => !Opens(m) && m.StartSeconds >= from).Select(m => m.StartSeconds).DefaultIfEmpty(double.PositiveInfinity).Min();
        var word = markers.MinBy(m => m.StartSeconds)!.Word;
        var program = ProgramList.OfMarker(word.Program, word.Variant);
        return new HeardProgram(
            program?.Name,
            [.. program?.Steps.SelectMany(s => s.Tones).Select(t => t.FrequencyHz).Distinct() ?? []],
            from,
            to
        );
    }

    /// <summary>Refuses another program than those that a measurement can be made of: what it would read of one says nothing of the
    /// deck.</summary>
    /// <param name="names">Names of the programs that will do, the usual one first.</param>
    /// <exception cref="CannotMeasureException">It is another one.</exception>
    public void MustBe(params ReadOnlySpan<string> names)
    {
        if (Name is { } name && !names.Contains(name))
        {
            throw new CannotMeasureException(
                "other-program",
                FormattableString.Invariant(
                    $"This capture holds the program {name}, whose marker {(FromSeconds > 0 ? FormattableString.Invariant($"ends at {FromSeconds:0.0} s") : FormattableString.Invariant($"begins at {ToSeconds:0.0} s"))}, not {names[0]}. Measure it with measure {MeasurementOf(name)}; if something else stands beside it, cut that out and measure it alone."
                )
            );
        }
    }

    private static string MeasurementOf(string program) => program switch
    {
        "response" or "multitone" => "record",
        "mol" or "saturation" => "distortion",
        "blank" => "noise",
        _ => program,
    };
}
