using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Tests.Loopback;

public sealed class LoopbackTests
{
    private static readonly Capture Capture = new("loop.wav", new string('a', 64), 48000, 2, 10);

    // Truth: the response, delay and noise that the sound was made with [computed].
    [Theory]
    [InlineData(48000, false)]
    [InlineData(44100, false)]
    [InlineData(96000, true)]
    [InlineData(192000, false)]
    public void Tones_InARowOrAtOnce_ReadTheInterface(int rate, bool atOnce)
    {
        var sound = new LoopbackSound { RateHz = rate, AtOnce = atOnce, Seconds = atOnce ? 4 : 1.2, Third = atOnce ? 0 : 0.0001 };
        var result = LoopbackMeasurement.Measure(sound.Make(1), MeasurementSettings.None, null);
        Assert.Equal(
            sound.Hz,
            result.Readings.Where(r => r.Quantity == "response" && r.Channel == Channel.Left).Select(r => r.FrequencyHz!.Value)
        );
        foreach (var hz in sound.Hz)
        {
            Near(result, "response", Channel.Right, hz, sound.Response(hz) - sound.Response(1000));
            Near(
                result,
                "tone-level",
                Channel.Left,
                hz,
                sound.LevelDb + sound.Response(hz) - (atOnce ? 20 * Math.Log10(sound.Hz.Length) : 0)
            );
            Near(result, "phase", Channel.Both, hz, -360e-6 * hz * sound.SkewMicroseconds);
        }

        Near(result, "channel-balance", Channel.Both, 1000, 0.3);
        Near(result, "time-skew", Channel.Both, null, 1.5);

        // White noise of −100 dB in 20 kHz fills 22.4 Hz to 22.4 kHz, or as far as half the rate.
        Near(result, "noise-unweighted", Channel.Left, null, -100 + (10 * Math.Log10((Math.Min(22400, rate / 2) - 22.4) / 20000)));
        if (!atOnce)
        {
            Near(result, "third-harmonic", Channel.Left, 1000, 0.01);
            Near(result, "thd", Channel.Right, 1000, 0.01);
        }
    }

    [Fact]
    public void SingleTone_IsEnough()
    {
        var result = LoopbackMeasurement.Measure(new LoopbackSound { Hz = [1000], Seconds = 3 }.Make(2), MeasurementSettings.None, null);
        Near(result, "time-skew", Channel.Both, null, 1.5);
        Assert.Single(result.Readings, r => r.Quantity == "thd" && r.Channel == Channel.Left);
    }

    [Theory]
    [InlineData(0.0, -100.0, "silence")]
    [InlineData(0.0, -30.0, "no-tone")]
    public void Sound_WithoutTones_IsRefusedInOneLine(double third, double noiseDb, string code)
    {
        var sound = new LoopbackSound { LevelDb = -300, NoiseDb = code == "silence" ? -300 : noiseDb, Third = third, Hz = [1000] };
        var e = Assert.Throws<CannotMeasureException>(() => LoopbackMeasurement.Measure(sound.Make(1), MeasurementSettings.None, null));
        Assert.Equal(code, e.Code);
        Assert.DoesNotContain('\n', e.Message);
    }

    [Fact]
    public void File_WrittenAndReadBack_IsTheSame_AndMistakesAreLocated()
    {
        var calibration = Calibration(new LoopbackSound());
        var text = LoopbackFile.ToJson(calibration);
        var read = LoopbackFile.Parse(text);
        Assert.Empty(read.Problems);
        Assert.Equal(text, LoopbackFile.ToJson(read.Value!));
        var wrong = LoopbackFile.Parse(
            text.Replace("2026-03-31", "31.3.2026", StringComparison.Ordinal)
                .Replace("\"sampleRateHz\": 48000", "\"sampleRateHz\": \"x\"", StringComparison.Ordinal)
        );
        Assert.Null(wrong.Value);
        Assert.Contains(wrong.Problems, p => p.Line == 3 && p.Path == "measuredOn");
        Assert.Contains(wrong.Problems, p => p.Line == 4 && p.Path == "sampleRateHz");
    }

    [Fact]
    public void Calibration_BetweenItsTones_FollowsTheInterface_AndSaysNothingBeyond()
    {
        var sound = new LoopbackSound
        {
            Hz = [20, 31.5, 50, 80, 125, 250, 500, 1000, 2000, 4000, 8000, 12500, 16000, 20000],
            Seconds = 0.8,
        };
        var calibration = Calibration(sound);
        foreach (var hz in new[] { 25.0, 40, 100, 700, 3000, 6000, 10000, 14000, 18000 })
        {
            var (db, uncertainty) = calibration.ResponseBetween(hz, 1000, Channel.Left)!.Value;
            Assert.InRange(Math.Abs(db - (sound.Response(hz) - sound.Response(1000))), 0, uncertainty + 1e-3);
            var (degrees, spread) = calibration.PhaseAt(hz)!.Value;
            Assert.InRange(Math.Abs(degrees + (360e-6 * hz * 1.5)), 0, spread + 0.01);
        }

        Assert.Null(calibration.PhaseAt(21000));
        Assert.Null(calibration.ResponseBetween(15, 1000, Channel.Left));
    }

    [Theory]
    [InlineData(44100, null, 0)]
    [InlineData(48000, "Another", 0)]
    [InlineData(48000, null, 40)]
    public void Calibration_ThatDoesNotFit_IsRefused(int rate, string? name, int days)
    {
        var calibration = Calibration(new LoopbackSound { Hz = [1000] });
        var settings = MeasurementSettings.None with
        {
            InterfaceName = name,
            LoopbackMaxAgeDays = 30,
            CapturedOn = new DateOnly(2026, 3, 31).AddDays(days),
        };
        Assert.Equal("loopback-does-not-fit", Assert.Throws<CannotMeasureException>(() => calibration.MustFit(rate, settings)).Code);
        calibration.MustFit(48000, settings with { InterfaceName = "bench left ", CapturedOn = new DateOnly(2026, 4, 30) });
    }

    // What the interface does falls out of a deck's figures to within what both state.
    [Fact]
    public void PlaybackAndAzimuth_WithTheLoopback_LoseWhatTheInterfaceDoes()
    {
        var bench = new LoopbackSound
        {
            Hz = [200, 400, 1000, 3150, 6300, 10000],
            Response = hz => -1.5 * Math.Pow(hz / 10000, 2),
            SkewMicroseconds = 4,
            NoiseDb = -70,
        };
        var calibration = Calibration(bench with { Hz = [100, 200, 500, 1000, 2000, 5000, 8000, 9000], NoiseDb = -100 });
        var tape = new TestTape
        {
            Name = "Loop",
            SpeedCmPerS = 19.05,
            RecordedTracks = RecordedTracksKind.Full,
            FringingCompensated = true,
            Tones = [.. bench.Hz.Select(hz => new TestTone(hz, 0, 1.2, hz == 1000 ? ToneRole.Reference : ToneRole.Response, 0.01))],
        };
        var settings = MeasurementSettings.None with { TestTape = tape, Loopback = calibration };
        var response = PlaybackMeasurement.Measure(bench.Make(5), settings, null);
        foreach (var reading in response.Readings.Where(r => r.Quantity == "response" && r.FrequencyHz is > 300 and < 9000 and not 1000))
        {
            Assert.InRange(Math.Abs(reading.Value), 0, 2 * reading.Uncertainty!.Value);
            Assert.NotNull(Assert.Single(reading.Parts, p => p.Name == "interface").Expanded);
        }

        // 10 kHz lies beyond the calibration: left as it is, its part unknown.
        var beyond = response.Readings.First(r => r.Quantity == "response" && r.FrequencyHz == 10000);
        Assert.Equal(bench.Response(10000) - bench.Response(1000), beyond.Value, 0.05);
        Assert.Null(Assert.Single(beyond.Parts, p => p.Name == "interface-response").Expanded);
        Assert.Contains(response.Notes, n => n.Code == "interface-not-corrected");

        var low = tape with { Tones = [.. tape.Tones.Where(t => t.FrequencyHz < 9000)] };
        var azimuth = AzimuthMeasurement.Measure(bench.Make(5), settings with { TestTape = low }, null);
        var skew = Assert.Single(azimuth.Readings, r => r.Quantity == "time-skew" && r.FrequencyHz is null);
        Assert.InRange(Math.Abs(skew.Value), 0, 2 * skew.Uncertainty!.Value);
        Assert.NotNull(Assert.Single(skew.Parts, p => p.Name == "interface").Expanded);
        Assert.Contains(azimuth.Notes, n => n.Code == "interface-corrected");
        var plain = AzimuthMeasurement.Measure(bench.Make(5), settings with { TestTape = low, Loopback = null }, null);
        Assert.Equal(4, Assert.Single(plain.Readings, r => r.Quantity == "time-skew" && r.FrequencyHz is null).Value, 0.1);
    }

    // tests/references/loopback.py: sines fitted by SciPy's least squares to the same file, and a periodogram of what is left.
    [Fact]
    public void Tones_AtOnce_AgreeWithSciPy()
    {
        var sound = new LoopbackSound { Hz = [31.5, 400, 1000, 6300, 15000], AtOnce = true, Seconds = 4, NoiseDb = -75 };
        using var held = sound.Make(11);
        var n = (int)held.Frames!.Value;
        float[] left = new float[n], right = new float[n];
        for (int at = 0, got; (got = held.Read(left.AsSpan(at), right.AsSpan(at))) > 0; at += got)
        {
        }

        var path = Path.Combine(Path.GetTempPath(), $"{Guid.NewGuid():N}.wav");
        try
        {
            using (var stream = File.Create(path))
            using (var writer = new Spoolwright.Signal.Sound.WavWriter(stream, 48000, 2, Spoolwright.Signal.Sound.WavSamples.Float32))
            {
                writer.Write(left, right);
            }

            var theirs = Levels.Outside.Script(
                "loopback.py",
                [path, .. sound.Hz.Select(f => f.ToString(System.Globalization.CultureInfo.InvariantCulture))]
            );
            var ours = Levels.Outside.Measured("loopback", path);
            double Ours(string quantity, Channel channel, double? hz) =>
                Assert.Single(ours.Readings, r => r.Quantity == quantity && r.Channel == channel && r.FrequencyHz.Equals(hz)).Value;
            for (var i = 0; i < sound.Hz.Length; i++)
            {
                var level = theirs.GetProperty("level")[i];
                Assert.Equal(level[0].GetDouble(), Ours("tone-level", Channel.Left, sound.Hz[i]), 0.002);
                Assert.Equal(
                    level[1].GetDouble() - theirs.GetProperty("level")[2][1].GetDouble(),
                    Ours("response", Channel.Right, sound.Hz[i]),
                    0.003
                );
                Assert.Equal(theirs.GetProperty("phase")[i].GetDouble(), Ours("phase", Channel.Both, sound.Hz[i]), 0.02);
            }

            Assert.Equal(theirs.GetProperty("noise")[0].GetDouble(), Ours("noise-unweighted", Channel.Left, null), 0.15);
            Assert.DoesNotContain(ours.Notes, x => x.Code == "unsteady-tone");
        }
        finally
        {
            File.Delete(path);
        }
    }

    [Fact]
    public void Tone_OfATape_IsToldAsNoWire()
    {
        var result = LoopbackMeasurement.Measure(
            new Levels.LevelSound(48000, 5, 2).Hiss(-70).Tone(1000, -10, -10, 0, 5, 0.0005).Sound(),
            MeasurementSettings.None,
            null
        );
        Assert.Contains(result.Notes, n => n.Code == "unsteady-tone");
    }

    // Law: what the interface does to harmonics is its response from the fundamental to each; its own distortion is a bound of unknown
    // phase.
    [Fact]
    public void Distortion_WithTheLoopback_LosesWhatTheInterfaceDoesToHarmonics()
    {
        static double Treble(double hz) => -3 * Math.Pow(hz / 10_000, 2);
        var made = new LoopbackSound { Hz = [1000], Seconds = 3, Third = 0.02, NoiseDb = -90 };

        // The deck makes 2 % of third harmonic, of which the interface passes less than of the fundamental.
        var heard = made with { Third = 0.02 * Math.Pow(10, (Treble(3000) - Treble(1000)) / 20) };
        var calibration = Calibration(new LoopbackSound
        {
            Hz = [200, 500, 1000, 2000, 3000, 4000, 5000, 6000, 8000, 10000, 12500, 16000, 20000],
            Response = Treble,
            Third = 0.0003,
            Seconds = 0.8,
        });
        var settings = MeasurementSettings.None with { Loopback = calibration };
        var plain = DistortionMeasurement
            .Measure(heard.Make(4), MeasurementSettings.None, null)
            .Readings.First(r => r.Quantity == "third-harmonic");
        var read = DistortionMeasurement.Measure(heard.Make(4), settings, null);
        var third = read.Readings.First(r => r.Quantity == "third-harmonic");
        var truth = 100 * 0.02 / Math.Sqrt(1 + (0.02 * 0.02));
        Assert.True(plain.Value < truth * 0.98, $"{plain.Value}");
        Assert.Equal(truth, third.Value, 0.002);
        Assert.Equal(0.03, Assert.Single(third.Parts, p => p.Name == "interface-distortion").Expanded!.Value, 0.003);
        Assert.NotNull(Assert.Single(third.Parts, p => p.Name == "interface").Expanded);
        Assert.True(third.Uncertainty > 0.029);
        Assert.Contains(read.Notes, n => n.Code == "interface-corrected");
        Assert.Equal(LoopbackFile.ToJson(calibration), LoopbackFile.ToJson(LoopbackFile.Parse(LoopbackFile.ToJson(calibration)).Value!));
        Assert.Equal(
            "loopback-does-not-fit",
            Assert
                .Throws<CannotMeasureException>(() =>
                    DistortionMeasurement.Measure((heard with { RateHz = 96000 }).Make(4), settings, null)
                )
                .Code
        );
    }

    [Fact]
    public void Readings_Noise_HoldTruth() => Coverage(100, 0.885, 1, 1.6);

    [Fact]
    [Trait("Category", "Long")]
    public void Readings_ThousandSeeds_HoldTruth() => Coverage(1000, 0.93, 0.97, 1.3);

    private static void Coverage(int seeds, double least, double most, double largest)
    {
        var sound = new LoopbackSound
        {
            RateHz = 44100,
            Hz = [400, 1000, 10000],
            Seconds = 2,
            AtOnce = true,
            NoiseDb = -50,
            Response = hz => hz > 5000 ? -0.7 : 0,
        };
        (string Quantity, Channel Channel, double? Hz, double Truth)[] asked =
        [
            ("tone-level", Channel.Left, 1000, sound.LevelDb - (20 * Math.Log10(3))),
            ("response", Channel.Right, 10000, -0.7),
            ("phase", Channel.Both, 10000, -5.4),
            ("time-skew", Channel.Both, null, 1.5),
            ("channel-balance", Channel.Both, 1000, 0.3),
        ];
        var errors = asked.Select(_ => new (double Error, double Stated)[seeds]).ToArray();
        Parallel.For(0, seeds, new ParallelOptions { MaxDegreeOfParallelism = 2 }, seed =>
        {
            var result = LoopbackMeasurement.Measure(sound.Make(seed + 3), MeasurementSettings.None, null);
            for (var q = 0; q < asked.Length; q++)
            {
                var reading = result.Readings.Single(r => r.Quantity == asked[q].Quantity && r.Channel == asked[q].Channel && r.FrequencyHz.Equals(asked[q].Hz));
                errors[q][seed] = (Math.Abs(reading.Value - asked[q].Truth), reading.Uncertainty!.Value);
            }
        });
        var lines = errors.Select((e, q) => (asked[q].Quantity, Share: e.Count(x => x.Error <= x.Stated) / (double)seeds,
            Ratio: e.Select(x => x.Stated).Order().ElementAt(seeds / 2) / e.Select(x => x.Error).Order().ElementAt((int)(0.95 * seeds)))).ToArray();
        TestContext.Current.TestOutputHelper?.WriteLine(string.Join('\n', lines.Select(l => FormattableString.Invariant($"{l.Quantity}: {l.Share:0.000} within, stated {l.Ratio:0.00} of empirical"))));
        Assert.All(lines, l => Assert.InRange(l.Share, least, most));
        Assert.All(lines, l => Assert.InRange(l.Ratio, 0, largest));
    }

    private static LoopbackCalibration Calibration(LoopbackSound sound) =>
        LoopbackCalibration.Of(
            LoopbackMeasurement.Measure(sound.Make(9), MeasurementSettings.None, null),
            Capture,
            "Bench left",
            new DateOnly(2026, 3, 31)
        );

    private static void Near(MeasurementResult result, string quantity, Channel channel, double? hz, double truth)
    {
        var reading = Assert.Single(result.Readings, r => r.Quantity == quantity && r.Channel == channel && r.FrequencyHz.Equals(hz));
        Assert.InRange(Math.Abs(reading.Value - truth), 0, 2 * reading.Uncertainty!.Value);
    }
}
