using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Tests.Bias;

/// <summary>Truth within the stated uncertainty of peak and drop, over seeds. Truth computed from the made-up tape's own curve.</summary>
public sealed class BiasCoverageTests(ITestOutputHelper output)
{
    public static TheoryData<string> Turns => ["up", "up, no stop at the end", "down", "pauses", "past and back", "uneven", "very uneven", "very uneven, the other way", "fast"];

    [Theory]
    [MemberData(nameof(Turns))]
    public void PeakAndDrop_FewSeeds_LieWithinTheirUncertainty(string kind) => Hold(kind, 150, 0.88, 1.0, 1.6);

    [Theory]
    [Trait("Category", "Long")]
    [MemberData(nameof(Turns))]
    public void PeakAndDrop_ManySeeds_LieWithinTheirUncertainty(string kind) =>
        // A hand that rests makes corners that no smooth fit has: there the bound is known not to hold so often.
        // And one hand that quickens just before it stops is followed too late: the drop holds in nine of ten. Drawn hands are held strictly below.
        Hold(kind, 1000, kind is "pauses" ? 0.87 : kind is "very uneven, the other way" ? 0.89 : 0.93, kind is "fast" ? 0.99 : 0.97, 1.33);

    // Hands that no constant was made for: each seed draws its own, uneven by up to 28 %, half of them with rests, up or down, back or not, held at the
    // end or not. Noise: white up to 20 Hz; three tenths of its power, and all of it, as strong in every octave from 0.02 Hz on.
    [Theory]
    [InlineData(0, 150, 0.90, 0.99)]
    [InlineData(0.3, 150, 0.70, 0.99)]
    [InlineData(1, 150, 0.89, 0.99)]
    public void PeakAndDrop_DrawnHands_LieWithinTheirUncertainty(double pink, int seeds, double least, double most) => Drawn(pink, 5000, seeds, least, most);

    // White noise strictly. Slow noise below a cycle in some seconds cannot be told from the hand: there the bounds are known to hold less often, by so much.
    [Theory]
    [Trait("Category", "Long")]
    [InlineData(0, 0.93, 0.97)]
    [InlineData(0.3, 0.78, 0.97)]
    [InlineData(1, 0.92, 0.97)]
    public void PeakAndDrop_ThousandDrawnHands_LieWithinTheirUncertainty(double pink, double least, double most) => Drawn(pink, 0, 1000, least, most);

    private void Drawn(double pink, int after, int seeds, double least, double most)
    {
        List<(double Off, double Stated)> peaks = [], drops = [];
        for (var seed = after + 1; seed <= after + seeds; seed++)
        {
            var random = new Random(seed * 7919);
            var bias = BiasTurn.Drawn(random, seed % 2 == 0);
            var level = BiasTurn.Course(bias, 0.3, pink, random);
            var noise = LevelNoise.Of(level);
            if (LevelPeak.Find(level, noise) is not { } peak)
            {
                continue;
            }

            var (end, endNoise) = LevelEnd.Of(level, (int)peak.Index, noise, 20);
            var stated = double.Hypot(peak.NoiseDb, peak.MethodDb);
            peaks.Add((peak.LevelDb, stated));
            drops.Add((peak.LevelDb - end + BiasTurn.Level(bias[^1]), double.Hypot(stated, endNoise)));
        }

        Assert.True(peaks.Count >= 0.99 * seeds, $"{peaks.Count}");
        foreach (var (name, list) in new[] { ("peak", peaks), ("drop", drops) })
        {
            var inside = list.Average(p => Math.Abs(p.Off) <= p.Stated ? 1.0 : 0);
            double empirical = list.Select(p => Math.Abs(p.Off)).Order().ElementAt((int)(0.95 * list.Count)), median = list.Select(p => p.Stated).Order().ElementAt(list.Count / 2);
            output.WriteLine($"drawn, slow share {pink}: {name} inside {inside:0.000}, 95 % within {empirical:0.000}, stated {median:0.000} dB");
            Assert.InRange(inside, least, most);
            Assert.True(median <= 1.3 * empirical, $"{name}: stated {median:0.000}, empirical {empirical:0.000}");
        }
    }

    private void Hold(string kind, int seeds, double least, double most, double widest)
    {
        var (bias, seconds) = BiasTurn.Turn(kind);
        var truth = -BiasTurn.Level(bias(seconds));
        List<double> peakOff = [], peakStated = [], dropOff = [], dropStated = [];
        for (var seed = 1; seed <= seeds; seed++)
        {
            var level = BiasTurn.Course(kind, 0.3, seed);
            var noise = LevelNoise.Of(level);
            var peak = LevelPeak.Find(level, noise);
            Assert.True(peak is not null, $"seed {seed}");
            var (end, endNoise) = LevelEnd.Of(level, (int)peak.Value.Index, noise, 20);
            peakOff.Add(Math.Abs(peak.Value.LevelDb));
            peakStated.Add(double.Hypot(peak.Value.NoiseDb, peak.Value.MethodDb));
            dropOff.Add(Math.Abs(peak.Value.LevelDb - end - truth));
            dropStated.Add(double.Hypot(peakStated[^1], endNoise));
        }

        Check("peak", peakOff, peakStated, kind switch { "fast" => 0.1, "past and back" => 0.06, "pauses" => 0.055, _ => 0.05 }); // 15 s within half a decibel are needed for 0.05; these have 4 and 13
        Check("drop", dropOff, dropStated, kind is "up, no stop at the end" or "down" or "uneven" or "very uneven" or "very uneven, the other way" or "fast" ? 0.2 : 0.1);

        void Check(string name, List<double> off, List<double> stated, double bound)
        {
            var inside = off.Zip(stated, (o, s) => o <= s ? 1.0 : 0).Average();
            off.Sort();
            stated.Sort();
            double empirical = off[(int)(0.95 * off.Count)], median = stated[stated.Count / 2];
            output.WriteLine($"{kind}: {name} inside {inside:0.000}, 95 % within {empirical:0.000}, stated {median:0.000} dB");
            Assert.InRange(inside, least, most);
            Assert.True(median <= widest * empirical, $"{name}: stated {median:0.000}, empirical {empirical:0.000}");
            Assert.True(empirical <= bound, $"{name}: {empirical:0.000}");
        }
    }
}
