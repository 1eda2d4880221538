using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Bench.Tests.Levels;

/// <summary>Depth of erasure: against made-up truth, SoX's mixing and a spectrum by SciPy; below the hiss, and where there is nothing to
/// read.</summary>
public sealed class EraseTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("erase").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    // A residual at the true depth, flutter of its own, hiss 60 dB under full scale: true to 1 dB at −75 dB, which is the design's demand.
    [Theory]
    [InlineData(40, 48000, false)]
    [InlineData(60, 44100, true)]
    [InlineData(75, 48000, false)]
    [InlineData(75, 96000, true)]
    [InlineData(80, 48000, false)]
    public void Erase_OfATone_ReadsItsDepthInEitherOrder(double depth, int rate, bool erasedFirst)
    {
        var (a, b) = erasedFirst ? (20.0, 30.0) : (0.0, 10.0);
        var (c, d) = erasedFirst ? (0.0, 20.0) : (10.0, 30.0);
        var sound = new LevelSound(rate, 30, 3).Hiss(-62)
            .Tone(1007, -6, -8, a, b, 0.001, 5).Tone(1006.5, -6 - depth, -8 - depth, c, d, 0.001, 9);
        var result = EraseMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
        Assert.Equal(2, result.Readings.Count);
        Assert.DoesNotContain(result.Notes, n => n.Code == "part-left-out");
        foreach (var reading in result.Readings)
        {
            Assert.Equal(depth, reading.Value, depth > 76 ? 1.5 : 1.0);
            Assert.InRange(reading.Uncertainty!.Value, 0.05, depth > 76 ? 3 : 1.5);
            Assert.Equal(1000, reading.FrequencyHz);
        }
    }

    [Fact]
    public void Erase_BelowTheHiss_SaysAtLeast()
    {
        var sound = new LevelSound(48000, 20, 3).Hiss(-50).Tone(1000, -6, -6, 0, 10, 0.001);
        var result = EraseMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
        Assert.All(result.Readings, r =>
        {
            Assert.Null(r.Uncertainty);
            Assert.InRange(r.Value, 65, 95);
            Assert.StartsWith("at least", r.Method, StringComparison.Ordinal);
        });
        Assert.Contains(result.Notes, n => n.Code == "at-least");
    }

    // Our own program through a wire, its markers at both ends, and the same with the tape standing for three seconds behind it: what lies
    // outside of the markers is no erased tape and no news.
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Erase_OfOurProgram_LooksBetweenItsMarkers(bool stands)
    {
        using var sound = new ProgramSound(ProgramList.Make(ProgramList.Find("erase")!, null, 12), 48000, -12);
        var n = (int)sound.Frames!.Value;
        var made = new LevelSound(48000, (n / 48000.0) + 3, 5);
        int at = 0;
        for (int got; (got = sound.Read(made.Left.AsSpan(at), made.Right.AsSpan(at))) > 0; at += got)
        {
        }

        // The second half is erased by 60 dB.
        for (var i = (int)(8.5 * 48000); i < (int)(14.4 * 48000); i++)
        {
            (made.Left[i], made.Right[i]) = (made.Left[i] / 1000, made.Right[i] / 1000);
        }

        made.Noise(-70, 0, stands ? n / 48000.0 : double.MaxValue).Noise(-95);
        var result = EraseMeasurement.Measure(made.Sound(), MeasurementSettings.None, null);
        Assert.DoesNotContain(result.Notes, x => x.Code == "part-left-out");
        Assert.All(result.Readings, r => Assert.Equal(60, r.Value, 1.0));
    }

    // Where no marker says where it ends, the tape that stands for three seconds after is told and left out.
    [Fact]
    public void Erase_WithTheTapeStandingAfterIt_TellsSo()
    {
        var sound = new LevelSound(48000, 27, 3).Noise(-70, 0, 24).Noise(-95).Tone(1000, -12, -12, 0, 10, 0.001, 5).Tone(1000, -72, -72, 10, 24, 0.001, 9);
        var result = EraseMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
        Assert.Contains(result.Notes, x => x.Code == "part-left-out");
        Assert.All(result.Readings, r => Assert.Equal(60, r.Value, 1.0));
    }

    // SoX makes the tones and the noise and joins them: 70 dB between the two by its own gain.
    [Fact]
    public void Erase_JoinedBySox_HasSoxsDepth()
    {
        string before = Path.Combine(_folder, "a.wav"),
            after = Path.Combine(_folder, "b.wav"),
            both = Path.Combine(_folder, "c.wav");
        Outside.Run(
            "sox", "sox", "-R", "-D", "-n", "-r", "48000", "-b", "32", "-c", "1",
            before,
            "synth", "8", "sine", "995", "gain", "-6"
        );
        Outside.Run(
            "sox", "sox", "-R", "-D", "-n", "-r", "48000", "-b", "32", "-c", "1",
            after,
            "synth", "15", "sine", "995", "gain", "-76"
        );
        Outside.Run("sox", "sox", "-D", before, after, both);
        var reading = Assert.Single(Outside.Measured("erase", both).Readings);
        Assert.Equal(70, reading.Value, 0.05);

        var alone = Assert.Single(Outside.Measured("erase", after, new MeasurementSettings { RecordedLevelDb = -6 }).Readings);
        Assert.Equal(70, alone.Value, 0.05);
    }

    // tests/references/selective.py: SciPy's periodograms, summed about the tone.
    [Fact]
    public void Erase_WithHissAndHum_AgreesWithSciPy()
    {
        var path = Path.Combine(_folder, "erase.wav");
        Outside.Write(
            path,
            new LevelSound(48000, 30, 8)
                .Hiss(-62)
                .Tone(150, -50, -50)
                .Tone(1003, -6, -6, 0, 10, 0.0008, 5)
                .Tone(1003, -74, -78, 10, 30, 0.0008, 9),
            48000
        );
        var theirs = Outside.Script("selective.py", path, "erase", "1003", "0.5", "9.5", "10.5", "29.5");
        var ours = Outside.Measured("erase", path);
        for (var c = 0; c < 2; c++)
        {
            Assert.Equal(theirs[c].GetDouble(), ours.Readings[c].Value, 0.3);
        }
    }

    [Fact]
    public void Erase_WithTheRecordedToneInAnotherCapture_ReadsAgainstIt()
    {
        var recorded = new LevelSound(48000, 6, 2).Hiss(-62).Tone(1008, -6, -9, 0, 6, 0.001);
        var erased = new LevelSound(48000, 20, 4).Hiss(-62).Tone(1007, -71, -74, 0, 20, 0.001, 8);
        var result = EraseMeasurement.Measure(erased.Sound(), new MeasurementSettings { OpenRecorded = () => recorded.Sound() }, null);
        Assert.All(result.Readings, r => Assert.Equal(65, r.Value, 0.5));
    }

    [Fact]
    public void Erase_OnADeadChannelOrMono_ReadsTheOther()
    {
        var dead = EraseMeasurement.Measure(
            new LevelSound(48000, 12, 3).Noise(-60, right: false).Tone(1000, -6, -300, 0, 5).Tone(1000, -60, -300, 5, 12).Sound(),
            MeasurementSettings.None,
            null
        );
        Assert.Equal(Channel.Left, Assert.Single(dead.Readings).Channel);
        Assert.Contains(dead.Notes, n => n.Code == "dead-channel");
        var mono = EraseMeasurement.Measure(
            new LevelSound(48000, 12, 3).Noise(-60).Tone(1000, -6, 0, 0, 5).Tone(1000, -60, 0, 5, 12).Mono(),
            MeasurementSettings.None,
            null
        );
        Assert.Equal(54, Assert.Single(mono.Readings).Value, 0.3);
    }

    [Fact]
    public void Erase_WithNothingToRead_IsRefusedInOneLine()
    {
        static string Code(LevelSound sound) =>
            Assert.Throws<CannotMeasureException>(() => EraseMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null)).Code;
        Assert.Equal("silence", Code(new LevelSound(48000, 5, 1)));
        Assert.Equal("too-short", Code(new LevelSound(48000, 1, 1).Hiss(-60).Tone(1000, -6, -6)));
        Assert.Equal("no-tone", Code(new LevelSound(48000, 5, 1).Hiss(-60)));
        Assert.Equal("no-erased-part", Code(new LevelSound(48000, 5, 1).Hiss(-60).Tone(1000, -6, -6)));
        // Erased throughout and read alone: the way out is named.
        var alone = Assert.Throws<CannotMeasureException>(() =>
            EraseMeasurement.Measure(new LevelSound(48000, 5, 1).Hiss(-90).Tone(1000, -66, -66).Sound(), MeasurementSettings.None, null)
        );
        Assert.Contains("--recorded", alone.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("nothing was erased", alone.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Erase_OverSeeds_LiesWithinItsUncertainty() => Coverage(60, 3);

    [Fact]
    [Trait("Category", "Long")]
    public void Erase_OverAThousandSeeds_LiesWithinItsUncertaintyNineteenTimesOfTwenty() => Coverage(1000, 0);

    private static void Coverage(int seeds, double sigmas)
    {
        var list = new List<(double Error, double Stated)>();
        for (var seed = 1; seed <= seeds; seed++)
        {
            // 16 kHz would do for the tone; 32 kHz is the least rate that is read.
            var sound = new LevelSound(32000, 9, seed)
                .Hiss(-58)
                .Tone(1002, -6, -6, 0, 3, 0.001, seed)
                .Tone(1002, -72, -72, 3, 9, 0.001, seed + 5000);
            var result = EraseMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
            list.AddRange(result.Readings.Where(r => r.Uncertainty is not null).Select(r => (r.Value - 66, r.Uncertainty!.Value)));
        }

        CoverageCheck.Holds("erase-depth", list, 2 * seeds, sigmas);
    }
}
