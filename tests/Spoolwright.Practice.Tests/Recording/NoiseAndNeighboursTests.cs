using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Physics;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Tests.Recording;

/// <summary>What is heard beside the recording: noise, bias, the other channel, the other direction, what erasure left.</summary>
public class NoiseAndNeighboursTests
{
    private static readonly PlayOptions Whole = new() { SpeedCmPerS = 19.05, DurationSeconds = 3, InterfaceNoiseDbfs = -400 };

    [Fact]
    public void Noise_Unweighted_IsWhatTheTruthSays()
    {
        var (left, _, truth) = Recorders.Monitor(
            Recorders.Perfect(),
            Fed.Tone(1000, -200),
            stock: Recorders.Still with
            {
                HissDb = -55,
            },
            seconds: 5
        );

        // Plain sum of power by Fourier transform of stretches, 22.4 Hz to 22.4 kHz.
        var fft = new Signal.Spectra.Fft(1 << 16);
        var power = 0.0;
        for (var at = 0; at < 5; at++)
        {
            var re = left.Skip(at << 16)
                .Take(1 << 16)
                .Select((x, i) => x * Math.Sqrt(8 / 3.0) * Math.Pow(Math.Sin(Math.PI * i / 65536), 2))
                .ToArray();
            var im = new double[1 << 16];
            fft.Forward(re, im);
            for (var k = 16; k < 15292; k++)
                power += 2 * ((re[k] * re[k]) + (im[k] * im[k])) / 65536 / 65536 / 5;
        }

        Assert.Equal(truth.NoiseDbfs(PracticeSide.Left, NoiseWeight.Unweighted), 10 * Math.Log10(2 * power), 0.15);

        // -55 dB in 20 kHz against a reference of -12 dBFS, and what lies between 20 and 22.4 kHz where hiss is strongest.
        Assert.InRange(truth.NoiseDbfs(PracticeSide.Left, NoiseWeight.Unweighted), -67, -65.8);
    }

    [Theory]
    [InlineData(31.5, -39.4, double.NaN)]
    [InlineData(100, -19.1, -19.8)]
    [InlineData(1000, 0, 0)]
    [InlineData(6300, -0.1, 12.2)]
    [InlineData(12500, -4.3, 0)]
    [InlineData(8000, -1.1, 11.4)]
    [InlineData(20000, -9.3, -22.2)]
    public void Weighting_AtPublishedPoints_IsTheirs(double hertz, double a, double itu)
    {
        // [IEC61672-1:2013] to 0.1 dB at exact third octaves; [BS468-4] table 1.
        var exact = 1000 * Math.Pow(10, Math.Round(10 * Math.Log10(hertz / 1000)) / 10);
        Assert.Equal(a, 20 * Math.Log10(NoiseWeighting.A(exact)), 0.06);
        if (!double.IsNaN(itu))
            Assert.Equal(itu, 20 * Math.Log10(NoiseWeighting.Itu468(hertz)), 0.3);
    }

    [Fact]
    public void ModulationNoise_ComesAndGoesWithTheSound()
    {
        var stock = Recorders.Still with { ModulationNoiseDb = -40 };
        static double Rest(float[] sound, double hertz)
        {
            var tone = Listening.Tone(sound, hertz, 96000);
            return Listening.Decibels(
                Listening.Rms([
                    .. sound.Select(
                        (x, i) => (float)(x - (tone.Magnitude * Math.Cos((2 * Math.PI * (hertz / 96000 * i % 1)) + tone.Phase)))
                    ),
                ]) * Math.Sqrt(2)
            );
        }

        var loud = Recorders.Monitor(Recorders.Perfect(), Fed.Tone(8000, -10), stock: stock);
        var soft = Recorders.Monitor(Recorders.Perfect(), Fed.Tone(8000, -30), stock: stock);
        Assert.Equal(-22 - 40, Rest(loud.Left, 8000), 0.7);
        Assert.Equal(20, Rest(loud.Left, 8000) - Rest(soft.Left, 8000), 0.7);
    }

    [Fact]
    public void Bias_InTheOutput_FoldsDownWhereTheTruthSays()
    {
        var deck = Recorders.With(h => h.With(PracticeSide.Right, c => c with { BiasLeakDb = -50 }));
        var (left, right, truth) = Recorders.Monitor(deck, Fed.Tone(1000, -20));
        var (hertz, db) = truth.BiasLeak(PracticeSide.Right)!.Value;
        Assert.Equal(9000, hertz, 1e-6);
        Assert.Equal(db, Recorders.Level(right, hertz), 0.01);
        Assert.Null(truth.BiasLeak(PracticeSide.Left));
        Assert.True(Recorders.Level(left, hertz) < -140);
    }

    [Fact]
    public void Separation_OfALeakingPair_IsWhatTheTruthSays()
    {
        var deck = Recorders.Perfect();
        deck = deck with
        {
            Forward = deck.Forward with
            {
                Left = deck.Forward.Left with { CrosstalkDb = -44 },
                Right = deck.Forward.Right with { CrosstalkDb = -52 },
            },
        };
        var (left, right, truth) = Recorders.Monitor(deck, Fed.Tones(1000, -10, 3700, -10));
        Assert.Equal(52, truth.SeparationDb(PracticeSide.Left, 1000), 0.1);
        Assert.Equal(truth.SeparationDb(PracticeSide.Left, 1000), Recorders.Level(left, 1000) - Recorders.Level(right, 1000), 0.05);
        Assert.Equal(truth.SeparationDb(PracticeSide.Right, 3700), Recorders.Level(right, 3700) - Recorders.Level(left, 3700), 0.05);
    }

    [Fact]
    public void OtherDirection_IsHeardBackwardsAtTheLevelTold()
    {
        // A tone that rises while recorded in reverse falls when its leak is heard forward; low tones spread through the tape, high ones
        // only leak.
        var deck = Recorders.Perfect();
        deck = deck with { Recorder = deck.Recorder!.With(TapeDirection.Forward, h => h with { OtherDirectionDb = -50 }) };
        const double Length = 4;
        var blank = RecordedTape.Blank(Recorders.Still, 19.05, 96000, Length);
        var session = deck.Record(blank, Recorders.Options() with { Direction = TapeDirection.Reverse });
        session.Feed(Programmed(t => 0.05 * Fed.Sine((1000 * t) + (100 * t * t))), Programmed(_ => 0));
        using var play = deck.Play(session.Finish(), Whole);
        var (_, right) = Listening.Record(play.Sound);

        // Place p forward is place 4 − p in reverse: pitch there 1000 + 200·(4 − p).
        Assert.Equal(1000 + (200 * (Length - 1.05)), Listening.Frequency(right.AsSpan(96000, 9600), 1590, 96000), 8.0);
        Assert.Equal(1000 + (200 * (Length - 2.05)), Listening.Frequency(right.AsSpan(2 * 96000, 9600), 1390, 96000), 8.0);

        using var monitor = deck.Monitor(blank, Recorders.Options(), Fed.Tone(1000, -10), 1);
        Assert.Equal(-50, monitor.Truth.OtherDirectionDb(PracticeSide.Right, PracticeSide.Left, 8000), 0.1);
        Assert.True(monitor.Truth.OtherDirectionDb(PracticeSide.Right, PracticeSide.Left, 63) > -35);
    }

    [Fact]
    public void OtherDirection_LeakOfASteadyTone_HasTheLevelTold()
    {
        var deck = Recorders.Perfect();
        var blank = RecordedTape.Blank(Recorders.Still, 19.05, 96000, 4);
        var session = deck.Record(blank, Recorders.Options() with { Direction = TapeDirection.Reverse });
        session.Feed(Programmed(_ => 0), Programmed(t => 0.2 * Fed.Sine(250 * t)));
        var tape = session.Finish();
        using var play = deck.Play(tape, Whole);
        using var own = deck.Play(tape, Whole with { Direction = TapeDirection.Reverse });
        var leak = Recorders.Level(Listening.Record(play.Sound).Left[96000..], 250);
        var full = Recorders.Level(Listening.Record(own.Sound).Right[96000..], 250);
        using var monitor = deck.Monitor(blank, Recorders.Options(), Fed.Tone(1000, -10), 1);
        Assert.Equal(monitor.Truth.OtherDirectionDb(PracticeSide.Left, PracticeSide.Right, 250), leak - full, 0.1);
    }

    [Theory]
    [InlineData(1000, 75)]
    [InlineData(100, 69)]
    public void Erasure_OfALoudTone_LeavesWhatTheTruthSays(double hertz, double about)
    {
        var deck = Recorders.With(h => h with { EraseDepthDb = 75, EraseBassDb = 10 });
        var session = deck.Record(Recorders.Blank(), Recorders.Options());
        session.Feed(Programmed(t => 0.25 * Fed.Sine(hertz * t)), Programmed(_ => 0));
        var tape = session.Finish();
        var before = Hear(deck, tape, hertz);
        var again = deck.Record(tape, Recorders.Options());
        again.Feed(Programmed(_ => 0), Programmed(_ => 0));
        var after = Hear(deck, again.Finish(), hertz);
        using var monitor = deck.Monitor(tape, Recorders.Options(), Fed.Tone(1000, -10), 1);
        Assert.Equal(monitor.Truth.EraseDepthDb(hertz), before - after, 0.1);
        Assert.InRange(before - after, about - 3, about + 3);
    }

    [Fact]
    public void OneTrack_SwitchedToRecord_LeavesTheOtherAlone()
    {
        var deck = Recorders.Perfect();
        var first = deck.Record(Recorders.Blank(), Recorders.Options());
        first.Feed(Programmed(t => 0.1 * Fed.Sine(1000 * t)), Programmed(t => 0.1 * Fed.Sine(1000 * t)));
        var second = deck.Record(first.Finish(), Recorders.Options() with { Tracks = (true, false) });
        second.Feed(Programmed(t => 0.1 * Fed.Sine(2000 * t)), Programmed(t => 0.1 * Fed.Sine(2000 * t)));
        using var play = deck.Play(second.Finish(), Whole);
        var (left, right) = Listening.Record(play.Sound);
        Assert.Equal(-20, Recorders.Level(right[96000..200000], 1000), 0.1);
        Assert.True(Recorders.Level(right[96000..200000], 2000) < -120);
        Assert.Equal(-20, Recorders.Level(left[96000..200000], 2000), 0.2);
        Assert.True(Recorders.Level(left[96000..200000], 1000) < -80);
    }

    [Fact]
    public void Dropouts_AreWhereTheTruthSays()
    {
        var stock = Recorders.Still with { Dropouts = new TapeDropouts(60, 14, 30, 100) };
        using var session = Recorders.Perfect().Monitor(Recorders.Blank(stock), Recorders.Options(), Fed.Tone(3000, -10), 8);
        var (left, _) = Listening.Record(session.Sound);
        var dropouts = session.Truth.Dropouts(8).Where(d => d.StartSeconds is > 0.6 and < 7.8 && d.Milliseconds > 20).ToArray();
        Assert.True(dropouts.Length >= 3);
        Assert.All(dropouts, d =>
        {
            var middle = (int)((d.StartSeconds + (d.Milliseconds / 2000)) * 96000);
            var fall = Recorders.Level(left[(middle - 200)..(middle + 200)], 3000) - -22;
            Assert.True(fall < -0.8 * d.DepthDb, $"{fall:F1} dB at {d.StartSeconds:F2} s, told {d.DepthDb:F1}");
        });
    }

    private static float[] Programmed(Func<double, double> wave, int frames = 4 * 96000) =>
        [.. Enumerable.Range(0, frames).Select(i => (float)wave(i / 96000.0))];

    private static double Hear(PracticeDeck deck, RecordedTape tape, double hertz)
    {
        using var play = deck.Play(tape, Whole);
        return Recorders.Level(Listening.Record(play.Sound).Left[48000..240000], hertz);
    }
}
