namespace Spoolwright.Signal.Pieces;

/// <summary>How each voice sounds: partials, plucked strings by a delay line that loses its upper tones, and noise.</summary>
internal static class Voices
{
    /// <summary>One note's sound.</summary>
    public static double[] Sound(ScoreNote note, int rate) => note.Voice switch
    {
        Voice.Bass => Partials(note, rate, [1, 0.5, 0.25, 0.12, 0.06], 1.2, 0.008),
        Voice.String => Plucked(note, rate),
        Voice.Bell => Struck(note, rate),
        Voice.Choir => Sustained(note, rate),
        Voice.Drum => Beaten(note, rate),
        Voice.Brush => Noise(note, rate, 0.045, 1),
        _ => Noise(note, rate, 0.012, 2),
    };

    private static double[] Partials(ScoreNote note, int rate, double[] strengths, double decay, double rise)
    {
        var sound = new double[(int)((note.Length + 0.1) * rate)];
        for (var i = 0; i < sound.Length; i++)
        {
            var t = i / (double)rate;
            double value = 0;
            for (var k = 0; k < strengths.Length; k++)
                value += strengths[k] * Math.Exp(-t * (k + 1) / decay) * Math.Sin(2 * Math.PI * (k + 1) * note.Pitch * t);
            sound[i] = value * Edge(t, note.Length, rise);
        }

        return sound;
    }

    // A burst of noise goes round a delay line of one period; a mean of neighbours in the loop takes the upper tones away first.
    private static double[] Plucked(ScoreNote note, int rate)
    {
        var sound = new double[(int)(note.Length * rate)];
        var period = rate / note.Pitch;
        var line = new double[(int)(period - 0.5)];
        var share = period - 0.5 - line.Length;
        var allPass = (1 - share) / (1 + share);
        var chance = new Random((int)(note.Pitch * 100) + (int)(note.Seconds * 1000));
        for (var i = 0; i < line.Length; i++)
            line[i] = (2 * chance.NextDouble()) - 1;
        double before = 0, in1 = 0, out1 = 0;
        var loss = Math.Pow(0.001, 1 / (note.Pitch * 2.5));
        for (int i = 0, at = 0; i < sound.Length; i++, at = (at + 1) % line.Length)
        {
            var now = line[at];
            sound[i] = now * Edge(i / (double)rate, note.Length, 0.0005);
            var mean = loss * (now + before) / 2;
            before = now;
            var tuned = (allPass * mean) + in1 - (allPass * out1);
            (in1, out1) = (mean, tuned);
            line[at] = tuned;
        }

        return sound;
    }

    // Partials of a bar free at both ends.
    private static double[] Struck(ScoreNote note, int rate)
    {
        double[] ratios = [1, 2.757, 5.404, 8.933], strengths = [1, 0.6, 0.35, 0.2];
        var sound = new double[(int)((note.Length + 0.2) * rate)];
        for (var k = 0; k < ratios.Length && ratios[k] * note.Pitch < 0.42 * rate; k++)
        {
            for (var i = 0; i < sound.Length; i++)
            {
                var t = i / (double)rate;
                sound[i] +=
                    strengths[k]
                    * Math.Exp(-t * (1.2 + (1.1 * k)))
                    * Math.Sin(2 * Math.PI * ratios[k] * note.Pitch * t)
                    * Edge(t, note.Length, 0.001);
            }
        }

        return sound;
    }

    private static double[] Sustained(ScoreNote note, int rate)
    {
        var sound = new double[(int)((note.Length + 0.4) * rate)];
        for (var i = 0; i < sound.Length; i++)
        {
            var t = i / (double)rate;
            double value = 0;
            for (var k = 1; k <= 9; k++)
            {
                value +=
                    (Math.Sin(2 * Math.PI * k * note.Pitch * 0.9985 * t) + Math.Sin((2 * Math.PI * k * note.Pitch * 1.0015 * t) + k))
                    / (k * Math.Sqrt(k));
            }

            sound[i] = value * Edge(t, note.Length, 0.3);
        }

        return sound;
    }

    private static double[] Beaten(ScoreNote note, int rate)
    {
        var sound = new double[(int)(note.Length * rate)];
        double turn = 0;
        for (var i = 0; i < sound.Length; i++)
        {
            var t = i / (double)rate;
            turn += 2 * Math.PI * note.Pitch * (1 + (2.2 * Math.Exp(-t / 0.02))) / rate;
            sound[i] = Math.Sin(turn) * Math.Exp(-t / 0.11) * Edge(t, note.Length, 0.001);
        }

        return sound;
    }

    // White noise, differentiated to lie in the treble.
    private static double[] Noise(ScoreNote note, int rate, double decay, int times)
    {
        var chance = new Random((int)(note.Seconds * 1000) + times);
        var sound = new double[(int)(note.Length * rate)];
        for (var i = 0; i < sound.Length; i++)
            sound[i] = (2 * chance.NextDouble()) - 1;
        for (var n = 0; n < times; n++)
        {
            for (var i = sound.Length - 1; i > 0; i--)
                sound[i] = (sound[i] - sound[i - 1]) / 1.4;
        }

        for (var i = 0; i < sound.Length; i++)
        {
            var t = i / (double)rate;
            sound[i] *= Math.Exp(-t / decay) * Edge(t, note.Length, 0.0005);
        }

        return sound;
    }

    // Rises with a raised cosine, and falls with one over 50 ms at the most before the note ends.
    private static double Edge(double t, double length, double rise)
    {
        var up = t >= rise ? 1 : 0.5 - (0.5 * Math.Cos(Math.PI * t / rise));
        double fall = Math.Min(Math.Max(0.05, rise), length / 2), left = length - t;
        var down = left >= fall ? 1 : left <= 0 ? 0 : 0.5 - (0.5 * Math.Cos(Math.PI * left / fall));
        return up * down;
    }
}
