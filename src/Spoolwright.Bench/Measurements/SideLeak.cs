using Spoolwright.Signal.Programs;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// What the leak between the sides leaves open where a tone stands on both: it adds to the tone with a phase that nobody knows. A tone of one side
/// alone is free of it.
/// </summary>
internal static class SideLeak
{
    private static readonly double DbPerShare = 20 / Math.Log(10);

    /// <summary>The most leak into a channel at k = 2, as a share of amplitude, by the separation found at the tones of the other side; null where there are none.</summary>
    public static Func<double, double>? Into(RecordedProgram program, Channel channel)
    {
        var from = channel == Channel.Left ? Sides.Right : Sides.Left;
        var known = program.Tones.Where(t => t.Sides == from && t.Figures.Leak is not null)
            .Select(t => (t.FrequencyHz, Share: RecordMeasurement.FiguresOf(t, channel == Channel.Left ? Channel.Right : Channel.Left) is { } own
                ? Math.Sqrt(t.Figures.Leak!.Value.Most / Math.Pow(10, own.LevelDb / 10)) : 0))
            .Where(t => t.Share > 0).ToArray();
        return known.Length == 0 ? null : hz => known.MinBy(t => Math.Abs(Math.Log(t.FrequencyHz / hz))).Share;
    }

    /// <summary>What it leaves open of a response, k = 2, dB; null where neither tone nor reference stands on both sides, or no leak is known.</summary>
    public static double? OfResponse(Func<double, double>? leak, RecordedTone tone, double referenceHz, bool referenceOnBoth)
    {
        double here = tone.Sides == Sides.Both ? leak?.Invoke(tone.FrequencyHz) ?? 0 : 0, there = referenceOnBoth ? leak?.Invoke(referenceHz) ?? 0 : 0;
        return leak is null || here + there == 0 ? null : DbPerShare * double.Hypot(here, there);
    }

    /// <summary>
    /// What leak adds to an uncertainty that is summed in squares. Electronics leak in phase, which is the worst: the bound is reached whole, and noise
    /// comes on top of it, not in square beside it.
    /// </summary>
    public static double OnTopOf(double noise, double bound) => Math.Sqrt((bound * bound) + (2 * bound * noise));

    /// <summary>What it leaves open of the skew of the common tones, of which the highest says most, k = 2, µs; null where no leak is known.</summary>
    public static double? OfSkew(RecordedProgram program, double highestHz) =>
        Into(program, Channel.Left) is { } left && Into(program, Channel.Right) is { } right
            ? (left(highestHz) + right(highestHz)) / (2 * Math.PI * highestHz) * 1e6
            : null;
}
