using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Tests.Playing;

/// <summary>The truth against independent estimates from noise-free sound.</summary>
public class TruthTests
{
    private const int Rate = 48000;

    private static PracticeDeck Unsteady() => Decks.Perfect() with
    {
        Speeds = [new PracticeSpeed(19.05, Decks.Fast, ErrorPercent: -0.8)],
        Transport = new PracticeTransport
        {
            Parts = [new PracticePart { Name = "capstan", Kind = PracticePartKind.Capstan, DiameterMm = 8, EccentricityUm = 4 }],
            Noises = [new SpeedNoise("bearings", 0.5, 30, 0.1)],
            DriftPercentPerMinute = 0.3,
        },
    };

    [Fact]
    public void SpeedError_OfAnUnsteadyDeck_IsWhatCountedCyclesSay()
    {
        var tape = Decks.Tone(3150) with { SpeedErrorPercent = 0.05, OwnFlutter = [new SpeedNoise("recorder", 0.5, 20, 0.02)] };
        var options = Decks.Options(19.05, 10, Rate) with { InterfaceClockPpm = 40 };
        using var session = Unsteady().Play(tape, options);
        var (left, _) = Listening.Record(session);

        // Cycles between the first and the last upward crossing, places found by straight lines.
        var crossings = new List<double>();
        for (var i = 1; i < left.Length; i++)
        {
            if (left[i - 1] < 0 && left[i] >= 0)
                crossings.Add(i - 1 + (left[i - 1] / (left[i - 1] - (double)left[i])));
        }

        var heard = (crossings.Count - 1) / (crossings[^1] - crossings[0]) * Rate;
        Assert.Equal(100 * ((heard / 3150) - 1), session.Truth.SpeedErrorPercent, 2e-4);
        Assert.Equal(heard, session.Truth.Tones[0].FrequencyHz, 0.006);
    }

    [Fact]
    public void SpeedRatios_MillisecondByMillisecond_AreTheDemodulatedTone()
    {
        using var session = Unsteady().Play(Decks.Tone(3150), Decks.Options(19.05, 6, Rate));
        var (left, _) = Listening.Record(session);

        // A window of 9.6 ms moved by 4.8 ms hears the mean under its bell: compare slow parts, means of 48 ms.
        var heard = Listening.Deviation(left, 3150, Rate, 460, 240);
        var truth = session.Truth.SpeedRatios;
        var worst = 0.0;
        for (var k = 0; k + 10 < heard.Length; k += 10)
        {
            // Phase step j runs from the middle of window j to that of window j + 1.
            var from = ((k * 240) + 230.0) / Rate * 1000;
            var mean = 0.0;
            for (var ms = 0; ms < 50; ms++)
            {
                var at = from + ms;
                var low = (int)at;
                mean += ((truth[low] * (1 - (at - low))) + (truth[low + 1] * (at - low))) / 50;
            }

            worst = Math.Max(worst, Math.Abs(heard.Skip(k).Take(10).Average() - (mean - 1)));
        }

        Assert.InRange(worst, 0, 1.2e-5);
    }

    [Fact]
    public void Drift_OfASteadyDeck_IsItsRateTimesTheLength()
    {
        var deck = Decks.Perfect() with { Transport = new PracticeTransport { DriftPercentPerMinute = 0.6 } };
        using var session = deck.Play(Decks.Tone(3150), Decks.Options(19.05, 20, Rate));
        Assert.Equal(0.2, session.Truth.DriftPercent, 1e-4);
        Assert.Equal(0.1, session.Truth.SpeedErrorPercent, 1e-4);
    }

    [Fact]
    public void SpeedNoise_InABand_HasItsRms()
    {
        var deck = Decks.Perfect() with { Transport = new PracticeTransport { Noises = [new SpeedNoise("bearings", 0.5, 30, 0.1)] } };
        using var session = deck.Play(Decks.Tone(3150), Decks.Options(19.05, 120, Rate));
        var ratios = session.Truth.SpeedRatios;
        var mean = ratios.Average();
        Assert.Equal(0.1, 100 * Math.Sqrt(ratios.Average(r => (r - mean) * (r - mean))), 0.008);
    }

    [Fact]
    public void Scrape_AboveThousandHertz_WidensAToneAsItsRmsSays()
    {
        // Narrow-band phase modulation by a wave of fm and peak deviation Δf leaves two lines of Δf/(2fm); for noise in a narrow band the
        // powers add.
        var deck = Decks.Perfect() with { Transport = new PracticeTransport { Noises = [new SpeedNoise("scrape", 1150, 1250, 0.2)] } };
        var (left, _) = Listening.Record(deck.Play(Decks.Tone(6000), Decks.Options(19.05, 20, Rate)));
        var tone = Listening.Tone(left, 6000, Rate).Magnitude;
        var rest = Math.Sqrt(Math.Max(Math.Pow(Listening.Rms(left), 2) - (tone * tone / 2), 0)) / (tone / Math.Sqrt(2));
        Assert.Equal(0.002 * 6000 / 1200, rest, 0.0012);
    }

    [Fact]
    public void Tones_OfALevelTape_StandWhereAndHowTheTruthSays()
    {
        var tape = Decks.Tone(1000) with
        {
            Tones =
            [
                new PracticeTone(1000, 0, 2, PracticeToneRole.Reference, 0, 0.7),
                new PracticeTone(10000, -10, 2, PracticeToneRole.Azimuth, 0.15, 0.9),
                new PracticeTone(63, -20, 2, PracticeToneRole.Response, -0.2, 0.5),
                new PracticeTone(16000, -20, 2, PracticeToneRole.Response, 0.3, 0.8),
            ],
            Strips = [],
        };
        var deck = Decks.With(h =>
            h with
            {
                AzimuthArcmin = 1.2,
                GapUm = 2,
                GapFactor = null,
                FringingFactor = null,
                Bump = new HeadBump(1.5, 6, HeadBumpShape.Rippled),
            }
        );
        deck = deck with
        {
            Forward = deck.Forward.With(PracticeSide.Right, c => c with { TrebleTrimPercent = -12, LevelTrimDb = -0.7, SpacingUm = 0.4 }),
        };
        foreach (var backward in new[] { false, true })
        {
            var options = Decks.Options(19.05, 12, Rate) with { StartSeconds = 0, LeadInSeconds = 0.4, Backward = backward };
            using var session = deck.Play(tape, options);
            var truth = session.Truth;
            var (left, right) = Listening.Record(session);
            Assert.Equal(backward ? [16000, 63, 10000, 1000] : [1000, 10000, 63, 16000], truth.Tones.Select(t => t.Tone.FrequencyHz));
            foreach (var tone in truth.Tones)
            {
                var from = (int)((tone.StartSeconds + 0.1) * Rate);
                var length = (int)((tone.EndSeconds - tone.StartSeconds - 0.2) * Rate);
                var (l, r) = (
                    Listening.Tone(left.AsSpan(from, length), tone.FrequencyHz, Rate),
                    Listening.Tone(right.AsSpan(from, length), tone.FrequencyHz, Rate)
                );
                Assert.True(tone.Whole);
                Assert.Equal(tone.LeftDbfs, Listening.Decibels(l.Magnitude), 2e-4);
                Assert.Equal(tone.RightDbfs, Listening.Decibels(r.Magnitude), 2e-4);
                Assert.Equal(tone.PhaseDegrees, (r / l).Phase * 180 / Math.PI, 2e-3);
                Assert.Equal(0, Listening.Rms(left.AsSpan((int)((tone.StartSeconds - 0.1) * Rate), (int)(0.099 * Rate))), 1e-9);
                Assert.Equal(0, Listening.Rms(left.AsSpan((int)((tone.EndSeconds + 0.001) * Rate), (int)(0.09 * Rate))), 1e-9);
                Assert.True(
                    Listening.Rms(left.AsSpan((int)((tone.StartSeconds + 0.0045) * Rate), 200)) > 0.5 * l.Magnitude / Math.Sqrt(2)
                        || tone.FrequencyHz < 100
                );
            }
        }
    }

    [Fact]
    public void Tones_CutByTheCapture_AreNotWhole()
    {
        using var session = Decks.Perfect().Play(Decks.Tone(1000, seconds: 5), Decks.Options(seconds: 2));
        Assert.False(session.Truth.Tones[0].Whole);
        Assert.Equal(0, session.Truth.Tones[0].StartSeconds);
        Assert.Equal(2, session.Truth.Tones[0].EndSeconds, 1e-9);
    }

    [Fact]
    public void Level_ThroughFlutter_IsTheTruthsRms()
    {
        using var session = Unsteady().Play(Decks.Tone(10000) with { LevelWanderDbRms = 0.3 }, Decks.Options(19.05, 10, Rate));
        var (left, right) = Listening.Record(session);
        Assert.Equal(session.Truth.Tones[0].LeftDbfs, Listening.Decibels(Listening.Rms(left) * Math.Sqrt(2)), 1e-3);
        Assert.Equal(session.Truth.Tones[0].RightDbfs, Listening.Decibels(Listening.Rms(right) * Math.Sqrt(2)), 1e-3);
    }

    [Fact]
    public void Truth_AskedBeforeOrAfterListening_IsTheSame()
    {
        using var early = Unsteady().Play(Decks.Tone(3150), Decks.Options(19.05, 2, Rate));
        using var late = Unsteady().Play(Decks.Tone(3150), Decks.Options(19.05, 2, Rate));
        var before = early.Truth;
        var (left, _) = Listening.Record(early);
        var (again, _) = Listening.Record(late);
        Assert.Equal(before.SpeedRatios, late.Truth.SpeedRatios);
        Assert.Equal(before.Tones, late.Truth.Tones);
        Assert.Equal(left, again);
    }
}
