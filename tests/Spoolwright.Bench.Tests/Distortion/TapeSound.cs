using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Tests.Distortion;

/// <summary>
/// A tone of moving level through a tape's curve x − a·x³ + b·x², played with flutter: harmonics known by law. The fundamental is A −
/// 3a·A³/4, the third a·A³/4, the second b·A²/2 [computed].
/// </summary>
internal sealed record TapeSound
{
    public int RateHz { get; init; } = 48000;

    public double FrequencyHz { get; init; } = 1000;

    /// <summary>Input's peak against time, s: full scale 1.</summary>
    public required Func<double, double> Amplitude { get; init; }

    public double Seconds { get; init; } = 10;

    public double Cube { get; init; } = 0.3;

    public double Square { get; init; }

    /// <summary>Rms of the speed's deviation over 0.5 to 100 Hz.</summary>
    public double Flutter { get; init; }

    /// <summary>White noise of each channel in 20 kHz, dB re full scale; null: none.</summary>
    public double? NoiseDb { get; init; }

    /// <summary>Rms of the tape's slow wander in level, dB: as strong in every octave from the sound's own length up to
    /// <see cref="WanderEndHz"/>; both channels alike.</summary>
    public double WanderDb { get; init; }

    /// <summary>Where the wander ends, Hz.</summary>
    public double WanderEndHz { get; init; } = 20;

    /// <summary>Right channel's gain.</summary>
    public double Right { get; init; } = 0.8;

    /// <summary>Where the interface clips, peak; null: nowhere.</summary>
    public double? ClipsAt { get; init; }

    /// <summary>A curve in place of the cube, such as one that saturates.</summary>
    public Func<double, double>? Curve { get; init; }

    public static Func<double, double> Ramp(double fromDb, double toDb, double seconds) =>
        t => Math.Pow(10, (fromDb + ((toDb - fromDb) * t / seconds)) / 20);

    public static Func<double, double> Steps(double fromDb, double stepDb, double seconds) =>
        t => Math.Pow(10, (fromDb + (stepDb * Math.Floor(t / seconds))) / 20);

    /// <summary>Output level of the fundamental, dB, at which the cube alone makes a third harmonic of a share of the total.</summary>
    public double TrueMol(double share)
    {
        double low = 1e-4, high = Math.Sqrt(4 / (9 * Cube));
        for (var i = 0; i < 100; i++)
        {
            var a = 0.5 * (low + high);
            double first = a - (0.75 * Cube * a * a * a), third = Cube * a * a * a / 4, second = Square * a * a / 2;
            if (third / Math.Sqrt((first * first) + (third * third) + (second * second)) < share)
            {
                low = a;
            }
            else
            {
                high = a;
            }
        }

        return 20 * Math.Log10(low - (0.75 * Cube * low * low * low));
    }

    public (float[] Left, float[] Right) Samples(int seed)
    {
        var random = new Random(seed);
        var n = (int)(RateHz * Seconds);
        var lines =
            Flutter == 0
                ? []
                : Enumerable
                    .Range(0, 24)
                    .Select(i =>
                        (
                            Hz: 0.5 + (99.5 * (i + random.NextDouble()) / 24),
                            A: Flutter * Math.Sqrt(2.0 / 24),
                            P: 2 * Math.PI * random.NextDouble()
                        )
                    )
                    .ToArray();
        var noise = NoiseDb is { } db ? Math.Pow(10, db / 20) / Math.Sqrt(2) * Math.Sqrt(RateHz / 2 / 20000.0) : 0;
        var start = 2 * Math.PI * random.NextDouble();
        var (left, right) = (new float[n], new float[n]);
        var wander = Wander(random);

        // Straight over four samples: flutter ends at 100 Hz, and what that leaves lies 115 dB under the tone.
        double Moved(double t) => lines.Sum(l => l.A / (2 * Math.PI * l.Hz) * Math.Sin((2 * Math.PI * l.Hz * t) + l.P));
        double next = Moved(0), now = 0, step = 0;
        for (var i = 0; i < n; i++)
        {
            var t = i / (double)RateHz;
            if (lines.Length > 0 && i % 4 == 0)
            {
                now = next;
                next = Moved((i + 4) / (double)RateHz);
                step = (next - now) / 4;
            }

            var place = t + now;
            now += step;

            var gain = 1.0;
            if (wander.Length > 0)
            {
                var (at, part) = ((int)(t / WanderStep), t / WanderStep % 1);
                gain = wander[at] + (part * (wander[at + 1] - wander[at]));
            }

            var x = Amplitude(t) * Math.Cos(start + (2 * Math.PI * FrequencyHz * place));
            var y = Curve is { } curve ? curve(x) : x - (Cube * x * x * x) + (Square * x * x);
            left[i] = Clip((gain * y) + (noise * Gauss(random)));
            right[i] = Clip((gain * Right * y) + (noise * Gauss(random)));
        }

        return (left, right);
    }

    private const double WanderStep = 0.005;

    // A gain every few ms: fading parts an octave apart, all of one strength.
    private double[] Wander(Random random)
    {
        if (WanderDb == 0)
        {
            return [];
        }

        double[] kept =

            [
                .. Enumerable
                    .Range(0, 20)
                    .Select(k => Math.Pow(2, k) / Seconds)
                    .Where(hz => hz < WanderEndHz)
                    .Select(hz => Math.Exp(-2 * Math.PI * hz * WanderStep)),
            ],
            now = [.. kept.Select(_ => Gauss(random))];
        var gains = new double[(int)(Seconds / WanderStep) + 2];
        for (var i = 0; i < gains.Length; i++)
        {
            gains[i] = Math.Pow(10, WanderDb * now.Sum() / Math.Sqrt(now.Length) / 20);
            for (var k = 0; k < now.Length; k++)
            {
                now[k] = (kept[k] * now[k]) + (Math.Sqrt(1 - (kept[k] * kept[k])) * Gauss(random));
            }
        }

        return gains;
    }

    private float Clip(double y) => (float)(ClipsAt is { } most ? Math.Clamp(y, -most, most) : y);

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}

/// <summary>Sound in memory that can start again.</summary>
internal sealed class HeldSound(int rateHz, float[] left, float[]? right) : SoundSource
{
    private int _at;

    public override int SampleRateHz => rateHz;

    public override int Channels => right is null ? 1 : 2;

    public override long? Frames => left.Length;

    public override IReadOnlyList<Note> Notes => [];

    public override bool CanRewind => true;

    public override void Rewind() => _at = 0;

    public override int Read(Span<float> toLeft, Span<float> toRight)
    {
        var n = Math.Min(toLeft.Length, left.Length - _at);
        left.AsSpan(_at, n).CopyTo(toLeft);
        right?.AsSpan(_at, n).CopyTo(toRight);
        _at += n;
        return n;
    }
}
