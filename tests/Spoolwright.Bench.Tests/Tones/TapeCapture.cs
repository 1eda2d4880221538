using Spoolwright.Bench.Instruments;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Tests.Tones;

/// <summary>One stretch of a made-up capture: a tone of the tape, or nothing.</summary>
/// <param name="Tone">Null: a gap.</param>
/// <param name="Seconds">How long.</param>
/// <param name="Speech">An announcement stands in it.</param>
internal sealed record Stretch(TestTone? Tone, double Seconds, bool Speech = false);

/// <summary>What a made-up deck does to a made-up tape.</summary>
internal sealed record CaptureSettings
{
    public int RateHz { get; init; } = 32000;

    public double Speed { get; init; } = 1;

    /// <summary>Level of the tape's 0 dB, dBFS.</summary>
    public double GainDb { get; init; } = -15;

    public double RightDb { get; init; }

    public bool DeadLeft { get; init; }

    public bool DeadRight { get; init; }

    public double BassDb { get; init; }

    public double TrebleDb { get; init; }

    public double Flutter { get; init; } = 0.001;

    /// <summary>Noise in 20 kHz, dBFS as a sine's level.</summary>
    public double NoiseDb { get; init; } = -65;

    /// <summary>Hum line's level, dBFS; null: none.</summary>
    public double? HumDb { get; init; }

    public double MainsHz { get; init; } = 50;

    /// <summary>x_R(t) = x_L(t − τ), µs.</summary>
    public double SkewMicroseconds { get; init; }

    public double SpeechDb { get; init; } = -20;

    public int Dropouts { get; init; }

    /// <summary>Rms of slow level movement, dB, alike in both channels.</summary>
    public double MovementDb { get; init; }

    public bool Clip { get; init; }
}

/// <summary>Makes the sound of a test tape played on a deck, by plain trigonometry; seeded.</summary>
internal static class TapeCapture
{
    /// <summary>The deck's response at a frequency, dB: smooth, none in the middle.</summary>
    public static double Response(CaptureSettings deck, double hz)
    {
        var bass = Math.Clamp(Math.Log(250 / hz) / Math.Log(250 / 31.5), 0, 1.2);
        var treble = Math.Clamp(Math.Log(hz / 3000) / Math.Log(15000.0 / 3000), 0, 1.2);
        return (deck.BassDb * bass) + (deck.TrebleDb * treble * treble);
    }

    public static MemorySound Make(
        IReadOnlyList<Stretch> stretches,
        CaptureSettings deck,
        int seed,
        float[]? speech = null,
        List<double>? levelsDb = null
    )
    {
        var random = new Random(seed);
        var rate = (double)deck.RateHz;
        var n = (int)(stretches.Sum(s => s.Seconds) * rate);
        float[] left = new float[n], right = new float[n];
        var wow = Enumerable.Range(0, 8).Select(i => (Hz: 0.7 * Math.Pow(1.9, i), P: random.NextDouble() * 6.28)).ToArray();
        var moves = Enumerable.Range(0, 6).Select(_ => (Hz: 0.1 + (2.9 * random.NextDouble()), P: random.NextDouble() * 6.28)).ToArray();
        var at = 0;
        foreach (var stretch in stretches)
        {
            var end = Math.Min(n, at + (int)(stretch.Seconds * rate));
            if (stretch.Tone is { } tone)
            {
                Tone(left.AsSpan(at, end - at), right.AsSpan(at, end - at), tone, deck, at / rate, wow, random.NextDouble() * 6.28);
                levelsDb?.Add(Move(left.AsSpan(at, end - at), right.AsSpan(at, end - at), deck, at / rate, moves));
            }
            else if (stretch.Speech)
            {
                Speech(left.AsSpan(at, end - at), right.AsSpan(at, end - at), deck, random, speech);
            }

            at = end;
        }

        for (var i = 0; i < deck.Dropouts; i++)
        {
            int from = random.Next(n), length = (int)(random.NextDouble() * 0.04 * rate);
            for (var k = from; k < Math.Min(n, from + length); k++)
            {
                left[k] *= 0.1f;
                right[k] *= 0.1f;
            }
        }

        double a = deck.DeadLeft ? 0 : 1, b = deck.DeadRight ? 0 : Math.Pow(10, deck.RightDb / 20);
        var noise = Math.Pow(10, deck.NoiseDb / 20) / Math.Sqrt(2) * Math.Sqrt(rate / 40000);
        var hum = deck.HumDb is { } h ? Math.Pow(10, h / 20) : 0;
        for (var i = 0; i < n; i++)
        {
            double line = 0;
            if (hum > 0)
            {
                var w = 2 * Math.PI * deck.MainsHz * i / rate;
                line = hum * (Math.Cos(w) + (0.8 * Math.Cos((2 * w) + 1)) + (0.5 * Math.Cos((3 * w) + 2)));
            }

            left[i] = Sample((left[i] * a) + line + (noise * Normal(random)), deck.Clip);
            right[i] = Sample((right[i] * b) + line + (noise * Normal(random)), deck.Clip);
        }

        return new MemorySound(left, right, deck.RateHz);
    }

    // What the movement adds to the tone's level by its rms over its whole length, dB.
    private static double Move(Span<float> left, Span<float> right, CaptureSettings deck, double from, (double Hz, double P)[] moves)
    {
        if (deck.MovementDb <= 0)
        {
            return 0;
        }

        var each = deck.MovementDb / 8.686 * Math.Sqrt(2.0 / moves.Length);
        double power = 0, level = 1;
        for (var i = 0; i < left.Length; i++)
        {
            if (i % 64 == 0)
            {
                level = 1;
                foreach (var (hz, p) in moves)
                {
                    level += each * Math.Cos((2 * Math.PI * hz * (from + (i / (double)deck.RateHz))) + p);
                }
            }

            power += level * level;
            left[i] *= (float)level;
            right[i] *= (float)level;
        }

        return 10 * Math.Log10(power / left.Length);
    }

    private static float Sample(double x, bool clip) => (float)(clip ? Math.Clamp(x, -0.5, 0.5) : x);

    // Twelve uniform numbers would do as well; four are near enough to a bell for hiss.
    private static double Normal(Random random) =>
        (random.NextDouble() + random.NextDouble() + random.NextDouble() + random.NextDouble() - 2) * Math.Sqrt(3);

    private static void Tone(
        Span<float> left,
        Span<float> right,
        TestTone tone,
        CaptureSettings deck,
        double from,
        (double Hz, double P)[] wow,
        double phase
    )
    {
        var hz = tone.FrequencyHz * deck.Speed;
        var amplitude = Math.Pow(10, (deck.GainDb + tone.LevelDb + Response(deck, tone.FrequencyHz)) / 20);
        var each = deck.Flutter * Math.Sqrt(2.0 / wow.Length);
        double displaced = 0, speed = 0;
        const int Hold = 16;
        for (var i = 0; i < left.Length; i++)
        {
            var t = from + (i / (double)deck.RateHz);
            if (i % Hold == 0)
            {
                displaced = 0;
                speed = 0;
                foreach (var (w, p) in wow)
                {
                    var (sin, cos) = Math.SinCos((2 * Math.PI * w * t) + p);
                    displaced += each / (2 * Math.PI * w) * sin;
                    speed += each * cos;
                }
            }

            var now = t + displaced + (speed * (i % Hold) / deck.RateHz);
            left[i] = (float)(amplitude * Math.Cos((2 * Math.PI * hz * now) + phase));
            right[i] = (float)(amplitude * Math.Cos((2 * Math.PI * hz * (now - (deck.SkewMicroseconds * 1e-6 * (1 + speed)))) + phase));
        }
    }

    // A voice: harmonics of a gliding pitch under moving formants, or the recording where there is one.
    private static void Speech(Span<float> left, Span<float> right, CaptureSettings deck, Random random, float[]? speech)
    {
        var amplitude = Math.Pow(10, deck.SpeechDb / 20);
        double pitch = 90 + (120 * random.NextDouble()), phase = 0, formant = 700;
        var start = random.Next(8000);
        for (var i = 0; i < left.Length; i++)
        {
            if (speech is not null)
            {
                left[i] = right[i] = (float)(amplitude * 3 * speech[(start + (int)(i * 16000L / deck.RateHz)) % speech.Length]);
                continue;
            }

            if (i % 4000 == 0)
            {
                pitch = Math.Clamp(pitch * (0.93 + (0.14 * random.NextDouble())), 80, 240);
                formant = 300 + (1500 * random.NextDouble());
            }

            phase += 2 * Math.PI * pitch / deck.RateHz;
            double sum = 0;
            for (var k = 1; k <= 12; k++)
            {
                sum += Math.Cos(k * phase) / (1 + Math.Pow((k * pitch / formant) - 1, 2) + (0.1 * k));
            }

            left[i] = right[i] = (float)(amplitude * 0.4 * sum * (0.6 + (0.4 * Math.Sin(i * 25.0 / deck.RateHz))));
        }
    }
}

/// <summary>Sound held in memory, given out in blocks of any size.</summary>
internal sealed class MemorySound(float[] left, float[] right, int rate, int channels = 2, int block = int.MaxValue, bool rewinds = true)
    : SoundSource
{
    private int _at;

    public float[] LeftSamples => left;

    public float[] RightSamples => right;

    public override int SampleRateHz => rate;

    public override int Channels => channels;

    public override long? Frames => left.Length;

    public override IReadOnlyList<Note> Notes => [];

    public override bool CanRewind => rewinds;

    public override void Rewind() => _at = 0;

    public override int Read(Span<float> toLeft, Span<float> toRight)
    {
        var n = Math.Min(Math.Min(block, toLeft.Length), left.Length - _at);
        left.AsSpan(_at, n).CopyTo(toLeft);
        if (channels == 2)
        {
            right.AsSpan(_at, n).CopyTo(toRight);
        }

        _at += n;
        return n;
    }
}
