using System.Numerics;

namespace Spoolwright.Signal.Tests.Tones;

/// <summary>Makes a tone with known truth: flutter, level movement, hum and white noise, by plain trigonometry.</summary>
internal sealed record ToneSignal
{
    public double RateHz { get; init; } = 32000;

    public double FrequencyHz { get; init; } = 1000;

    public double Seconds { get; init; } = 1;

    public double LevelLeftDb { get; init; } = -10;

    public double LevelRightDb { get; init; } = -12;

    /// <summary>x_R(t) = x_L(t − τ).</summary>
    public double DelaySeconds { get; init; }

    /// <summary>Peak of a slow movement of the delay (0.3 to 0.9 Hz), s.</summary>
    public double DelayMovement { get; init; }

    /// <summary>S/N in 20 kHz, of the left channel; both channels have equal noise.</summary>
    public double SnrDb { get; init; } = 40;

    /// <summary>Rms of the speed's deviation, spread evenly over 0.5 to 100 Hz.</summary>
    public double Flutter { get; init; }

    /// <summary>Rms of slow level movement (0.1 to 3 Hz), dB, alike in both channels.</summary>
    public double LevelMovementDb { get; init; }

    /// <summary>Hum at 50 or 60 Hz and its harmonics re the tone, dB; null: none.</summary>
    public double? HumDb { get; init; }

    public double MainsHz { get; init; } = 50;

    public int Frames => (int)Math.Round(RateHz * Seconds);

    /// <summary>Level of the left channel that this capture holds, by its rms, dB: the truth.</summary>
    public double TrueLeftDb { get; private set; }

    /// <summary>Phase of right minus left that this capture holds, degrees: the truth.</summary>
    public double TruePhase { get; private set; }

    public (float[] Left, float[] Right) Make(ulong seed)
    {
        var random = new Gaussian(seed);
        var n = Frames;
        var left = new float[n];
        var right = new float[n];
        double a = Math.Pow(10, LevelLeftDb / 20), b = Math.Pow(10, LevelRightDb / 20);
        var noise = a / Math.Sqrt(2) * Math.Pow(10, -SnrDb / 20) * Math.Sqrt(RateHz / 2 / 20000);
        var lines = Lines(random, Flutter, 0.5, 100);
        var moves = Lines(random, LevelMovementDb / 8.686, 0.1, 3);
        var start = random.Uniform() * 2 * Math.PI;
        var hums = HumDb is { } hum
            ? Enumerable
                .Range(1, 5)
                .Select(k => Complex.FromPolarCoordinates(a * Math.Pow(10, hum / 20) / k, random.Uniform() * 2 * Math.PI))
                .ToArray()
            : [];
        var turns = hums.Select((_, k) => Complex.FromPolarCoordinates(1, 2 * Math.PI * (k + 1) * MainsHz / RateHz)).ToArray();
        var displaced = Grid(t => lines.Sum(l => l.A / (2 * Math.PI * l.Hz) * Math.Sin((2 * Math.PI * l.Hz * t) + l.P)));
        var levels = Grid(t => 1 + moves.Sum(m => m.A * Math.Cos((2 * Math.PI * m.Hz * t) + m.P)));
        double power = 0, turned = 0, moving = 0.3 + (0.6 * random.Uniform());
        for (var i = 0; i < n; i++)
        {
            var t = i / RateHz;
            var late = t - DelaySeconds - (DelayMovement == 0 ? 0 : DelayMovement * Math.Sin(2 * Math.PI * moving * t));
            var phase = start + (2 * Math.PI * FrequencyHz * (t + At(displaced, t)));
            var phaseLate = start + (2 * Math.PI * FrequencyHz * (late + At(displaced, late)));
            var level = At(levels, t);
            power += level * level;
            turned += phaseLate - phase;
            var h = 0.0;
            for (var k = 0; k < hums.Length; k++)
            {
                h += hums[k].Real;
                hums[k] *= turns[k];
            }

            left[i] = (float)((a * level * Math.Cos(phase)) + h + (noise * random.Next()));
            right[i] = (float)((b * level * Math.Cos(phaseLate)) + h + (noise * random.Next()));
        }

        TruePhase = double.RadiansToDegrees(Math.IEEERemainder(turned / n, 2 * Math.PI));
        TrueLeftDb = LevelLeftDb + (10 * Math.Log10(power / n));
        return (left, right);
    }

    private static (double Hz, double A, double P)[] Lines(Gaussian random, double rms, double fromHz, double toHz)
    {
        if (rms <= 0)
        {
            return [];
        }

        const int Count = 24;
        return [.. Enumerable.Range(0, Count).Select(i => (
            fromHz + ((toHz - fromHz) * (i + random.Uniform()) / Count), rms * Math.Sqrt(2.0 / Count), random.Uniform() * 2 * Math.PI))];
    }

    // Slow movements are sampled at 4 kHz, 5 ms to spare at both ends, and read by cubic interpolation (error below 1e-4 of the movement at
    // 100 Hz).
    private double[] Grid(Func<double, double> of) =>
        [.. Enumerable.Range(0, (int)(Seconds * 4000) + 48).Select(i => of((i - 20) / 4000.0))];

    private static double At(double[] grid, double t)
    {
        var x = (t * 4000) + 20;
        var k = (int)x;
        double f = x - k, a = grid[k - 1], b = grid[k], c = grid[k + 1], d = grid[k + 2];
        return b + (0.5 * f * (c - a + (f * ((2 * a) - (5 * b) + (4 * c) - d + (f * ((3 * (b - c)) + d - a))))));
    }
}

/// <summary>Seeded normal numbers, quick.</summary>
internal sealed class Gaussian(ulong seed)
{
    // The seed is scrambled, so that no two seeds walk the same row of numbers a few steps apart.
    private ulong _state = Scrambled((seed + 1) * 0xD1342543DE82EF95UL);

    public double Uniform() => (Bits() >> 11) * (1.0 / (1UL << 53));

    /// <summary>Four even numbers of 16 bits added, of one variance: bell enough for sums over thousands.</summary>
    public double Next()
    {
        var z = Bits();
        var sum = (z & 0xFFFF) + ((z >> 16) & 0xFFFF) + ((z >> 32) & 0xFFFF) + (z >> 48);
        return (sum - 131070.0) * (1.7320508075688772 / 65536);
    }

    private ulong Bits()
    {
        _state += 0x9E3779B97F4A7C15UL;
        return Scrambled(_state);
    }

    private static ulong Scrambled(ulong z)
    {
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
        return z ^ (z >> 31);
    }
}
