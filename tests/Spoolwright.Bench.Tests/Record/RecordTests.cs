using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Tests.Tones;
using Spoolwright.Signal;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Bench.Tests.Record;

/// <summary>Programs of ours through a made-up tape. Law: the response of a one-pole filter, computed.</summary>
public sealed class RecordTests
{
    private static readonly SignalProgram Steps = ProgramList.Make(ProgramList.Find("response")!);
    private static readonly SignalProgram Many = ProgramList.Make(ProgramList.Find("multitone")!);

    [Fact]
    public void Steps_ThroughFlutterAndHiss_GiveTheDecksResponse()
    {
        var deck = new TapedDeck { Flutter = 0.001, HissDb = -75, Speed = 1.004, RightDb = -2 };
        var result = Measure(TapedProgram.Play(Steps, deck));
        var responses = result.Readings.Where(r => r.Quantity == "response").ToArray();
        Assert.Equal(62, responses.Length);
        Assert.All(
            responses,
            r => Assert.Equal(TapedProgram.Response(deck, r.FrequencyHz!.Value), r.Value, Math.Max(1.5 * r.Uncertainty!.Value, 0.01))
        );
        Assert.Equal(
            TapedProgram.Response(deck, 20_000),
            result.Readings.Single(r => r is { Quantity: "response-min", Channel: Channel.Left }).Value,
            0.2
        );
        Assert.DoesNotContain(result.Readings, r => r.Quantity == "monitor-delay");
        Assert.Equal(2, result.Readings.Count(r => r.Quantity == "tone-level" && r.FrequencyHz == 10_000));
    }

    [Fact]
    public void Multitone_ThroughTheSameDeck_GivesResponseSeparationAndSkewTogether()
    {
        var deck = new TapedDeck { Flutter = 0.001, HissDb = -90, RightLaterMicroseconds = 12.5, CrosstalkDb = -46 };
        var result = Measure(TapedProgram.Play(Many, deck));
        var responses = result.Readings.Where(r => r.Quantity == "response").ToArray();
        Assert.Equal(26, responses.Length);
        Assert.All(
            responses,
            r => Assert.Equal(TapedProgram.Response(deck, r.FrequencyHz!.Value), r.Value, Math.Max(1.5 * r.Uncertainty!.Value, 0.002))
        );
        Assert.All(
            result.Readings.Where(r => r is { Quantity: "separation", FrequencyHz: > 100 }),
            r => Assert.Equal(46, r.Value, Math.Max(1.5 * r.Uncertainty!.Value, 0.5))
        );
        Assert.True(result.Readings.Count(r => r.Quantity == "separation") >= 14);
        Assert.Equal(12.5, result.Readings.Single(r => r is { Quantity: "time-skew", FrequencyHz: null }).Value, 0.005);
    }

    // What leaks adds to tones of both sides, 30 dB down by up to 0.27 dB and 0.5 µs at 10 kHz; it is read in size and phase and taken off.
    [Theory]
    [InlineData(-30, false, 0, 0)]
    [InlineData(-30, true, 0, 0)]
    [InlineData(-14, false, 0, 0)]
    [InlineData(-200, false, 0.03, 0)]
    [InlineData(-200, false, -0.02, 0.02)]
    public void Multitone_ThroughALeak_GivesTheDeckWithoutIt(double leakDb, bool reversed, double onTape, double rising)
    {
        var deck = new TapedDeck { Flutter = 0.0005, HissDb = -80, RightLaterMicroseconds = 20, CrosstalkDb = leakDb };
        deck = deck with { CrosstalkReversed = reversed, TapeLeak = onTape, TapeLeakRising = rising };
        var result = Measure(TapedProgram.Play(ProgramList.Make(ProgramList.Find("multitone")!, brief: true), deck));
        var responses = result.Readings.Where(r => r.Quantity == "response").ToArray();
        Assert.Equal(26, responses.Length);
        Assert.All(
            responses,
            r => Assert.Equal(TapedProgram.Response(deck, r.FrequencyHz!.Value), r.Value, Math.Max(2 * r.Uncertainty!.Value, 0.003))
        );
        Assert.All(responses, r => Assert.InRange(r.Uncertainty!.Value, 0, 0.02));
        var skew = result.Readings.Single(r => r is { Quantity: "time-skew", FrequencyHz: null });
        Assert.Equal(20, skew.Value, 0.02);
        Assert.InRange(skew.Uncertainty!.Value, 0.0005, 0.03);
    }

    [Fact]
    public void Multitone_SidesSummed_SaysNothingBetweenThem()
    {
        var sound = TapedProgram.Samples(ProgramList.Make(ProgramList.Find("multitone")!, brief: true), new() { HissDb = -75 });
        float[] Mixed(float own, float other) => [.. sound.Left.Zip(sound.Right, (l, r) => (own * l) + (other * r))];
        var result = Measure(new MemorySound(Mixed(0.6f, 0.4f), Mixed(0.4f, 0.6f), 48_000));
        Assert.Contains(result.Notes, n => n.Code == "summed-sides");
        Assert.DoesNotContain(result.Readings, r => r.Quantity is "separation" or "time-skew");
        Assert.All(result.Readings, r => Assert.True(double.IsFinite(r.Value) && double.IsFinite(r.Uncertainty ?? 0)));
    }

    // Summed half and half no marker can be told, and of the tones that stand together one is found: a level, and no response of one tone
    // to itself.
    [Fact]
    public void Record_OfOneToneAlone_TellsItsLevelAndThatResponseIsNotMeasured()
    {
        var tone = Enumerable.Range(0, 48_000 * 6).Select(i => (float)(0.1 * Math.Sin(2 * Math.PI * 125 * i / 48_000.0))).ToArray();
        var result = Measure(new MemorySound(tone, [.. tone.Select(x => 0.9f * x)], 48_000));
        Assert.Contains(result.Notes, n => n.Code == "no-response");
        Assert.Equal(2, result.Readings.Count(r => r.Quantity == "tone-level"));
        Assert.DoesNotContain(result.Readings, r => r.Quantity.StartsWith("response", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(0.0656)]
    public void MonitorDelay_SourceLeftTapeRight_IsRead(double delay)
    {
        var deck = new TapedDeck { Flutter = 0.0005, HissDb = -75, DelaySeconds = delay, LeftIsSource = true };
        var result = Measure(TapedProgram.Play(Many, deck));
        var reading = result.Readings.Single(r => r.Quantity == "monitor-delay");

        // Flutter moves the marker by up to 0.3 s of itself, which is no part of the deck's mean delay.
        Assert.Equal(1000 * delay, reading.Value, reading.Uncertainty!.Value + 0.15);
        Assert.All(result.Readings.Where(r => r.Quantity == "response"), r => Assert.Equal(Channel.Right, r.Channel));
    }

    [Fact]
    public void MonitorDelay_CaptureGoesOverFromSourceToTape_IsRead()
    {
        var result = Measure(TapedProgram.Play(Many, new() { Flutter = 0.0005, HissDb = -75, DelaySeconds = 0.21, SourceUntil = 15 }));
        Assert.Equal(210, result.Readings.Single(r => r.Quantity == "monitor-delay").Value, 0.3);
        Assert.Contains(result.Notes, n => n.Code == "source-and-tape");
        Assert.DoesNotContain(result.Readings, r => r.Quantity == "response");
    }

    [Fact]
    public void RecordsPart_PlaybackReadingsGiven_IsTheDifferenceWithBothUncertainties()
    {
        Reading Playback(string quantity, double value, double? uncertainty, Channel channel, double? hz) =>
            new()
            {
                Quantity = quantity,
                Value = value,
                Unit = "dB",
                Uncertainty = uncertainty,
                Channel = channel,
                FrequencyHz = hz,
                Method = "given",
            };
        var deck = new TapedDeck { HissDb = -75, RightLaterMicroseconds = 20 };
        var settings = new MeasurementSettings
        {
            PlaybackReadings = [Playback("response", -0.7, 0.3, Channel.Left, 10_000), Playback("time-skew", 15, 0.4, Channel.Both, null)],
        };
        var result = RecordMeasurement.Measure(TapedProgram.Play(Many, deck), settings, null);
        var part = Assert.Single(result.Readings, r => r.Quantity == "record-response");
        Assert.Equal(TapedProgram.Response(deck, 10_000) + 0.7, part.Value, 0.1);
        Assert.True(part.Uncertainty is > 0.3 and < 0.35, $"{part.Uncertainty}");
        var skew = result.Readings.Single(r => r.Quantity == "record-time-skew");
        Assert.Equal(5, skew.Value, 0.5);
        Assert.True(skew.Uncertainty >= 0.4);
        Assert.Contains(result.Notes, n => n.Code == "no-playback");
    }

    // The made-up deck's own fall and skew taken for the interface's: nothing is left of either. Law: its response, computed.
    [Fact]
    public void Loopback_OfTheSameFallAndSkew_LeavesNothing()
    {
        var deck = new TapedDeck { HissDb = -85, RightLaterMicroseconds = 12.5 };
        double[] hz = [25, 50, 100, 200, 400, 800, 1000, 1600, 2500, 4000, 6300, 8000, 10_000, 12_500];
        var loopback = new LoopbackCalibration
        {
            Interface = "Bench",
            MeasuredOn = new DateOnly(2026, 3, 31),
            SampleRateHz = 48_000,
            CaptureSha256 = new string('a', 64),
            ReferenceHz = 1000,
            SkewMicroseconds = 12.5,
            SkewUncertaintyMicroseconds = 0.1,
            Tones =
            [
                .. hz.Select(f => new LoopbackTone(
                    f,
                    TapedProgram.Response(deck, f),
                    0.005,
                    TapedProgram.Response(deck, f),
                    0.005,
                    Math.IEEERemainder(-360e-6 * f * 12.5, 360),
                    0.05
                )),
            ],
        };
        var result = RecordMeasurement.Measure(TapedProgram.Play(Many, deck), MeasurementSettings.None with { Loopback = loopback }, null);
        var within = result.Readings.Where(r => r is { Quantity: "response", FrequencyHz: > 31 and < 12_000 and not 1000 }).ToArray();
        Assert.Equal(22, within.Length);
        Assert.All(within, r => Assert.Equal(0, r.Value, 1.5 * r.Uncertainty!.Value));
        Assert.All(within, r => Assert.NotNull(Assert.Single(r.Parts, p => p.Name == "interface").Expanded));
        var beyond = result.Readings.Single(r => r is { Quantity: "response", FrequencyHz: > 15_000 });
        Assert.Equal(TapedProgram.Response(deck, beyond.FrequencyHz!.Value), beyond.Value, 0.1);
        Assert.Null(Assert.Single(beyond.Parts, p => p.Name == "interface-response").Expanded);
        var skew = result.Readings.Single(r => r.Quantity == "time-skew");
        Assert.InRange(Math.Abs(skew.Value), 0, skew.Uncertainty!.Value);
        Assert.NotNull(Assert.Single(skew.Parts, p => p.Name == "interface").Expanded);
        Assert.Contains(result.Notes, n => n.Code == "interface-not-corrected");
        Assert.Equal(
            "loopback-does-not-fit",
            Assert
                .Throws<CannotMeasureException>(() =>
                    RecordMeasurement.Measure(
                        TapedProgram.Play(Many, deck),
                        MeasurementSettings.None with
                        {
                            Loopback = loopback with { SampleRateHz = 44_100 },
                        },
                        null
                    )
                )
                .Code
        );
    }

    [Fact]
    public void SidesSummedHalfAndHalf_AreNamedAndNotTakenForOtherTones()
    {
        var deck = new TapedDeck();
        var (left, right) = TapedProgram.Samples(Many, deck);
        float[] sum = [.. left.Zip(right, (l, r) => (l + r) / 2)];
        var result = Measure(new MemorySound(sum, sum, deck.RateHz));
        var note = Assert.Single(result.Notes, n => n.Code == "summed-sides");
        Assert.Contains("summed half and half", note.Text, StringComparison.Ordinal);
        Assert.DoesNotContain(result.Notes, n => n.Code == "no-marker");
        Assert.DoesNotContain(result.Readings, r => r.Quantity == "separation");
    }

    [Fact]
    public void PlainTones_NoMarker_AreReadAgainstOneKilohertz()
    {
        TestTone[] tones = [.. new double[] { 1000, 100, 315, 3150, 10_000 }.Select(f => new TestTone(f, -20, 3, ToneRole.Response))];
        var deck = new CaptureSettings { RateHz = 48000, TrebleDb = -3, NoiseDb = -70 };
        var sound = TapeCapture.Make([.. tones.SelectMany(t => new Stretch[] { new(null, 0.3), new(t, t.Seconds) })], deck, 4);
        var result = Measure(sound);
        Assert.Contains(result.Notes, n => n.Code == "no-marker");
        Assert.Equal(
            TapeCapture.Response(deck, 10_000),
            result.Readings.First(r => r.Quantity == "response" && r.FrequencyHz == 10_000).Value,
            0.1
        );
    }

    [Fact]
    public void Response_OverSeeds_LiesWithinItsUncertainty()
    {
        TestTone[] tones = [new(1000, 0, 2, ToneRole.Response), new(6300, 0, 2, ToneRole.Response)];
        int inside = 0, all = 0;
        for (var seed = 1; seed <= 60; seed++)
        {
            var levels = new List<double>();
            var deck = new CaptureSettings { TrebleDb = -2, NoiseDb = -50, GainDb = -20, MovementDb = 0.1 };
            var sound = TapeCapture.Make([new(tones[0], 2), new(null, 0.3), new(tones[1], 2)], deck, seed, levelsDb: levels);
            var reading = Measure(sound).Readings.First(r => r.Quantity == "response" && r.FrequencyHz == 6300);
            all++;
            inside += Math.Abs(reading.Value - (TapeCapture.Response(deck, 6300) + levels[1] - levels[0])) < reading.Uncertainty ? 1 : 0;
        }

        // Binomial, three standard deviations about 95 %.
        Assert.True(inside >= 52, $"{inside} of {all}");
    }

    [Theory]
    [Trait("Category", "Long")]
    [InlineData(44100)]
    [InlineData(192000)]
    public void Multitone_AnyRate_IsRead(int rate)
    {
        var result = Measure(TapedProgram.Play(Many, new() { RateHz = rate, HissDb = -80 }));
        Assert.Equal(26, result.Readings.Count(r => r.Quantity == "response"));
    }

    [Fact]
    public void Capture_OfAnotherProgram_IsRefusedByName()
    {
        var sound = TapedProgram.Play(ProgramList.Make(ProgramList.Find("bias")!, null, 5), new());
        Assert.Contains("bias", Assert.Throws<CannotMeasureException>(() => Measure(sound)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Capture_SilentShortMonoDeadOrSwapped_IsToldAndNeverWrong()
    {
        Assert.Equal(
            "silence",
            Assert.Throws<CannotMeasureException>(() => Measure(new MemorySound(new float[96000], new float[96000], 48000))).Code
        );
        Assert.Throws<CannotMeasureException>(() => Measure(new MemorySound(new float[100], new float[100], 48000)));
        var sound = TapedProgram.Play(Many, new() { HissDb = -80 });
        var mono = Measure(new MemorySound(sound.LeftSamples, [], 48000, channels: 1));
        Assert.All(mono.Readings, r => Assert.Equal(Channel.Left, r.Channel));
        var dead = Measure(new MemorySound(sound.LeftSamples, new float[sound.LeftSamples.Length], 48000));
        Assert.Contains(dead.Notes, n => n.Code == "dead-channel");
        Assert.Equal(13, dead.Readings.Count(r => r.Quantity == "response"));
        var swapped = Measure(new MemorySound(sound.RightSamples, sound.LeftSamples, 48000));
        Assert.Contains(swapped.Notes, n => n.Code == "swapped-channels");
        Assert.Equal(26, swapped.Readings.Count(r => r.Quantity == "response"));
        float[] l = [.. sound.LeftSamples.Reverse()], r = [.. sound.RightSamples.Reverse()];
        var backwards = Measure(new MemorySound(l, r, 48000));
        Assert.Contains(backwards.Notes, n => n.Code == "backwards");
        Assert.Equal(26, backwards.Readings.Count(x => x.Quantity == "response"));
    }

    private static MeasurementResult Measure(MemorySound sound) => RecordMeasurement.Measure(sound, MeasurementSettings.None, null);
}
