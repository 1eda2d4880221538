using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Tests.Live;

/// <summary>A deck's sound by formula: tones at once, one skew, sinusoidal flutter, white noise. Served as a source, whole or by
/// blocks.</summary>
internal sealed class LiveSound : SoundSource
{
    private readonly float[] _left, _right;
    private int _at;

    public LiveSound(
        int rate,
        double seconds,
        double[] tonesHz,
        double skewMicroseconds,
        double rightDb = -0.5,
        (double Hz, double Percent)[]? flutter = null,
        double speedPercent = 0,
        int seed = 1,
        double noiseDb = -70
    )
    {
        SampleRateHz = rate;
        var n = (int)(rate * seconds);
        (_left, _right) = (new float[n], new float[n]);
        var random = new Random(seed);
        var amplitude = 0.25 / Math.Sqrt(Math.Max(1, tonesHz.Length));
        var (gain, noise) = (Math.Pow(10, rightDb / 20), Math.Pow(10, noiseDb / 20) * amplitude);
        for (var i = 0; i < n; i++)
        {
            double a = 0, b = 0, t = (double)i / rate;
            foreach (var f in tonesHz)
            {
                a += amplitude * Math.Sin(2 * Math.PI * f * Place(t, flutter, speedPercent));
                b += gain * amplitude * Math.Sin(2 * Math.PI * f * Place(t - (skewMicroseconds * 1e-6), flutter, speedPercent));
            }

            (_left[i], _right[i]) = ((float)(a + (noise * Gauss(random))), (float)(b + (noise * Gauss(random))));
        }
    }

    public ReadOnlySpan<float> Left => _left;

    public ReadOnlySpan<float> Right => _right;

    public override int SampleRateHz { get; }

    public override int Channels => 2;

    public override long? Frames => _left.Length;

    public override IReadOnlyList<Note> Notes => [];

    public override bool CanRewind => true;

    public override void Rewind() => _at = 0;

    public override int Read(Span<float> left, Span<float> right)
    {
        var take = Math.Min(left.Length, _left.Length - _at);
        _left.AsSpan(_at, take).CopyTo(left);
        _right.AsSpan(_at, take).CopyTo(right);
        _at += take;
        return take;
    }

    // Time on the tape: the integral of speed, whose peak deviation at each rate is the percentage given.
    private static double Place(double t, (double Hz, double Percent)[]? flutter, double speedPercent)
    {
        var place = t * (1 + (speedPercent / 100));
        foreach (var (hz, percent) in flutter ?? [])
            place += percent / 100 / (2 * Math.PI * hz) * Math.Sin(2 * Math.PI * hz * t);
        return place;
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
