using System.Numerics;
using Spoolwright.Practice.Playing;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Practice.Tests;

/// <summary>
/// Plain estimates from sound, independent of the product's own meters: windowed Fourier sums at a given frequency, and phase slopes. The
/// window falls off fast enough that a neighbour 10 bins away leaks less than -150 dB.
/// </summary>
internal static class Listening
{
    /// <summary>The whole sound as two arrays.</summary>
    public static (float[] Left, float[] Right) Record(SoundSource sound, int block = 5000)
    {
        var left = new float[sound.Frames!.Value];
        var right = new float[left.Length];
        for (var at = 0; ;)
        {
            var take = Math.Min(block, left.Length - at);
            var got = sound.Read(left.AsSpan(at, take), right.AsSpan(at, take));
            at += got;
            if (got == 0)
                return at == left.Length ? (left, right) : throw new InvalidOperationException($"only {at} of {left.Length} frames");
        }
    }

    public static (float[] Left, float[] Right) Record(PlaySession session)
    {
        using (session)
            return Record(session.Sound);
    }

    /// <summary>Complex peak amplitude of the sine nearest to a frequency, phase at the stretch's first sample.</summary>
    public static Complex Tone(ReadOnlySpan<float> samples, double hertz, int rate)
    {
        var turns = hertz / rate;
        var sum = Complex.Zero;
        var weight = 0.0;
        for (var i = 0; i < samples.Length; i++)
        {
            var w = Window((i + 0.5) / samples.Length);
            var angle = turns * i;
            sum += w * samples[i] * Complex.FromPolarCoordinates(1, -2 * Math.PI * (angle - Math.Floor(angle)));
            weight += w;
        }

        return 2 * sum / weight;
    }

    /// <summary>Frequency of a steady sine near a guess, from the phase between two stretches half the length apart; refined until it
    /// settles.</summary>
    public static double Frequency(ReadOnlySpan<float> samples, double guess, int rate)
    {
        var f = guess;
        foreach (var length in new[] { samples.Length / 64, samples.Length / 8, samples.Length / 2 })
        {
            var hop = length;
            var first = Tone(samples[..length], f, rate);
            var second = Tone(samples.Slice(hop, length), f, rate);
            var expected = 2 * Math.PI * f * hop / rate;
            var moved = (second / first * Complex.FromPolarCoordinates(1, -expected)).Phase;
            f += moved * rate / (2 * Math.PI * hop);
        }

        return f;
    }

    /// <summary>Instantaneous frequency over nominal minus 1, one value each hop, from the phase of short windowed sums at a fixed
    /// frequency.</summary>
    public static double[] Deviation(ReadOnlySpan<float> samples, double hertz, int rate, int window, int hop)
    {
        var count = ((samples.Length - window) / hop) + 1;
        var phases = new double[count];
        for (var k = 0; k < count; k++)
        {
            var start = 2 * Math.PI * (hertz / rate * k * hop % 1);
            phases[k] = (Tone(samples.Slice(k * hop, window), hertz, rate) * Complex.FromPolarCoordinates(1, -start)).Phase;
        }

        var deviation = new double[count - 1];
        for (var k = 1; k < count; k++)
        {
            var step = phases[k] - phases[k - 1];
            step -= 2 * Math.PI * Math.Round(step / (2 * Math.PI));
            deviation[k - 1] = step * rate / hop / (2 * Math.PI * hertz);
        }

        return deviation;
    }

    /// <summary>Peak height and exact frequency of the strongest wave of a series near a frequency.</summary>
    public static (double Hertz, double Peak) Wave(double[] series, double rateHz, double nearHz, double withinHz)
    {
        var mean = series.Average();
        var best = (Hertz: 0.0, Peak: 0.0);
        var step = 0.05 * rateHz / series.Length;
        for (var f = nearHz - withinHz; f <= nearHz + withinHz; f += step)
        {
            var sum = Complex.Zero;
            var weight = 0.0;
            for (var i = 0; i < series.Length; i++)
            {
                var w = Window((i + 0.5) / series.Length);
                sum += w * (series[i] - mean) * Complex.FromPolarCoordinates(1, -2 * Math.PI * f * i / rateHz);
                weight += w;
            }

            if (2 * sum.Magnitude / weight > best.Peak)
                best = (f, 2 * sum.Magnitude / weight);
        }

        return best;
    }

    public static double Decibels(double ratio) => 20 * Math.Log10(ratio);

    public static double Rms(ReadOnlySpan<float> samples)
    {
        var sum = 0.0;
        foreach (var sample in samples)
            sum += (double)sample * sample;
        return Math.Sqrt(sum / samples.Length);
    }

    // Five cosines, by the recipe sin^8: all its sidelobes fall 54 dB an octave.
    private static double Window(double x)
    {
        var s = Math.Sin(Math.PI * x);
        var square = s * s;
        return square * square * square * square;
    }
}
