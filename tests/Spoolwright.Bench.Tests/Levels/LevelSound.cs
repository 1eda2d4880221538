using Spoolwright.Bench.Tests.Flutter;
using Spoolwright.Bench.Tests.Tones;

namespace Spoolwright.Bench.Tests.Levels;

/// <summary>Made-up sound for levels: noise, lines, tones with flutter. By plain trigonometry, seeded; shares no code with the
/// meters.</summary>
internal sealed class LevelSound(int rate, double seconds, int seed)
{
    private readonly Gaussian _random = new(seed + 7919);

    public float[] Left { get; } = new float[(int)(rate * seconds)];

    public float[] Right { get; } = new float[(int)(rate * seconds)];

    /// <summary>White noise of so many dBFS (sine scale) from 0 Hz to half the rate in both channels, or the left or right alone.</summary>
    public LevelSound Noise(double db, double from = 0, double to = double.MaxValue, bool left = true, bool right = true)
    {
        var sigma = Math.Pow(10, db / 20) / Math.Sqrt(2);
        for (var i = (int)(from * rate); i < Math.Min(Left.Length, to * rate); i++)
        {
            double l = _random.Next(), r = _random.Next();
            Left[i] += left ? (float)(sigma * l) : 0;
            Right[i] += right ? (float)(sigma * r) : 0;
        }

        return this;
    }

    /// <summary>White noise, given by its level in 20 kHz.</summary>
    public LevelSound Hiss(double dbIn20KHz) => Noise(dbIn20KHz + (10 * Math.Log10(rate / 40000.0)));

    /// <summary>
    /// A tone of those levels between two times, with flutter: rms share, spread over 0.5 to 100 Hz; each seed has its own.
    /// </summary>
    public LevelSound Tone(
        double hz,
        double leftDb,
        double rightDb,
        double from = 0,
        double to = double.MaxValue,
        double flutter = 0,
        int flutterSeed = 1
    )
    {
        var random = new Random(flutterSeed);
        const int lines = 9;
        var parts = Enumerable
            .Range(0, lines)
            .Select(i => (Omega: 2 * Math.PI * 0.5 * Math.Pow(200, i / (lines - 1.0)), P: random.NextDouble() * 6.28))
            .ToArray();
        var peak = flutter * Math.Sqrt(2.0 / lines);
        var phase = random.NextDouble() * 6.28;
        double l = Math.Pow(10, leftDb / 20), r = Math.Pow(10, rightDb / 20);
        double Moved(double t) => parts.Sum(p => peak / p.Omega * Math.Sin((p.Omega * t) + p.P));
        double now = 0, step = 0;
        for (var i = (int)(from * rate); i < Math.Min(Left.Length, to * rate); i++)
        {
            var t = i / (double)rate;
            if (flutter > 0 && (i % 8 == 0 || step == 0))
            {
                // Straight over eight samples: flutter ends at 100 Hz.
                now = Moved(t);
                step = (Moved((i + 8) / (double)rate) - now) / 8;
            }

            var x = Math.Sin((2 * Math.PI * hz * (t + now)) + phase);
            now += step;
            Left[i] += (float)(l * x);
            Right[i] += (float)(r * x);
        }

        return this;
    }

    public MemorySound Sound(int block = int.MaxValue) => new(Left, Right, rate, 2, block);

    public MemorySound Mono(int block = int.MaxValue) => new(Left, [], rate, 1, block);
}
