namespace Spoolwright.Signal.Pieces;

/// <summary>What sounds.</summary>
internal enum Voice
{
    Bass,
    String,
    Bell,
    Choir,
    Drum,
    Brush,
    Tick,
}

/// <summary>One note.</summary>
/// <param name="Voice">What sounds.</param>
/// <param name="Seconds">Its start, s.</param>
/// <param name="Length">How long it is held, s.</param>
/// <param name="Pitch">Its fundamental, Hz.</param>
/// <param name="Gain">Its loudness.</param>
/// <param name="Pan">−1: left, 1: right.</param>
/// <param name="Room">How much of it goes to the room.</param>
internal readonly record struct ScoreNote(Voice Voice, double Seconds, double Length, double Pitch, double Gain, double Pan, double Room);

/// <summary>The notes of a piece.</summary>
internal sealed record Score(IReadOnlyList<ScoreNote> Notes, double EndSeconds)
{
    private const int BarsOfASection = 4;
    private const int Sections = 4;
    private const int BeatsOfABar = 4;

    // Steps of the scale on which each bar's chord stands; common turns of harmony.
    private static readonly int[][] Turns = [[0, 5, 3, 4], [0, 3, 5, 4], [5, 3, 0, 4], [0, 4, 5, 3]];
    private static readonly int[] Major = [0, 2, 4, 5, 7, 9, 11];

    public static Score Of(int seed)
    {
        var chance = new Random(seed);
        var beat = 60.0 / chance.Next(88, 109);
        var key = chance.Next(-4, 5);
        var turn = Turns[chance.Next(Turns.Length)];
        var notes = new List<ScoreNote>();
        for (var bar = 0; bar < Sections * BarsOfASection; bar++)
        {
            var at = bar * BeatsOfABar * beat;
            var step = turn[bar % turn.Length];
            var section = bar / BarsOfASection;
            if (section is 0 or 1 or 3)
                Rhythm(notes, chance, at, beat, key, step, section == 3 ? 1 : 0.8);
            if (section is 1 or 3)
                Strings(notes, chance, at, beat, key, step, section == 3 ? 0.34 : 0.4);
            if (section is 2 or 3)
                Choir(notes, at, BeatsOfABar * beat, key, step, section == 3 ? 0.07 : 0.035);
            if (section == 2 || (section == 3 && bar % 2 == 1))
                Bells(notes, chance, at, beat, key, step, section == 3 ? 0.13 : 0.06);
        }

        var end = Sections * BarsOfASection * BeatsOfABar * beat;
        LastChord(notes, end, key);
        return new Score(notes, end);
    }

    private static void Rhythm(List<ScoreNote> notes, Random chance, double at, double beat, int key, int step, double loud)
    {
        notes.Add(new(Voice.Bass, at, 1.8 * beat, Hertz(key, step, 0, -2), 0.5 * loud, 0, 0.02));
        notes.Add(new(Voice.Bass, at + (2 * beat), 0.9 * beat, Hertz(key, step, chance.Next(2) * 4, -2), 0.42 * loud, 0, 0.02));
        notes.Add(new(Voice.Bass, at + (3 * beat), 0.9 * beat, Hertz(key, step, 2, -2), 0.38 * loud, 0, 0.02));
        for (var b = 0; b < BeatsOfABar; b++)
        {
            notes.Add(b % 2 == 0
                ? new(Voice.Drum, at + (b * beat), 0.35, 52, 0.7 * loud, 0, 0.05)
                : new(Voice.Brush, at + (b * beat), 0.18, 0, 0.3 * loud, 0.15, 0.25));
            notes.Add(new(Voice.Tick, at + ((b + 0.5) * beat), 0.05, 0, 0.16 * loud * (0.7 + (0.6 * chance.NextDouble())), -0.45, 0.05));
        }
    }

    private static void Strings(List<ScoreNote> notes, Random chance, double at, double beat, int key, int step, double loud)
    {
        int[] chord = [0, 2, 4, 7];
        for (var n = 0; n < 2 * BeatsOfABar; n++)
        {
            var tone = chord[(n + chance.Next(2)) % chord.Length];
            notes.Add(
                new(Voice.String, at + (n * beat / 2), 1.6, Hertz(key, step, tone, chance.Next(2)), loud, n % 2 == 0 ? -0.6 : 0.6, 0.15)
            );
        }
    }

    private static void Choir(List<ScoreNote> notes, double at, double length, int key, int step, double loud)
    {
        foreach (var (tone, pan) in ((int, double)[])[(0, -0.7), (2, 0.7), (4, 0)])
            notes.Add(new(Voice.Choir, at, length * 1.05, Hertz(key, step, tone, 0), loud, pan, 0.3));
    }

    private static void Bells(List<ScoreNote> notes, Random chance, double at, double beat, int key, int step, double loud)
    {
        for (var n = 0; n < 3; n++)
            notes.Add(
                new(
                    Voice.Bell,
                    at + (chance.Next(2 * BeatsOfABar) * beat / 2),
                    3,
                    Hertz(key, step, 2 * chance.Next(4), 2),
                    loud,
                    (2 * chance.NextDouble()) - 1,
                    0.5
                )
            );
    }

    private static void LastChord(List<ScoreNote> notes, double at, int key)
    {
        notes.Add(new(Voice.Drum, at, 0.35, 52, 0.7, 0, 0.1));
        notes.Add(new(Voice.Bass, at, 3, Hertz(key, 0, 0, -2), 0.5, 0, 0.05));
        foreach (var (tone, pan) in ((int, double)[])[(0, -0.6), (2, -0.2), (4, 0.2), (7, 0.6)])
            notes.Add(new(Voice.String, at + (0.03 * tone), 4, Hertz(key, 0, tone, 0), 0.35, pan, 0.5));
        notes.Add(new(Voice.Bell, at + 0.5, 4, Hertz(key, 0, 4, 2), 0.12, 0.3, 0.7));
    }

    // A scale step over the chord's, in octaves about middle C's, equal temperament with A at 440 Hz.
    private static double Hertz(int key, int chordStep, int above, int octave)
    {
        var step = chordStep + above;
        var semitones = key + Major[step % Major.Length] + (12 * (step / Major.Length)) + (12 * octave) - 9;
        return 440 * Math.Pow(2, semitones / 12.0);
    }
}
