using System.Numerics;
using System.Runtime.CompilerServices;

namespace Spoolwright.Signal.Sound;

/// <summary>One channel's extremes and sums, and the finders that look closer where those call for it.</summary>
internal sealed class ChannelInspector
{
    /// <summary>Samples summed in single precision before the sums go to double: short enough to keep six digits.</summary>
    private const int Stretch = 1024;

    private readonly ClipFinder _top;
    private readonly ClipFinder _bottom;
    private long _samples;
    private double _sum;
    private double _sumOfSquares;
    private float _least = float.PositiveInfinity;
    private float _most = float.NegativeInfinity;

    /// <param name="sampleRateHz">Samples per second.</param>
    /// <param name="bits">Bits that a sample was stored in, at most 24.</param>
    public ChannelInspector(int sampleRateHz, int bits)
    {
        // What was once 16 bits is often kept in more.
        var step = 1f / (1L << (Math.Min(bits, 16) - 1));
        _top = new ClipFinder(1, step);
        _bottom = new ClipFinder(-1, step);
        Breaks = new BreakFinder(sampleRateHz, 1f / (1L << (bits - 1)));
    }

    /// <summary>Where samples were lost.</summary>
    public BreakFinder Breaks { get; }

    /// <summary>Runs at the extremes of both signs.</summary>
    public ClipFinder.Found Clipping => _top.Result.And(_bottom.Result);

    /// <summary>Mean, full scale 1.</summary>
    public double Mean => _samples == 0 ? 0 : _sum / _samples;

    /// <summary>Largest magnitude, full scale 1.</summary>
    public double Peak => _samples == 0 ? 0 : Math.Max(Math.Abs(_least), Math.Abs(_most));

    /// <summary>True when every sample was the same.</summary>
    public bool IsConstant => _samples == 0 || _least == _most;

    /// <summary>Root mean square about the mean, in dB re full scale; −400 for a constant.</summary>
    public double LevelDb => IsConstant ? -400 : 10 * Math.Log10(Math.Max((_sumOfSquares / _samples) - (Mean * Mean), 1e-40));

    /// <summary>Takes the next samples.</summary>
    public void Add(ReadOnlySpan<float> samples)
    {
        Breaks.Add(samples);
        while (!samples.IsEmpty)
        {
            var stretch = samples[..Math.Min(Stretch, samples.Length)];
            AddStretch(stretch);
            samples = samples[stretch.Length..];
        }
    }

    private void AddStretch(ReadOnlySpan<float> stretch)
    {
        var (least, most, sum, squares) = Sums(stretch);
        var isSpoilt = !float.IsFinite(squares);
        if (isSpoilt)
            (least, most, sum, squares) = FiniteSums(stretch);
        _least = Math.Min(_least, least);
        _most = Math.Max(_most, most);
        _sum += sum;
        _sumOfSquares += squares;
        _samples += stretch.Length;
        _top.Add(stretch, isSpoilt ? float.NegativeInfinity : most);
        _bottom.Add(stretch, isSpoilt ? float.NegativeInfinity : -least);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static (float Least, float Most, float Sum, float Squares) Sums(ReadOnlySpan<float> samples)
    {
        float least = float.PositiveInfinity, most = float.NegativeInfinity, sum = 0, squares = 0;
        var i = 0;
        var width = Vector<float>.Count;
        if (samples.Length >= 2 * width)
        {
            Vector<float> low = new(least), high = new(most), sumA = default, sumB = default, squaresA = default, squaresB = default;
            for (; i <= samples.Length - (2 * width); i += 2 * width)
            {
                var a = new Vector<float>(samples[i..]);
                var b = new Vector<float>(samples[(i + width)..]);
                low = Vector.MinNative(low, Vector.MinNative(a, b));
                high = Vector.MaxNative(high, Vector.MaxNative(a, b));
                sumA += a;
                sumB += b;
                squaresA = Vector.FusedMultiplyAdd(a, a, squaresA);
                squaresB = Vector.FusedMultiplyAdd(b, b, squaresB);
            }

            for (var lane = 0; lane < width; lane++)
            {
                least = Math.Min(least, low[lane]);
                most = Math.Max(most, high[lane]);
            }

            sum = Vector.Sum(sumA + sumB);
            squares = Vector.Sum(squaresA + squaresB);
        }

        for (; i < samples.Length; i++)
        {
            least = Math.Min(least, samples[i]);
            most = Math.Max(most, samples[i]);
            sum += samples[i];
            squares += samples[i] * samples[i];
        }

        return (least, most, sum, squares);
    }

    /// <summary>For a stretch that a live input spoilt: what is no sound counts as zero.</summary>
    private static (float Least, float Most, float Sum, float Squares) FiniteSums(ReadOnlySpan<float> samples)
    {
        float least = float.PositiveInfinity, most = float.NegativeInfinity, sum = 0, squares = 0;
        foreach (var raw in samples)
        {
            var sample = Math.Abs(raw) < PlanarConverter.Absurd ? raw : 0;
            least = Math.Min(least, sample);
            most = Math.Max(most, sample);
            sum += sample;
            squares += sample * sample;
        }

        return (least, most, sum, squares);
    }
}
