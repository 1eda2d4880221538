using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>Looks for the products of the multitone's common tones where the markers say they stand, one pass over the sound.</summary>
internal static class RecordedProducts
{
    private const double InsideSeconds = 0.1;

    /// <summary>Every product of every channel that is measured.</summary>
    /// <param name="source">The sound, at its start.</param>
    /// <param name="step">The step in which the tones stand together.</param>
    /// <param name="maps">By capture channel; null: the channel is not measured.</param>
    public static IReadOnlyList<RecordedProduct> Measure(SoundSource source, ProgramStep step, TimeMap?[] maps)
    {
        var looks = new List<(ToneProduct Product, int Channel, ProductProbe Probe, long First, long Last)>();
        for (var channel = 0; channel < maps.Length; channel++)
        {
            if (maps[channel] is not { } map)
            {
                continue;
            }

            double from = map.Of(step.StartSeconds + InsideSeconds),
                to = map.Of(step.StartSeconds + step.Seconds - InsideSeconds),
                slope = Math.Abs(map.Slope);
            (from, to) = from < to ? (from, to) : (to, from);
            looks.AddRange(
                ProgramList.Products.Select(p =>
                    (
                        p,
                        channel,
                        new ProductProbe(1000 / slope, 3150 / slope, p.TimesA, p.TimesB, source.SampleRateHz),
                        (long)(Math.Max(0, from) * source.SampleRateHz),
                        (long)(to * source.SampleRateHz)
                    )
                )
            );
        }

        long at = 0;
        SoundPump.Run(source, (left, right) =>
        {
            foreach (var look in looks)
            {
                int a = (int)Math.Clamp(look.First - at, 0, left.Length), b = (int)Math.Clamp(look.Last - at, 0, left.Length);
                if (b > a)
                {
                    look.Probe.Add((look.Channel == 1 ? right : left)[a..b]);
                }
            }

            at += left.Length;
        });
        return [.. looks.Select(l => l.Probe.Finish() is { } power ? new RecordedProduct(l.Product, l.Channel == 0 ? Channel.Left : Channel.Right, power) : null).OfType<RecordedProduct>()];
    }
}
