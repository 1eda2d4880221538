using System.Numerics;
using Spoolwright.Bench.Tests.Tones;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Bench.Tests.Record;

/// <summary>What a made-up deck does to a program of ours.</summary>
internal sealed record TapedDeck
{
    public int RateHz { get; init; } = 48000;

    /// <summary>Corner of a one-pole fall that record and playback have together, Hz; 0: flat.</summary>
    public double CornerHz { get; init; } = 12_000;

    public double Speed { get; init; } = 1;

    /// <summary>Flutter, rms share, as strong in every octave from 0.5 to 86 Hz; each seed has its own rates.</summary>
    public double Flutter { get; init; }

    /// <summary>Flutter is as strong in every hertz instead.</summary>
    public bool FlutterInHertz { get; init; }

    /// <summary>Hiss in 20 kHz, dBFS.</summary>
    public double HissDb { get; init; } = -90;

    public double DelaySeconds { get; init; }

    public double RightLaterMicroseconds { get; init; }

    public double CrosstalkDb { get; init; } = -200;

    /// <summary>That leak comes the other way round.</summary>
    public bool CrosstalkReversed { get; init; }

    /// <summary>Leak into each side from the other before the tape, as a factor; below 0 the other way round.</summary>
    public double TapeLeak { get; init; }

    /// <summary>Leak before the tape that rises with frequency, a quarter turn ahead: half of it is what a difference over two samples of
    /// 96 kHz is multiplied with.</summary>
    public double TapeLeakRising { get; init; }

    public double RightDb { get; init; }

    /// <summary>Each product of the multitone's 1000 and 3150 Hz, dB against 1000 Hz as played; −200: none.</summary>
    public double ProductDb { get; init; } = -200;

    /// <summary>Mains hum of 50 Hz and its odd multiples in both channels, dBFS each; −200: none.</summary>
    public double HumDb { get; init; } = -200;

    /// <summary>Length of the capture, s; null: all of the program.</summary>
    public double? Seconds { get; init; }

    /// <summary>Left is the source, right the tape.</summary>
    public bool LeftIsSource { get; init; }

    /// <summary>By so much the source's channel is ahead of the program's time, s: where between two samples it stands.</summary>
    public double SourceAheadSeconds { get; init; }

    /// <summary>Source until then, tape from then on, s.</summary>
    public double? SourceUntil { get; init; }
}

/// <summary>Plays a program through a made-up tape: rendered at 96 kHz, filtered by a law, read at displaced times by a windowed
/// sinc.</summary>
internal static class TapedProgram
{
    private const int From = 96_000;
    private const int Half = 12;

    /// <summary>The deck's own response at a frequency, dB against 1 kHz, with the thousandth of a decibel of ripple that the short sinc
    /// has.</summary>
    public static double Response(TapedDeck deck, double hz) =>
        (deck.CornerHz <= 0 ? 0 : Gain(deck, hz) - Gain(deck, 1000)) + Ripple(hz) - Ripple(1000);

    public static MemorySound Play(SignalProgram program, TapedDeck deck, int seed = 1)
    {
        var (left, right) = Samples(program, deck, seed);
        return new MemorySound(left, right, deck.RateHz);
    }

    /// <summary>The same as samples.</summary>
    public static (float[] Left, float[] Right) Samples(SignalProgram program, TapedDeck deck, int seed = 1)
    {
        var (l, r) = Rendered.GetOrAdd((program.Name, program.Seconds), _ => Render(program));
        var frames = l.Length;
        float[] a = Filtered(l, deck), b = Filtered(r, deck);
        (a, b) = deck.TapeLeak == 0 && deck.TapeLeakRising == 0 ? (a, b) : (Leaked(a, b, deck), Leaked(b, a, deck));
        var random = new Random(seed);
        var Displaced = Displacement(deck, random);
        var count = (int)Math.Min(frames / (double)From / deck.Speed * deck.RateHz, (deck.Seconds ?? double.MaxValue) * deck.RateHz);
        float[] left = new float[count], right = new float[count];
        double leak = (deck.CrosstalkReversed ? -1 : 1) * Math.Pow(10, deck.CrosstalkDb / 20), gain = Math.Pow(10, deck.RightDb / 20);
        // 1000 Hz is sent 30 dB under a reference level of −18 dBFS.
        double product = deck.ProductDb > -200 ? Math.Pow(10, (deck.ProductDb - 48 + (deck.CornerHz <= 0 ? 0 : Gain(deck, 1000))) / 20) : 0;
        double hum = deck.HumDb > -200 ? Math.Pow(10, deck.HumDb / 20) : 0;
        double hiss = Math.Pow(10, deck.HissDb / 20) / Math.Sqrt(2) * Math.Sqrt(deck.RateHz / 40000.0);
        double there = 0, step = 0;
        for (var i = 0; i < count; i++)
        {
            if (i % 16 == 0)
            {
                there = Displaced(i / (double)deck.RateHz);
                step = (Displaced((i + 16) / (double)deck.RateHz) - there) / 16;
            }

            var now = there + (step * (i % 16));
            double x = At(a, now), y = At(b, now - (deck.RightLaterMicroseconds * 1e-6));
            if (product > 0)
            {
                var sum = ProgramList.Products.Sum(p => Math.Sin(2 * Math.PI * p.Hz * now));
                (x, y) = (x + (product * sum), y + (product * sum));
            }

            if (hum > 0)
            {
                var sum = Enumerable.Range(0, 10).Sum(k => Math.Sin(2 * Math.PI * 50 * ((2 * k) + 1) * i / deck.RateHz));
                (x, y) = (x + (hum * sum), y + (hum * sum));
            }

            var t = i / (double)deck.RateHz;
            var isSource = deck.SourceUntil is { } until && t < until;
            left[i] = (float)(
                deck.LeftIsSource || isSource ? At(l, t + deck.SourceAheadSeconds) : x + (leak * y) + (hiss * Bias.BiasTurn.Normal(random))
            );
            right[i] = (float)(isSource ? At(r, t) : gain * (y + (leak * x) + (hiss * Bias.BiasTurn.Normal(random))));
        }

        return (left, right);
    }

    /// <summary>The monitor delay that this capture has over a stretch of it, s: flutter is in it.</summary>
    public static double Delay(TapedDeck deck, int seed, double from, double to)
    {
        var displaced = Displacement(deck, new Random(seed));
        return Enumerable.Range(0, 1000).Average(i => from + ((to - from) * i / 1000) - displaced(from + ((to - from) * i / 1000)));
    }

    private static Func<double, double> Displacement(TapedDeck deck, Random random)
    {
        // Every deck has rates of its own: one in each of eight stretches from 0.5 to 86 Hz.
        var lines = Enumerable
            .Range(0, 8)
            .Select(i => (Hz: 0.7 * Math.Pow(1.9, i + random.NextDouble() - 0.5), P: random.NextDouble() * 6.28))
            .ToArray();
        double Strength(double hz) => deck.FlutterInHertz ? Math.Sqrt(hz) : 1;
        var each = deck.Flutter * Math.Sqrt(2.0 / lines.Sum(x => Math.Pow(Strength(x.Hz), 2)));
        return t =>
            (t * deck.Speed)
            - deck.DelaySeconds
            + lines.Sum(x => each * Strength(x.Hz) / (2 * Math.PI * x.Hz) * Math.Sin((2 * Math.PI * x.Hz * t) + x.P));
    }

    private static readonly System.Collections.Concurrent.ConcurrentDictionary<(string, double), (float[], float[])> Rendered = new();

    private static (float[] Left, float[] Right) Render(SignalProgram program)
    {
        using var sound = new ProgramSound(program, From, -18);
        var frames = (int)sound.Frames!.Value;
        float[] left = new float[frames], right = new float[frames];
        for (int at = 0, n; (n = sound.Read(left.AsSpan(at), right.AsSpan(at))) > 0; at += n)
        {
        }

        return (left, right);
    }

    /// <summary>How far a tone of one side alone stands over what of it is in the other channel, dB, at equal gains.</summary>
    public static double Separation(TapedDeck deck, double hz, bool fromLeft)
    {
        var later = Complex.FromPolarCoordinates(1, -2 * Math.PI * hz * deck.RightLaterMicroseconds * 1e-6);
        Complex tape = new(deck.TapeLeak, 2 * deck.TapeLeakRising * Math.Sin(2 * Math.PI * hz / From));
        double leak = (deck.CrosstalkReversed ? -1 : 1) * Math.Pow(10, deck.CrosstalkDb / 20);
        Complex own = fromLeft ? 1 : later, other = tape * (fromLeft ? later : 1);
        return 20 * Math.Log10((own + (leak * other)).Magnitude / (other + (leak * own)).Magnitude);
    }

    private static float[] Leaked(float[] own, float[] other, TapedDeck deck)
    {
        var y = new float[own.Length];
        for (var i = 1; i < y.Length - 1; i++)
        {
            y[i] = own[i] + (float)((deck.TapeLeak * other[i]) + (deck.TapeLeakRising * (other[i + 1] - other[i - 1])));
        }

        return y;
    }

    // y[n] = (1 − p)·x[n] + p·y[n − 1].
    private static float[] Filtered(float[] x, TapedDeck deck)
    {
        if (deck.CornerHz <= 0)
        {
            return x;
        }

        var pole = Math.Exp(-2 * Math.PI * deck.CornerHz / From);
        var y = new float[x.Length];
        double last = 0;
        for (var i = 0; i < x.Length; i++)
        {
            last = (pole * last) + ((1 - pole) * x[i]);
            y[i] = (float)last;
        }

        return y;
    }

    private static double Gain(TapedDeck deck, double hz)
    {
        var pole = Math.Exp(-2 * Math.PI * deck.CornerHz / From);
        var w = 2 * Math.PI * hz / From;
        return 20 * Math.Log10(1 - pole) - (10 * Math.Log10(1 - (2 * pole * Math.Cos(w)) + (pole * pole)));
    }

    private static readonly double[] Kernel = [.. Enumerable.Range(0, (2 * Half * 512) + 1).Select(i =>
    {
        var d = (i / 512.0) - Half;
        var window = Math.Cos(Math.PI * d / (2 * Half));
        return (d == 0 ? 1 : Math.Sin(Math.PI * d) / (Math.PI * d)) * window * window;
    })];

    private static double Ripple(double hz) =>
        20 * Math.Log10(Kernel.Select((k, i) => k * Math.Cos(2 * Math.PI * hz / From * ((i / 512.0) - Half))).Sum() / 512);

    private static double At(float[] x, double seconds)
    {
        var p = seconds * From;
        var k = (int)Math.Floor(p);
        if (k < Half || k >= x.Length - Half - 1)
        {
            return 0;
        }

        double sum = 0, at = (Half - (p - k)) * 512;
        for (var j = -Half + 1; j <= Half; j++)
        {
            var place = at + (j * 512.0);
            var i = (int)place;
            if (i >= 0 && i < Kernel.Length - 1)
            {
                sum += x[k + j] * (Kernel[i] + ((place - i) * (Kernel[i + 1] - Kernel[i])));
            }
        }

        return sum;
    }
}
