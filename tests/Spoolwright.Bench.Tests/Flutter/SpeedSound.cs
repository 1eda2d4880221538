using Spoolwright.Bench.Standards;
using Spoolwright.Signal.Flutter;

namespace Spoolwright.Bench.Tests.Flutter;

/// <summary>One sinusoidal part of a speed: deviation peak·sin(2πft + phase), in % of the mean.</summary>
public sealed record SpeedLine(double Hz, double PeakPercent, double Phase = 0);

/// <summary>
/// A tone played at an exactly known speed: the phase is the speed's integral in closed form, so nothing of the sound is approximated.
/// Shares no code with the meter.
/// </summary>
public sealed record SpeedSound
{
    public double RateHz { get; init; } = 48000;

    public double Seconds { get; init; } = 8;

    public double CarrierHz { get; init; } = 3150;

    public double ErrorPercent { get; init; }

    /// <summary>Change of the speed from start to end, %, as a straight line about the middle.</summary>
    public double DriftPercent { get; init; }

    public IReadOnlyList<SpeedLine> Lines { get; init; } = [];

    public double Left { get; init; } = 0.5;

    public double? Right { get; init; } = 0.5;

    /// <summary>Tone over white noise in 20 kHz, per channel, dB; null: none.</summary>
    public double? SnrDb { get; init; }

    /// <summary>As <see cref="SnrDb"/>, of the right channel where it differs.</summary>
    public double? SnrRightDb { get; init; }

    public int Seed { get; init; } = 1;

    /// <summary>Frequency, from its mean, at a time, %.</summary>
    public double DeviationPercent(double t) =>
        (DriftPercent * ((t / Seconds) - 0.5)) + Lines.Sum(l => l.PeakPercent * Math.Sin((2 * Math.PI * l.Hz * t) + l.Phase));

    public double MeanHz => CarrierHz * (1 + (ErrorPercent / 100));

    /// <summary>Mean of the deviation from 0 to the end, %.</summary>
    public double MeanDeviationPercent => Lines.Sum(l =>
        l.PeakPercent * (Math.Cos(l.Phase) - Math.Cos((2 * Math.PI * l.Hz * Seconds) + l.Phase)) / (2 * Math.PI * l.Hz * Seconds));

    /// <summary>Time mean of the frequency over the capture, Hz.</summary>
    public double TrueMeanHz => MeanHz * (1 + (MeanDeviationPercent / 100));

    public int Frames => (int)(RateHz * Seconds);

    /// <summary>The samples; right is empty with one channel.</summary>
    public (float[] Left, float[] Right) Samples()
    {
        var left = new float[Frames];
        var right = new float[Right is null ? 0 : Frames];
        var omega = Lines.Select(l => 2 * Math.PI * l.Hz).ToArray();
        var gain = Lines.Select(l => l.PeakPercent / 100 / (2 * Math.PI * l.Hz)).ToArray();
        var phase = Lines.Select(l => l.Phase).ToArray();
        var constant = phase.Select((p, i) => gain[i] * Math.Cos(p)).Sum();
        var random = SnrDb is null ? null : new Gaussian(Seed);
        double Sigma(double amplitude, double? snr) =>
            snr is { } db ? Math.Sqrt(amplitude * amplitude / 2 / Math.Pow(10, db / 10) / 20000 * RateHz / 2) : 0;
        double noiseLeft = Sigma(Left, SnrDb), noiseRight = Sigma(Right ?? 0, SnrRightDb ?? SnrDb);
        for (var i = 0; i < left.Length; i++)
        {
            var t = i / RateHz;
            var integral = t + constant + (DriftPercent / 100 * ((t * t / (2 * Seconds)) - (0.5 * t)));
            for (var j = 0; j < omega.Length; j++)
            {
                integral -= gain[j] * Math.Cos((omega[j] * t) + phase[j]);
            }

            var cycles = MeanHz * integral;
            var x = Math.Sin(2 * Math.PI * (cycles - Math.Floor(cycles)));
            left[i] = (float)((Left * x) + (random is null ? 0 : noiseLeft * random.Next()));
            if (right.Length > 0)
            {
                right[i] = (float)((Right!.Value * x) + (random is null ? 0 : noiseRight * random.Next()));
            }
        }

        return (left, right);
    }

    /// <summary>What the meter makes of it.</summary>
    public FlutterResult Measured(double? nominalHz = null)
    {
        var (left, right) = Samples();
        return Measure(left, right, RateHz, nominalHz);
    }

    /// <summary>What the meter makes of samples.</summary>
    public static FlutterResult Measure(float[] left, float[] right, double rateHz, double? nominalHz = null, int block = 4096)
    {
        var meter = new FlutterMeter(FlutterPractice.Settings(nominalHz), rateHz, right.Length > 0 ? 2 : 1, left.Length / rateHz);
        for (var i = 0; i < left.Length; i += block)
        {
            var n = Math.Min(block, left.Length - i);
            meter.Add(left.AsSpan(i, n), right.Length > 0 ? right.AsSpan(i, n) : default);
        }

        return meter.Finish();
    }
}

/// <summary>
/// Seeded normal deviates, by the polar method. The numbers come from a 64-bit mixing generator of its own: the seeded generator of the
/// library is another algorithm from one framework to the next, and these numbers must stay the same.
/// </summary>
public sealed class Gaussian(int seed)
{
    private ulong _state = (ulong)(uint)seed * 0xD1342543DE82EF95;
    private double? _spare;

    public double Next()
    {
        if (_spare is { } spare)
        {
            _spare = null;
            return spare;
        }

        while (true)
        {
            double u = Uniform(), v = Uniform();
            var s = (u * u) + (v * v);
            if (s is > 0 and < 1)
            {
                var f = Math.Sqrt(-2 * Math.Log(s) / s);
                _spare = v * f;
                return u * f;
            }
        }
    }

    // From −1 to 1.
    private double Uniform()
    {
        _state += 0x9E3779B97F4A7C15;
        var z = (_state ^ (_state >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return ((z ^ (z >> 31)) >> 11) * (2.0 / (1L << 53)) - 1;
    }
}
