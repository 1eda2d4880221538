using Spoolwright.Bench.Instruments;

namespace Spoolwright.Bench.Tests.Tones;

/// <summary>Random test tapes like those of leaflets, and random ways to play them.</summary>
internal sealed class RandomTape
{
    private static readonly double[] Rising =
    [
        31.5, 40, 50, 63, 80, 100, 125, 250, 315, 400, 500, 1000, 2000, 4000, 6300, 8000, 10000, 12500, 14000, 15000,
    ];
    private static readonly double[] American = [15000, 12000, 10000, 7500, 5000, 2500, 1000, 700, 500, 250, 100, 75, 50, 30];

    public required IReadOnlyList<TestTone> Tones { get; init; }

    public required IReadOnlyList<Stretch> Stretches { get; init; }

    public required CaptureSettings Deck { get; init; }

    public required bool Spoken { get; init; }

    /// <summary>One tape and one pass.</summary>
    public static RandomTape Draw(int seed)
    {
        var r = new Random(seed);
        var tones = Leaflet(r);
        var play = Played(r, tones).ToList();
        if (r.Next(3) == 0)
        {
            play.Reverse();
        }

        var first = r.Next(2) == 0 ? 0 : r.Next(Math.Max(1, play.Count - 2));
        var last = r.Next(2) == 0 ? play.Count : first + 1 + r.Next(play.Count - first);
        play = play[first..last];
        if (r.Next(2) == 0)
        {
            // Late into the first tone, away before the last one ends.
            play[0] = play[0] with { Seconds = play[0].Seconds * (0.2 + (0.8 * r.NextDouble())) };
            play[^1] = play[^1] with { Seconds = play[^1].Seconds * (0.2 + (0.8 * r.NextDouble())) };
        }

        var top = tones.Max(t => t.LevelDb);
        var middle = tones.Select(t => t.LevelDb).Order().ElementAt(tones.Count / 2);
        var gain = -1 - (39 * r.NextDouble()) - top;
        var dead = r.Next(8);
        double bass = (16 * r.NextDouble()) - 8, treble = (16 * r.NextDouble()) - 8;
        gain -= Math.Max(0, gain + top + 8 - 8);
        return new RandomTape
        {
            Tones = tones,
            Stretches = play,
            Spoken = r.Next(2) == 0,
            Deck = new CaptureSettings
            {
                Speed = 1 + (0.04 * (r.NextDouble() - 0.5)),
                GainDb = gain,
                RightDb = r.Next(2) == 0 ? 0 : -20 * r.NextDouble(),
                DeadLeft = dead == 0,
                DeadRight = dead == 1,
                BassDb = r.Next(2) == 0 ? 0 : bass,
                TrebleDb = r.Next(2) == 0 ? 0 : treble,
                NoiseDb = gain + middle - 30,
                HumDb = r.Next(2) == 0 ? null : gain + middle - 40,
                MainsHz = r.Next(2) == 0 ? 50 : 60,
                SkewMicroseconds = 40 * (r.NextDouble() - 0.5),
                SpeechDb = gain + middle + 6 - (12 * r.NextDouble()),
                Dropouts = r.Next(3) == 0 ? r.Next(6) : 0,
                Clip = r.Next(10) == 0,
            },
        };
    }

    private static List<TestTone> Leaflet(Random r)
    {
        var seconds = 1.2 + (1.5 * r.NextDouble());
        double response = -10 * r.Next(3), referenceHz = r.Next(2) == 0 ? 1000 : 400;
        var all = r.Next(2) == 0 ? Rising : American;
        var count = 3 + r.Next(all.Length - 2);
        var list = all.OrderBy(_ => r.Next()).Take(count).Order().ToList();
        if (all == American)
        {
            list.Reverse();
        }

        var tones = new List<TestTone> { new(referenceHz, 0, seconds + 1, ToneRole.Reference) };
        if (r.Next(2) == 0)
        {
            tones.Add(new TestTone(10000, -10, seconds + 0.5, ToneRole.Azimuth));
        }

        if (r.Next(3) == 0)
        {
            tones.Add(new TestTone(referenceHz, response, seconds, ToneRole.Reference));
        }

        tones.AddRange(list.Select(f => new TestTone(f, response, seconds, ToneRole.Response)));
        if (r.Next(5) == 0)
        {
            // A second section, lower.
            tones.AddRange(list.Take(8).Select(f => new TestTone(f, response - 10, seconds, ToneRole.Response)));
        }

        return tones.Take(25).ToList();
    }

    private static IEnumerable<Stretch> Played(Random r, List<TestTone> tones)
    {
        var gaps = r.Next(4);
        double Gap() =>
            gaps switch
            {
                0 => 0,
                1 => 0.3 + r.NextDouble(),
                2 => 2 * r.NextDouble(),
                _ => r.Next(6) == 0 ? 5 * r.NextDouble() : 0.5,
            };
        var repeatFrom = r.Next(5) == 0 ? r.Next(tones.Count) : -1;
        for (var i = 0; i < tones.Count; i++)
        {
            yield return new Stretch(tones[i], tones[i].Seconds);
            var gap = Gap();
            if (gap > 0)
            {
                yield return new Stretch(null, gap, r.Next(3) == 0);
            }

            if (i == tones.Count - 1 && repeatFrom >= 0)
            {
                yield return new Stretch(null, 1);
                for (var k = repeatFrom; k < Math.Min(tones.Count, repeatFrom + 6); k++)
                {
                    yield return new Stretch(tones[k], tones[k].Seconds);
                    yield return new Stretch(null, 0.5);
                }
            }
        }
    }
}
