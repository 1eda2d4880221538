using System.Text.Json;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Physics;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Tests.Scenario;

public class AutoReverseJobTests
{
    [Fact]
    public void Passes_OfTheJob_CoverEveryConditionOnceAndHaveTheirLeaflet()
    {
        var passes = AutoReverseJob.Passes();
        Assert.Equal(16, passes.Select(p => p.FileName).Distinct(StringComparer.Ordinal).Count());
        Assert.Equal(16, passes.Select(p => (p.AsLeft, p.Direction, p.SpeedCmPerS, p.IsSpeedTape)).Distinct().Count());
        Assert.All(passes, p => Assert.True(AutoReverseJob.Leaflets.ContainsKey(p.TapeFileName), p.TapeFileName));
        Assert.Equal(4, AutoReverseJob.Leaflets.Count);
    }

    [Fact]
    public void OwnPasses_OfTheJob_TryEveryConditionAsLeftAndOneSettingAsFound()
    {
        var passes = AutoReverseJob.OwnPasses(48_000);
        Assert.Equal(passes.Count, passes.Select(p => p.FileName).Distinct(StringComparer.Ordinal).Count());
        foreach (var kind in Enum.GetValues<OwnCapture>().Except([OwnCapture.Pair, OwnCapture.Saturation]))
        {
            Assert.Equal(8, passes.Count(p => p.Kind == kind && p.AsLeft));
            Assert.Equal(4, passes.Count(p => p.Kind == kind && !p.AsLeft && p.Setting == AutoReverseRecorder.Normal));
        }

        Assert.All(passes, p => Assert.Equal(p.Setting == AutoReverseRecorder.Normal ? TapeStock.Hembury : TapeStock.Ardleigh, p.Stock));
    }

    [Fact]
    public void Interface_OfTheJob_DroopsAndDelaysAsItSays()
    {
        // Computed: the three taps' own response, and a pure delay of the right input.
        foreach (var hertz in new[] { 100.0, 1000, 8000, 16_000, 19_000 })
        {
            using var sound = BenchInterface.Loopback(Recording.Fed.Tone(hertz, -6, 48_000), seed: 3);
            float[] left = new float[48_000], right = new float[48_000];
            for (int at = 0, n; at < left.Length; at += n)
                n = sound.Read(left.AsSpan(at), right.AsSpan(at));
            var (l, r) = (Listening.Tone(left[4800..], hertz, 48_000), Listening.Tone(right[4800..], hertz, 48_000));
            Assert.Equal(-18 + BenchInterface.ResponseDb(true, hertz, 48_000), Listening.Decibels(l.Magnitude), 0.002);
            Assert.Equal(-18 + BenchInterface.ResponseDb(false, hertz, 48_000), Listening.Decibels(r.Magnitude), 0.002);
            Assert.Equal(-360e-6 * hertz * BenchInterface.SkewMicroseconds, (r / l).Phase * 180 / Math.PI, 0.05);
        }
    }

    [Fact]
    public void LevelPasses_OfTheJob_HoldEveryToneWhole()
    {
        foreach (var pass in AutoReverseJob.Passes(32000).Where(p => !p.IsSpeedTape))
        {
            using var session = pass.Play();
            Assert.Equal(pass.Tape.Tones.Count, session.Truth.Tones.Count);
            Assert.All(session.Truth.Tones, t => Assert.True(t.Whole, $"{pass.FileName} {t.Tone.FrequencyHz} Hz"));
        }
    }

    [Fact]
    public void AsFound_AgainstAsLeft_ShowsTheFaultsTheStoryTells()
    {
        var passes = AutoReverseJob.Passes(32000, 12);
        foreach (var (found, left) in passes.Take(8).Zip(passes.Skip(8)))
        {
            using var before = found.Play();
            using var after = left.Play();
            if (found.IsSpeedTape)
            {
                Assert.InRange(before.Truth.SpeedErrorPercent, -1, -0.7);
                Assert.InRange(after.Truth.SpeedErrorPercent, -0.15, 0.15);
                Assert.True(Rms(before.Truth.SpeedRatios) > 2 * Rms(after.Truth.SpeedRatios));
                continue;
            }

            var forward = found.Direction == TapeDirection.Forward;
            Assert.Equal(forward ? 2.5 : -6, before.Truth.ApparentAzimuthArcmin, 0.7);
            Assert.InRange(after.Truth.ApparentAzimuthArcmin, -0.8, 0.8);
            var reference = before.Truth.Tones.First(t => t.Tone.LevelDb == 0);

            // At 1 kHz stands the balance of 1.4 dB, what the low treble trimmer takes from the right, and forward what 2 µm of dirt take
            // from the left.
            var nominal = RestorersTapes.Curve(found.SpeedCmPerS).TrebleMicroseconds;
            double Trimmed(double percent) =>
                Listening.Decibels(new ReplayCurve(nominal * (1 + (percent / 100)), 3180).Replay(1000).Magnitude);
            var balance = 1.4 + Trimmed(6) - Trimmed(-14) - (forward ? 54.575 * 2 * 1000 / (found.SpeedCmPerS * 1e4) : 0);
            Assert.Equal(balance, reference.LeftDbfs - reference.LeftFringingDb - reference.RightDbfs + reference.RightFringingDb, 0.05);
            var (top, low) = (Treble(before.Truth.Tones), Treble(after.Truth.Tones));
            Assert.True(forward ? top.Left < low.Left - 3 : Math.Abs(top.Left - low.Left) < 2.5);
            Assert.True(top.Right < low.Right - 1);
        }

        static (double Left, double Right) Treble(IReadOnlyList<Practice.Playing.TrueTone> tones)
        {
            var reference = tones.First(t => t.Tone is { FrequencyHz: 1000, LevelDb: -20 });
            var top = tones.First(t => t.Tone is { FrequencyHz: 10000, LevelDb: -20 });
            return (top.LeftDbfs - reference.LeftDbfs, top.RightDbfs - reference.RightDbfs);
        }

        static double Rms(IReadOnlyList<double> ratios)
        {
            var mean = ratios.Average();
            return Math.Sqrt(ratios.Average(r => (r - mean) * (r - mean)));
        }
    }

    [Fact]
    public void Leaflet_OfALevelTape_SaysWhatTheMakerStatesAndNotTheTruth()
    {
        var tape = RestorersTapes.Levels(19.05);
        using var json = JsonDocument.Parse(TestTapeLeaflet.ToJson(tape));
        var root = json.RootElement;
        Assert.Equal(19.05, root.GetProperty("speedCmPerS").GetDouble());
        Assert.Equal("full", root.GetProperty("recordedTracks").GetString());
        Assert.False(root.GetProperty("fringingCompensated").GetBoolean());
        Assert.Equal(tape.Tones.Count, root.GetProperty("tones").GetArrayLength());
        Assert.Equal("reference", root.GetProperty("tones")[0].GetProperty("role").GetString());
        Assert.Equal(-20, root.GetProperty("tones")[2].GetProperty("levelDb").GetDouble());
        foreach (var correction in root.GetProperty("corrections").EnumerateArray())
        {
            var hertz = correction.GetProperty("frequencyHz").GetDouble();
            var errors = tape.Tones.Where(t => t.FrequencyHz == hertz).Select(t => t.ErrorDb).Distinct().ToList();
            Assert.Equal(Assert.Single(errors), correction.GetProperty("db").GetDouble(), 0.0501);
        }
    }

    [Fact]
    public void Leaflet_OfATapeWithStrips_ListsThem()
    {
        using var json = JsonDocument.Parse(TestTapeLeaflet.ToJson(Decks.ForwardTracksOnly(1000)));
        var strips = json.RootElement.GetProperty("recordedTracks");
        Assert.Equal(2, strips.GetArrayLength());
        Assert.Equal(3.5, strips[1].GetProperty("fromMm").GetDouble());
    }

    [Fact]
    public void Parts_OfTheDeck_TurnAtRatesThatCanBeToldApart()
    {
        using var session = AutoReverseJob.Passes(32000, 5).First(p => p is { IsSpeedTape: true, AsLeft: true, SpeedCmPerS: 19.05 }).Play();
        var lines = session.Truth.Lines.Select(l => l.MeanHz).Order().ToList();
        Assert.All(lines.Zip(lines.Skip(1)), p => Assert.True(p.Second - p.First > 0.08, $"{p.First} and {p.Second} Hz"));
    }
}
