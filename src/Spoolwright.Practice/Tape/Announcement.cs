using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Tape;

/// <summary>One syllable of a voice: a gliding pitch and the levels of its harmonics.</summary>
/// <param name="Start">Its place on the tape, s.</param>
/// <param name="Seconds">Its length, s.</param>
/// <param name="PitchHz">Pitch at its beginning, Hz.</param>
/// <param name="GlideHzPerSecond">How the pitch glides.</param>
/// <param name="Levels">Amplitude of each harmonic against reference level.</param>
internal sealed record Syllable(double Start, double Seconds, double PitchHz, double GlideHzPerSecond, IReadOnlyList<double> Levels);

/// <summary>Something like speech between the tones. It says nothing: syllables with a pitch and three vowel resonances, drawn from a
/// seed.</summary>
internal static class Announcement
{
    private const double HighestHz = 4500;

    // Resonances of the mouth that make vowels, Hz: our own round figures.
    private static readonly double[][] Vowels =
    [
        [300, 2200, 2900],
        [450, 1800, 2500],
        [700, 1200, 2500],
        [500, 900, 2400],
        [330, 800, 2300],
    ];

    /// <summary>Fills a gap with syllables, leaving a pause before and after.</summary>
    public static IEnumerable<Syllable> Syllables(NoiseStream stream, double gapStart, double gapSeconds)
    {
        var end = gapStart + gapSeconds - 0.25;
        var pitch = stream.NextBetween(95, 190);
        for (var at = gapStart + 0.15; ;)
        {
            var seconds = stream.NextBetween(0.09, 0.24);
            if (at + seconds > end)
                yield break;
            var start = pitch * stream.NextBetween(0.9, 1.15);
            yield return new Syllable(at, seconds, start, stream.NextBetween(-60, 40), Levels(stream, start));

            // Now and then a breath between words.
            at += seconds + (stream.NextUniform() < 0.25 ? stream.NextBetween(0.08, 0.2) : 0.01);
        }
    }

    private static double[] Levels(NoiseStream stream, double pitch)
    {
        var vowel = Vowels[(int)(stream.NextUniform() * Vowels.Length)];
        var loudness = stream.NextBetween(0.08, 0.3);
        var levels = new double[(int)(HighestHz / pitch)];
        for (var k = 0; k < levels.Length; k++)
        {
            var f = (k + 1) * pitch;
            var sum = 0.0;
            for (var r = 0; r < vowel.Length; r++)
            {
                var off = (f - vowel[r]) / (60 + (0.06 * vowel[r]));
                sum += Math.Pow(0.5, r) / (1 + (off * off));
            }

            levels[k] = loudness * (sum + 0.03) / (1 + (f / 1500));
        }

        return levels;
    }
}
