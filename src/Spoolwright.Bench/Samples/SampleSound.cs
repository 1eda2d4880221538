using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Samples;

/// <summary>A sound held whole: left, right, frames per second. A sample is short; longer ones are refused.</summary>
public sealed record SampleSound(float[] Left, float[] Right, int SampleRateHz)
{
    /// <summary>Longest sound taken, s.</summary>
    public const double LongestSeconds = 600;

    /// <summary>Its length, s.</summary>
    public double Seconds => (double)Left.Length / SampleRateHz;

    /// <summary>Reads a source to its end; one channel counts as both.</summary>
    /// <param name="source">The sound.</param>
    /// <param name="what">How messages call it.</param>
    /// <exception cref="CannotMeasureException">It is empty or too long.</exception>
    public static SampleSound Of(SoundSource source, string what)
    {
        ArgumentNullException.ThrowIfNull(source);
        var most = (long)(LongestSeconds * source.SampleRateHz);
        var (left, right) = (new List<float>(), new List<float>());
        SoundPump.Run(source, (l, r) =>
        {
            left.AddRange(l);
            right.AddRange(source.Channels == 2 ? r : l);
            if (left.Count > most)
            {
                throw new CannotMeasureException("too-long", FormattableString.Invariant($"{what} is longer than {LongestSeconds / 60:0} minutes; a sample is short. Cut it first."));
            }
        });
        return left.Count == 0
            ? throw new CannotMeasureException("empty", $"{what} holds no sound.")
            : new SampleSound([.. left], [.. right], source.SampleRateHz);
    }
}
