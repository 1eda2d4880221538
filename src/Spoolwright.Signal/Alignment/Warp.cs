using Spoolwright.Signal.Filters;

namespace Spoolwright.Signal.Alignment;

/// <summary>Values of a sound between its samples: a sinc as long as 64 samples under a Kaiser window, out of a table; true to 100
/// dB.</summary>
public sealed class Warp
{
    private const int HalfTaps = 32;
    private const int StepsOfATap = 1024;
    private const double Shape = 10;
    private readonly double[] _table;

    /// <param name="cut">Upper end of what passes, over half the rate of the sound that is read; under 1 where it is laid on a lower
    /// rate.</param>
    public Warp(double cut = 0.95)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(cut);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(cut, 1);
        _table = new double[(HalfTaps * StepsOfATap) + 2];
        var most = KaiserLowPass.BesselI0(Shape);
        for (var i = 0; i <= HalfTaps * StepsOfATap; i++)
        {
            double x = (double)i / StepsOfATap, share = x / HalfTaps;
            var sinc = i == 0 ? 1 : Math.Sin(Math.PI * cut * x) / (Math.PI * cut * x);
            _table[i] = cut * sinc * KaiserLowPass.BesselI0(Shape * Math.Sqrt(Math.Max(0, 1 - (share * share)))) / most;
        }
    }

    /// <summary>Writes the sound's values at the places named; outside the sound it is silent.</summary>
    /// <param name="sound">Samples.</param>
    /// <param name="at">Places, in samples from the first.</param>
    /// <param name="values">Where they go, as many as places.</param>
    public void Read(ReadOnlySpan<float> sound, ReadOnlySpan<double> at, Span<float> values)
    {
        ArgumentOutOfRangeException.ThrowIfNotEqual(values.Length, at.Length, nameof(values));
        for (var n = 0; n < at.Length; n++)
        {
            values[n] = (float)Value(sound, at[n]);
        }
    }

    private double Value(ReadOnlySpan<float> sound, double at)
    {
        var first = (long)Math.Floor(at);
        double sum = 0;
        long from = Math.Max(0, first - HalfTaps + 1), to = Math.Min(sound.Length - 1L, first + HalfTaps);
        for (var k = from; k <= to; k++)
        {
            var place = Math.Abs(at - k) * StepsOfATap;
            var index = (int)place;
            if (index >= HalfTaps * StepsOfATap)
            {
                continue;
            }

            var between = place - index;
            sum += sound[(int)k] * (_table[index] + (between * (_table[index + 1] - _table[index])));
        }

        return sum;
    }
}
