using CsCheck;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Tests.Tones;

/// <summary>Quantities, units and signs as design sections 5 and 9 name them.</summary>
public sealed class ContractTests
{
    internal static readonly TestTape Tape = new()
    {
        Name = "Leaflet",
        SpeedCmPerS = 19.05,
        FluxivityNWbPerM = 250,
        Tones =
        [
            new(1000, 0, 2, ToneRole.Reference), new(10000, -10, 2, ToneRole.Azimuth), new(1000, -20, 1.5, ToneRole.Reference),
            new(31.5, -20, 2, ToneRole.Response), new(125, -20, 1.5, ToneRole.Response), new(6300, -20, 1.5, ToneRole.Response),
            new(10000, -20, 1.5, ToneRole.Response), new(12500, -20, 1.5, ToneRole.Response),
        ],
        Corrections = [new(6300, 0.7)],
    };

    private static readonly CaptureSettings Deck = new()
    {
        GainDb = -10,
        RightDb = -2,
        BassDb = 3,
        TrebleDb = -4,
        NoiseDb = -75,
        SkewMicroseconds = 12,
    };

    private static readonly DeckProfile Profile = new()
    {
        Name = "Two-track",
        Directions = [Direction.Forward],
        SpeedsCmPerS = [19.05],
        Tracks = [new(Direction.Forward, new TrackBand(0.1, 2.18), new TrackBand(4.07, 6.15))],
    };

    private static readonly MemorySound Sound = Capture();

    [Theory]
    [InlineData("tone-level", "dBFS")]
    [InlineData("response", "dB")]
    [InlineData("response-max", "dB")]
    [InlineData("response-min", "dB")]
    [InlineData("channel-balance", "dB")]
    [InlineData("playback-level", "dBFS")]
    [InlineData("output-level", "dBu")]
    [InlineData("output-level", "dBV")]
    [InlineData("output-level", "V")]
    public void Playback_LeafletTape_YieldsQuantityInItsUnit(string quantity, string unit) =>
        Assert.Contains(
            Playback(new() { TestTape = Tape, FullScaleVoltsLeft = 1.5 }).Readings,
            r => r.Quantity == quantity && r.Unit == unit
        );

    [Theory]
    [InlineData("time-skew", "µs")]
    [InlineData("phase", "°")]
    [InlineData("azimuth-angle", "arcmin")]
    [InlineData("mono-sum-loss", "dB")]
    public void Azimuth_LeafletTape_YieldsQuantityInItsUnit(string quantity, string unit) =>
        Assert.Contains(Azimuth().Readings, r => r.Quantity == quantity && r.Unit == unit);

    [Fact]
    public void Playback_Response_IsAgainstReferenceNearestTheResponseTones()
    {
        var readings = Playback(new() { TestTape = Tape }).Readings;
        foreach (var hz in new[] { 31.5, 125, 6300, 10000, 12500 })
        {
            var wanted = TapeCapture.Response(Deck, hz) - (hz.Equals(6300) ? 0.7 : 0);
            foreach (var channel in new[] { Channel.Left, Channel.Right })
            {
                var reading = Assert.Single(readings, r => r.Quantity == "response" && r.FrequencyHz.Equals(hz) && r.Channel == channel);
                Assert.Equal(wanted, reading.Value, Math.Max(0.02, 2 * reading.Uncertainty!.Value));
            }
        }

        var balance = Assert.Single(readings, r => r.Quantity == "channel-balance");
        Assert.Equal(2, balance.Value, 0.02);
        Assert.Equal(1000, balance.FrequencyHz);

        // The reference of −20 dB is the one: −10 − 20 dBFS less what the tape holds there.
        Assert.Equal(-10, Assert.Single(readings, r => r.Quantity == "playback-level" && r.Channel == Channel.Left).Value, 0.02);
        Assert.Equal(ToneRole.Reference, PlaybackMeasurement.Reference(Tape).Role);
        Assert.Equal(-20, PlaybackMeasurement.Reference(Tape).LevelDb);
    }

    [Fact]
    public void Playback_OutputLevels_AgreeInThreeUnits()
    {
        var readings = Playback(
            new()
            {
                TestTape = Tape,
                FullScaleVoltsLeft = 1.5,
                FullScaleVoltsRight = 1.5,
            }
        )
            .Readings.Where(r => r.Quantity == "output-level" && r.Channel == Channel.Left)
            .ToArray();
        var volts = readings.Single(r => r.Unit == "V").Value;
        Assert.Equal(1.5 * Math.Pow(10, -30 / 20.0), volts, 1e-4);
        Assert.Equal(20 * Math.Log10(volts), readings.Single(r => r.Unit == "dBV").Value, 1e-9);
        Assert.Equal(20 * Math.Log10(volts / 0.774597), readings.Single(r => r.Unit == "dBu").Value, 1e-5);
    }

    [Fact]
    public void Playback_UnknownFringing_IsNotedAndKeptOutOfExtremes()
    {
        var result = Playback(new() { TestTape = Tape });
        Assert.Contains(
            result.Notes,
            n =>
                n.Code == "fringing-unknown"
                && n.Text.Contains("31.5", StringComparison.Ordinal)
                && n.Text.Contains("125", StringComparison.Ordinal)
                && !n.Text.Contains("6300", StringComparison.Ordinal)
        );
        Assert.All(result.Readings.Where(r => r.Quantity == "response" && r.FrequencyHz < 190), r => Assert.False(r.Judgeable));
        Assert.All(result.Readings.Where(r => r.Quantity == "response-max"), r => Assert.NotEqual(31.5, r.FrequencyHz));
        var compensated = Playback(
            new() { TestTape = Tape with { RecordedTracks = RecordedTracksKind.SameAsDeck, FringingCompensated = true } }
        );
        Assert.All(compensated.Readings.Where(r => r.Quantity == "response-max"), r => Assert.Equal(31.5, r.FrequencyHz));
    }

    [Fact]
    public void Azimuth_RightLater_HasTheSignsOfTheDesign()
    {
        var readings = Azimuth().Readings;
        var skew = Assert.Single(readings, r => r.Quantity == "time-skew" && r.FrequencyHz is null);
        Assert.Equal(12, skew.Value, 0.05);
        Assert.All(
            readings.Where(r => r.Quantity == "time-skew"),
            r => Assert.Equal(12, r.Value, Math.Max(0.05, 2 * r.Uncertainty!.Value))
        );
        Assert.Equal(
            Math.IEEERemainder(-360 * 10000 * 12e-6, 360),
            Assert.Single(readings, r => r.Quantity == "phase" && r.FrequencyHz.Equals(10000.0)).Value,
            0.1
        );

        // Right lies lower by 3.97 mm and comes later: the upper end meets the tape sooner, a negative angle. 12 µs · 190.5 mm/s / 3.97 mm.
        var angle = Assert.Single(readings, r => r.Quantity == "azimuth-angle");
        Assert.Equal(-12e-6 * 190.5 / 3.97 * 3437.75, angle.Value, 0.01);
    }

    [Fact]
    public void Azimuth_NoTapeNamed_TakesTonesInAnyOrderAndLevel()
    {
        Stretch Play(double hz, double level) => new(new TestTone(hz, level, 1.5, ToneRole.Azimuth), 1.5);
        var sound = TapeCapture.Make(
            [
                Play(10000, -25),
                new(null, 0.4),
                Play(400, 0),
                new(null, 0.4),
                Play(10000, -25),
                new(null, 0.4),
                Play(1000, -10),
                new(null, 0.4),
                Play(8000, -30),
            ],
            new()
            {
                GainDb = -10,
                NoiseDb = -80,
                SkewMicroseconds = -21,
            },
            6
        );
        var result = AzimuthMeasurement.Measure(sound, MeasurementSettings.None, null);
        Assert.Equal([400, 1000, 8000, 10000], result.Readings.Where(r => r.Quantity == "phase").Select(r => r.FrequencyHz!.Value).Order());
        Assert.Equal(-21, result.Readings.Single(r => r.Quantity == "time-skew" && r.FrequencyHz is null).Value, 0.05);
        Assert.DoesNotContain(result.Notes, n => n.Code is "cycle-unresolved" or "missing-tone");
    }

    [Fact]
    public void Azimuth_TracksUnknown_LeavesAngleOutAndSaysSo()
    {
        Sound.Rewind();
        var result = AzimuthMeasurement.Measure(Sound, new() { TestTape = Tape }, null);
        Assert.DoesNotContain(result.Readings, r => r.Quantity == "azimuth-angle");
        Assert.Contains(result.Notes, n => n.Code == "track-centres-unknown");
    }

    [Fact]
    public void Readings_AnyBlockSize_AreTheSameToTheLastBit()
    {
        var whole = Playback(new() { TestTape = Tape }).Readings.Select(r => (r.Value, r.Uncertainty)).ToArray();
        foreach (var block in new[] { 997, 4096, 12345 })
        {
            var again = PlaybackMeasurement.Measure(
                new MemorySound(Sound.LeftSamples, Sound.RightSamples, 32000, 2, block),
                new() { TestTape = Tape },
                null
            );
            Assert.Equal(whole, again.Readings.Select(r => (r.Value, r.Uncertainty)));
        }
    }

    [Fact]
    public void Playback_DeadChannelUnderHiss_IsSaidAndNotMeasured()
    {
        var sound = TapeCapture.Make(
            [new(null, 0.4), .. Tape.Tones.SelectMany(t => new Stretch[] { new(t, t.Seconds), new(null, 0.5) })],
            new() { GainDb = -20, DeadLeft = true, NoiseDb = -65, RightDb = -12 }, 8);
        var result = PlaybackMeasurement.Measure(sound, new() { TestTape = Tape }, null);
        Assert.DoesNotContain(result.Readings, r => r.Channel == Channel.Left);
        Assert.Equal(8, result.Readings.Count(r => r.Quantity == "tone-level" && r.Channel == Channel.Right));
        Assert.Contains(result.Notes, n => n.Code == "dead-channel" && n.Text.Contains("left", StringComparison.Ordinal));
    }

    [Fact]
    public void Hum_Alone_IsNoTone()
    {
        var sound = TapeCapture.Make([new(null, 4)], new() { NoiseDb = -60, HumDb = -50 }, 5);
        Assert.Equal(
            "no-tone",
            Assert
                .Throws<CannotMeasureException>(() =>
                    TapeTones.Read(sound, [new(100, 0, 2, ToneRole.Reference), new(50, 0, 2, ToneRole.Response)], null)
                )
                .Code
        );
    }

    [Fact]
    public void Hum_AtATonesVeryFrequency_IsNotedAndNotTakenForIt()
    {
        TestTone[] tones = [new(1000, 0, 2, ToneRole.Reference), new(50, 0, 2, ToneRole.Response), new(100, 0, 2, ToneRole.Response)];
        var deck = new CaptureSettings { GainDb = -10, NoiseDb = -70, HumDb = -50 };

        // The tone of 100 Hz is not played; its hum line stands in a gap of three seconds.
        var sound = TapeCapture.Make([new(tones[0], 2), new(null, 3), new(tones[1], 2), new(null, 3)], deck, 2);
        var read = TapeTones.Read(sound, tones, null);
        Assert.Equal([1000, 50], read.Found.Select(f => f.Tone.FrequencyHz));
        Assert.All(read.Found, f => Assert.Single(f.Runs));
        Assert.Contains(read.Notes, n => n.Code == "hum-near-tone" && n.Text.Contains("50 Hz", StringComparison.Ordinal));
        Assert.DoesNotContain(read.Notes, n => n.Code == "hum-near-tone" && n.Text.Contains("1000 Hz", StringComparison.Ordinal));
        Assert.Contains(read.Notes, n => n.Code == "missing-tone" && n.Text.Contains("100 Hz", StringComparison.Ordinal));
    }

    // How long it takes is told by ToneBenchmarks.
    [Fact]
    [Trait("Category", "Long")]
    public void Playback_TenMinutesAtHighRate_ReadsEveryTone()
    {
        double[] hz = [1000, 10000, 31.5, 63, 125, 250, 500, 2000, 4000, 8000, 12500, 16000];
        var tape = Tape with
        {
            Tones = [.. hz.Select((f, i) => new TestTone(f, -10, 45, i == 0 ? ToneRole.Reference : ToneRole.Response))],
        };
        var sound = TapeCapture.Make(
            [.. tape.Tones.SelectMany(t => new Stretch[] { new(t, t.Seconds), new(null, 5) })],
            new() { RateHz = 96000 },
            3
        );
        var result = PlaybackMeasurement.Measure(sound, new() { TestTape = tape }, null);
        Assert.Equal(24, result.Readings.Count(r => r.Quantity == "tone-level"));
    }

    [Fact]
    public void Measure_SourceThatCannotStartAgain_IsRefusedByName()
    {
        var live = new MemorySound(Sound.LeftSamples, Sound.RightSamples, 32000, rewinds: false);
        Assert.Contains(
            "twice",
            Assert.Throws<ArgumentException>("source", () => PlaybackMeasurement.Measure(live, new() { TestTape = Tape }, null)).Message,
            StringComparison.Ordinal
        );
        Assert.Throws<ArgumentException>("source", () => AzimuthMeasurement.Measure(live, new() { TestTape = Tape }, null));
    }

    [Fact]
    public void Measure_DrawnNonsense_NeverFailsOtherwiseThanByWord()
    {
        float[] odd = [0, 1, -1, 1e-30f, float.NaN, float.PositiveInfinity];
        var sample = Gen.Select(Gen.Int[0, 20], Gen.Float[-1, 1], (pick, value) => pick < odd.Length ? odd[pick] : value);
        Gen.Select(Gen.Int[0, 60_000], Gen.Int[0, 3], Gen.Double[20, 15000], sample.Array[64], Gen.Bool).Sample(
            (length, kind, hz, seedling, stereo) =>
            {
                var left = new float[length];
                var right = new float[length];
                for (var i = 0; i < length; i++)
                {
                    left[i] = kind switch { 0 => seedling[i % 64], 1 => (float)Math.Cos(i * hz * 2e-4), 2 => i % 977 == 0 ? seedling[i % 64] : 0, _ => (float)(1e-6 * Math.Sin(i * i * 1e-5)) };
                    right[i] = kind == 1 ? -left[i] : seedling[(i * 7) % 64];
                }

                foreach (var measure in new Func<MeasurementResult>[]
                {
                    () => PlaybackMeasurement.Measure(new MemorySound(left, right, 32000, stereo ? 2 : 1), new() { TestTape = Tape }, null),
                    () => AzimuthMeasurement.Measure(new MemorySound(left, right, 32000, stereo ? 2 : 1), new() { TestTape = Tape }, null),
                })
                {
                    try
                    {
                        Assert.All(measure().Readings, r => Assert.True(double.IsFinite(r.Value) && double.IsFinite(r.Uncertainty ?? 0)));
                    }
                    catch (CannotMeasureException)
                    {
                        // A word of its own is what is wanted.
                    }
                }
            },
            iter: 60);
    }

    private static MeasurementResult Playback(MeasurementSettings settings)
    {
        lock (Sound)
        {
            Sound.Rewind();
            return PlaybackMeasurement.Measure(Sound, settings, null);
        }
    }

    private static MeasurementResult Azimuth()
    {
        lock (Sound)
        {
            Sound.Rewind();
            return AzimuthMeasurement.Measure(
                Sound,
                new()
                {
                    TestTape = Tape,
                    Profile = Profile,
                    Condition = new Condition(Direction.Forward, 19.05),
                },
                null
            );
        }
    }

    private static MemorySound Capture() =>
        TapeCapture.Make([new(null, 0.4), .. Tape.Tones.SelectMany(t => new Stretch[] { new(t, t.Seconds), new(null, 0.5) })], Deck, 4);
}
