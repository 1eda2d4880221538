namespace Spoolwright.Signal.Pieces;

/// <summary>
/// A piece of the program's own to let a deck be heard by: nobody else's music, the same samples for the same seed. It goes from bass and
/// drums over plucked strings to sustained chords with bells, then all together, then one chord that dies away, and two seconds of silence.
/// </summary>
public static class Piece
{
    /// <summary>Silence at its end, s: what is heard there is the deck's own.</summary>
    public const double SilentSeconds = 2;

    private const double LastChordSeconds = 6;

    /// <summary>Renders it, peak at full scale 1.</summary>
    /// <param name="seed">Key, tempo, chords and melody follow from it.</param>
    /// <param name="sampleRateHz">Frames per second, 32,000 or more.</param>
    /// <returns>Left and right, 40 to 60 s.</returns>
    public static (float[] Left, float[] Right) Render(int seed, int sampleRateHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 32_000);
        var score = Score.Of(seed);
        var frames = (int)((score.EndSeconds + LastChordSeconds + SilentSeconds) * sampleRateHz);
        double[] left = new double[frames], right = new double[frames], sent = new double[frames];
        foreach (var note in score.Notes)
        {
            var voice = Voices.Sound(note, sampleRateHz);
            var at = (int)(note.Seconds * sampleRateHz);
            double toLeft = note.Gain * Math.Cos((note.Pan + 1) * Math.PI / 4),
                toRight = note.Gain * Math.Sin((note.Pan + 1) * Math.PI / 4);
            for (var i = 0; i < Math.Min(voice.Length, frames - at); i++)
            {
                left[at + i] += toLeft * voice[i];
                right[at + i] += toRight * voice[i];
                sent[at + i] += note.Room * note.Gain * voice[i];
            }
        }

        Room.Add(sent, left, right, sampleRateHz);
        TakeOffset(left, sampleRateHz);
        TakeOffset(right, sampleRateHz);
        FadeOut(left, right, sampleRateHz);
        var peak = Math.Max(left.Max(v => Math.Abs(v)), right.Max(v => Math.Abs(v)));
        return ([.. left.Select(v => (float)(v / peak))], [.. right.Select(v => (float)(v / peak))]);
    }

    // A plucked string's noise has a mean of its own: what lies under 15 Hz goes.
    private static void TakeOffset(double[] sound, int rate)
    {
        double slow = 0, share = 2 * Math.PI * 15 / rate;
        for (var i = 0; i < sound.Length; i++)
        {
            slow += share * (sound[i] - slow);
            sound[i] -= slow;
        }
    }

    // The room's tail would fall below any tape by itself; the fade makes the end exactly silent.
    private static void FadeOut(double[] left, double[] right, int rate)
    {
        int silent = left.Length - (int)(SilentSeconds * rate), fade = 2 * rate;
        for (var i = silent - fade; i < left.Length; i++)
        {
            var gain = i >= silent ? 0 : 0.5 + (0.5 * Math.Cos(Math.PI * (i - silent + fade) / fade));
            left[i] *= gain;
            right[i] *= gain;
        }
    }
}
