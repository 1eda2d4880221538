using Spoolwright.Practice.Deck;

namespace Spoolwright.Practice.Tests.Recording;

/// <summary>What comes off tape, by Fourier sums, against the truth told and against what a well set deck must do.</summary>
public class RecordingInSoundTests
{
    [Theory]
    [InlineData(19.05, 40, 16000)]
    [InlineData(9.525, 40, 10000)]
    [InlineData(38.1, 50, 20000)]
    public void Response_OfAWellSetDeck_IsLevelWithinHalfADecibel(double speed, double from, double to)
    {
        for (var f = from; f <= to; f *= 1.6)
        {
            var hertz = Math.Round(f);
            var (left, _, truth) = Recorders.Monitor(Recorders.Perfect(), Fed.Tone(hertz, -20), Recorders.Options(speed));
            var level = Recorders.Level(left, hertz);
            Assert.InRange(level, -32.5, -31.5);
            Assert.Equal(truth.LevelDbfs(PracticeSide.Left, hertz, -20), level, 0.005);
        }
    }

    [Theory]
    [InlineData(44100)]
    [InlineData(48000)]
    [InlineData(96000)]
    [InlineData(192000)]
    public void Level_AtAnyRate_IsWhatTheTruthSays(int rate)
    {
        foreach (var hertz in new[] { 1000.0, 12000, 17000 })
        {
            var (left, right, truth) = Recorders.Monitor(
                Recorders.Perfect(),
                Fed.Tones(hertz, -20, hertz, -10, rate),
                Recorders.Options(rate: rate)
            );
            Assert.Equal(truth.LevelDbfs(PracticeSide.Left, hertz, -20), Recorders.Level(left, hertz, rate), 0.01);
            Assert.Equal(truth.LevelDbfs(PracticeSide.Right, hertz, -10), Recorders.Level(right, hertz, rate), 0.01);
        }
    }

    [Theory]
    [InlineData(1000, 0)]
    [InlineData(1000, 6)]
    [InlineData(1000, 12)]
    [InlineData(315, 9)]
    public void Harmonics_OfALoudTone_AreWhatTheTruthSays(double hertz, double inputDb)
    {
        var (left, _, truth) = Recorders.Monitor(Recorders.Perfect(), Fed.Tone(hertz, inputDb));
        var first = Listening.Tone(left, hertz, 96000).Magnitude;
        var third = Listening.Tone(left, 3 * hertz, 96000).Magnitude;
        var percent = truth.ThirdHarmonicPercent(PracticeSide.Left, hertz, inputDb);
        Assert.Equal(percent, 100 * third / first, 0.01 * percent);
        Assert.Equal(truth.LevelDbfs(PracticeSide.Left, hertz, inputDb), Listening.Decibels(first), 0.01);
    }

    [Fact]
    public void ThirdHarmonic_SixDecibelsLouder_IsFourTimesAsMuch()
    {
        // Common practice, no source: the third harmonic's share grows with the square of the level.
        double Percent(double db)
        {
            var (left, _, _) = Recorders.Monitor(Recorders.Perfect(), Fed.Tone(1000, db));
            return Listening.Tone(left, 3000, 96000).Magnitude / Listening.Tone(left, 1000, 96000).Magnitude;
        }

        Assert.Equal(2, Math.Log2(Percent(-10) / Percent(-16)) / (Math.Log2(10) * 6 / 20), 0.05);
    }

    [Theory]
    [InlineData(19.05, 32, 167.979)]
    [InlineData(9.525, 40, 419.948)]
    public void MonitorDelay_IsDistanceOverSpeed(double speed, double mm, double ms)
    {
        // Reference notes 2.5, computed: 40 mm at 9.53 cm/s make 419.7 ms.
        var deck = Recorders.With(h => h with { ToReplayMm = mm });
        static double Pulse(double t) => 0.2 * Math.Exp(-Math.Pow((t - 0.1) / 0.0002, 2));
        using var session = deck.Monitor(Recorders.Blank(speed: speed), Recorders.Options(speed), new Fed(96000, Pulse, Pulse), 1);
        var (left, right) = Listening.Record(session.Sound);
        Assert.Equal(ms, session.Truth.MonitorDelayMs, 0.001);

        // Middle of the pulse's energy: the record path is without phase of its own, replay's phase moves the pulse a little.
        foreach (var sound in new[] { left, right })
        {
            var top = Array.IndexOf(sound, sound.MaxBy(MathF.Abs));
            Assert.Equal(100 + ms, top / 96.0, 0.1);
        }
    }

    [Fact]
    public void Saturation_OfTenKilohertz_IsReachedAndNotPassed()
    {
        var levels = new[] { 6.0, 10, 14 }
            .Select(db =>
            {
                var (left, _, truth) = Recorders.Monitor(Recorders.Perfect(), Fed.Tone(10000, db - 2), seconds: 1.5);
                return (
                    Heard: Recorders.Level(left, 10000),
                    Told: truth.LevelDbfs(PracticeSide.Left, 10000, db - 2),
                    Most: truth.SaturationDbfs(PracticeSide.Left)
                );
            })
            .ToArray();
        Assert.All(levels, l => Assert.Equal(l.Told, l.Heard, 0.02));
        Assert.All(levels, l => Assert.InRange(l.Heard, l.Most - 6, l.Most));
        Assert.True(levels[2].Heard > levels[1].Heard && levels[2].Heard - levels[1].Heard < 1.5);
    }

    [Fact]
    public void Skew_OfARecordHeadAskew_HasTheSignOfTheDesign()
    {
        // x_R(t) = x_L(t − τ): lines recorded askew by +3' lean the other way against a straight replay head, so the right track comes
        // later.
        var deck = Recorders.With(h => h with { AzimuthArcmin = 3 });
        var (left, right, truth) = Recorders.Monitor(deck, Fed.Tone(2000, -20));
        var phase = (Listening.Tone(right, 2000, 96000) / Listening.Tone(left, 2000, 96000)).Phase;
        Assert.Equal(truth.TimeSkewMicroseconds, -phase / (2 * Math.PI * 2000) * 1e6, 0.02);

        // 3.5 mm between the tracks' middles, computed.
        Assert.Equal(3500 * Math.Tan(3 * Math.PI / 10800) / 190500 * 1e6, truth.TimeSkewMicroseconds, 1e-6);
    }

    [Fact]
    public void Azimuth_OfBothHeadsAskewAlike_CostsNothing()
    {
        var deck = Recorders.With(h => h with { AzimuthArcmin = 8 });
        deck = deck with { Forward = deck.Forward with { AzimuthArcmin = 8 } };
        var (left, right, _) = Recorders.Monitor(deck, Fed.Tone(10000, -20));
        var straight = Recorders.Monitor(Recorders.Perfect(), Fed.Tone(10000, -20));
        Assert.Equal(Recorders.Level(straight.Left, 10000), Recorders.Level(left, 10000), 0.002);
        Assert.Equal(0, (Listening.Tone(right, 10000, 96000) / Listening.Tone(left, 10000, 96000)).Phase, 0.001);
    }

    [Theory]
    [InlineData(31.416, 0, 0.05)]
    [InlineData(47.124, 1.95, 2.05)]
    public void Flutter_RecordedAndHeardAtOnce_AddsByTheDistanceOfTheHeads(double mm, double least, double most)
    {
        // [FLUTTER-NOTE] and reference notes 3.6, computed: a capstan of 10 mm cancels over one turn of it between the heads, and doubles
        // over one and a half.
        var capstan = new PracticePart
        {
            Name = "capstan",
            Kind = PracticePartKind.Capstan,
            DiameterMm = 10,
            Harmonics = [new PartHarmonic(1, 0.2)],
        };
        var deck = Recorders.With(h => h with { ToReplayMm = mm }) with { Transport = new PracticeTransport { Parts = [capstan] } };
        var (left, _, _) = Recorders.Monitor(deck, Fed.Tone(3150, -10), seconds: 5);
        var deviation = Listening.Deviation(left, 3150, 96000, 2400, 480);
        var (_, peak) = Listening.Wave(deviation, 200, 190.5 / (10 * Math.PI), 0.5);
        Assert.InRange(peak / 0.002, least, most);
    }

    [Fact]
    public void Tape_PlayedLater_SoundsAsOffTape()
    {
        var deck = Recorders.Perfect();
        var session = deck.Record(Recorders.Blank(), Recorders.Options());
        var program = Fed.Tone(5000, -10);
        var (l, r) = (new float[7000], new float[7000]);
        for (var i = 0; i < 42; i++)
        {
            program.Read(l, r);
            session.Feed(l, r);
        }

        using var play = deck.Play(
            session.Finish(),
            new Practice.Playing.PlayOptions
            {
                SpeedCmPerS = 19.05,
                StartSeconds = 0.5,
                DurationSeconds = 2,
                InterfaceNoiseDbfs = -400,
            }
        );
        var (left, _) = Listening.Record(play.Sound);
        Assert.Equal(Recorders.Level(Recorders.Monitor(deck, Fed.Tone(5000, -10)).Left, 5000), Recorders.Level(left, 5000), 0.002);
    }
}
