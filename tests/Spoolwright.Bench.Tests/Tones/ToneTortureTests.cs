using System.Runtime.CompilerServices;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Tests.Tones;

/// <summary>Random tapes on random decks: no tone may be called another, and nearly every one must be found (the issue's words;
/// computed).</summary>
public sealed class ToneTortureTests
{
    [Fact]
    public void Identify_RandomTapes_FindsTonesAndConfusesNone() => Torture(0, 120);

    [Fact]
    [Trait("Category", "Long")]
    public void Identify_ThousandRandomTapes_FindsTonesAndConfusesNone() => Torture(10_000, 1000);

    private static void Torture(int from, int count)
    {
        var speech = Announcement();
        var wrong = new List<string>();
        var missed = new List<string>();
        int present = 0, open = 0;
        var gate = new Lock();
        Parallel.For(from, from + count, new ParallelOptions { MaxDegreeOfParallelism = 2 }, seed =>
        {
            var drawn = RandomTape.Draw(seed);
            var sound = TapeCapture.Make(drawn.Stretches, drawn.Deck, seed, drawn.Spoken ? speech : null);
            TapeTones? read = null;
            var allOpen = false;
            try
            {
                read = TapeTones.Read(sound, drawn.Tones, null);
            }
            catch (CannotMeasureException e)
            {
                // A capture of one of two equal sections alone: nothing can tell which it is.
                Assert.True(e.Code is "no-tone" or "ambiguous-tone");
                allOpen = e.Code == "ambiguous-tone";
            }

            lock (gate)
            {
                Judge(seed, drawn, read, allOpen, wrong, missed, ref present, ref open);
            }
        });
        TestContext.Current.TestOutputHelper?.WriteLine($"{present} tones present, {open} named ambiguous, {missed.Count} missed, {wrong.Count} wrong\n" + string.Join('\n', wrong.Concat(missed).Take(60)));
        Assert.Empty(wrong);
        Assert.True(open <= 0.1 * present, $"{open} of {present} left open");
        Assert.True(missed.Count <= 0.01 * present, $"{missed.Count} of {present}:\n" + string.Join('\n', missed));
    }

    private static void Judge(
        int seed,
        RandomTape drawn,
        TapeTones? read,
        bool allOpen,
        List<string> wrong,
        List<string> missed,
        ref int present,
        ref int open
    )
    {
        var rate = drawn.Deck.RateHz;
        double at = 0;
        var spans = new List<(TestTone Tone, double From, double To)>();
        foreach (var stretch in drawn.Stretches)
        {
            if (stretch.Tone is { } tone)
            {
                spans.Add((tone, at, at + stretch.Seconds));
            }

            at += stretch.Seconds;
        }

        foreach (var found in read?.Found ?? [])
        {
            foreach (var run in found.Runs)
            {
                double from = run.FirstFrame / (double)rate, to = run.LastFrame / (double)rate;
                var under = spans.Where(s => Math.Min(s.To, to) - Math.Max(s.From, from) > 0.25).Select(s => s.Tone).ToArray();
                var twins = read!.Notes.Any(n =>
                    n.Code == "ambiguous-tone" && n.Text.StartsWith(ToneIdentification.Name(found.Tone), StringComparison.Ordinal)
                );

                // Equal tones that follow one another without a gap are one stretch of sound.
                if (!under.Contains(found.Tone)
                    && !(twins && under.Any(u => u.FrequencyHz.Equals(found.Tone.FrequencyHz) && u.LevelDb.Equals(found.Tone.LevelDb))))
                {
                    wrong.Add(
                        $"seed {seed}: {from:0.0} to {to:0.0} s called {found.Tone.Role} {found.Tone.FrequencyHz} at {found.Tone.LevelDb}, is {string.Join(", ", under.Select(u => $"{u.Role} {u.FrequencyHz} at {u.LevelDb}"))}"
                    );
                }
            }
        }

        foreach (var (tone, from, to) in spans.Where(s => s.To - s.From >= 0.6 * s.Tone.Seconds).DistinctBy(s => s.Tone))
        {
            if (tone.FrequencyHz * drawn.Deck.Speed > rate * 0.48)
            {
                continue;
            }

            present++;
            var notes = read?.Notes ?? [];
            if (read is not null && read.Found.Any(f => f.Tone == tone))
            {
                continue;
            }

            if (
                allOpen
                || notes.Any(n => n.Code == "ambiguous-tone" && n.Text.StartsWith(ToneIdentification.Name(tone), StringComparison.Ordinal))
            )
            {
                open++;
                continue;
            }

            // An equal tone right beside it without a gap: both are one stretch, which bears one of the names.
            if (
                spans.Any(s =>
                    s.Tone != tone
                    && s.Tone.FrequencyHz.Equals(tone.FrequencyHz)
                    && s.Tone.LevelDb.Equals(tone.LevelDb)
                    && (Math.Abs(s.From - to) < 0.35 || Math.Abs(s.To - from) < 0.35)
                )
            )
            {
                present--;
                continue;
            }

            missed.Add(
                $"seed {seed}: {tone.Role} {tone.FrequencyHz} at {tone.LevelDb} from {from:0.0} to {to:0.0} s{(read is null ? " (nothing found)" : "")}"
            );
            if (read is not null)
            {
                Assert.Contains(
                    notes,
                    n =>
                        n.Code is "missing-tone" or "doubtful-tone"
                        && n.Text.StartsWith(ToneIdentification.Name(tone), StringComparison.Ordinal)
                );
            }
        }
    }

    // Spoken once by a speech synthesiser (tests/references/announcement.sh), 16 kHz mono, 16 bits.
    private static float[] Announcement([CallerFilePath] string here = "")
    {
        var bytes = File.ReadAllBytes(Path.Combine(Path.GetDirectoryName(here)!, "announcement.wav"));
        var samples = new float[(bytes.Length - 44) / 2];
        for (var i = 0; i < samples.Length; i++)
        {
            samples[i] = BitConverter.ToInt16(bytes, 44 + (2 * i)) / 32768f;
        }

        return samples;
    }
}
