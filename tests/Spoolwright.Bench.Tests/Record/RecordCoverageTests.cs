using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Tests.Levels;
using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Bench.Tests.Record;

/// <summary>
/// Truth within the stated uncertainty of what the multitone and the markers give, over seeds of flutter and hiss. Truth is what the
/// made-up tape was made with; each capture holds many tones, which count each by itself.
/// </summary>
public sealed class RecordCoverageTests
{
    private static readonly SignalProgram Many = ProgramList.Make(ProgramList.Find("multitone")!);

    // Half as long, so that a thousand captures can be had.
    private static readonly SignalProgram Brief = ProgramList.Make(ProgramList.Find("multitone")!, brief: true);

    [Fact]
    public void Multitone_FewSeeds_LiesWithinItsUncertainty() => Multitone(6, 3);

    [Fact]
    [Trait("Category", "Long")]
    public void Multitone_ThousandSeeds_LiesWithinItsUncertaintyNineteenTimesOfTwenty() => Multitone(1000, 0);

    public static TheoryData<double, double, bool> Tapes =>
        new()
        {
            { 0.001, -70, false },
            { 0.0003, -75, false },
            { 0.001, -35, false },
            { 0, -30, false },
            { 0.001, -70, true },
        };

    // 80 seeds know a share of 95 % to 2.4 %.
    [Theory]
    [MemberData(nameof(Tapes))]
    public void MonitorDelay_FewSeeds_LiesWithinItsUncertainty(double flutter, double hissDb, bool inHertz) =>
        MonitorDelay(flutter, hissDb, inHertz, 80, 3);

    [Theory]
    [Trait("Category", "Long")]
    [MemberData(nameof(Tapes))]
    public void MonitorDelay_ThousandSeeds_LiesWithinItsUncertaintyNineteenTimesOfTwenty(double flutter, double hissDb, bool inHertz) =>
        MonitorDelay(flutter, hissDb, inHertz, 1000, 0);

    // What the readings state is asked, all of it. A third of the decks has no leak, a third leaks behind the heads and a third before
    // them, so that the tape holds it; half have hiss that all but hides products and leak. Products lie anywhere about what can be seen,
    // evenly in decibels: of one level alone, four standard deviations out of the noise, those that read too low are not told at all, and
    // what is told lies within oftener than stated.
    private static TapedDeck Drawn(int seed)
    {
        var random = new Random(seed + 40_000);
        var leakDb = -38 - (17 * random.NextDouble());
        var reversed = random.Next(2) == 0;
        double flat = (2 * random.NextDouble()) - 1, rising = (2 * random.NextDouble()) - 1, leak = Math.Pow(10, leakDb / 20);
        return new TapedDeck
        {
            RateHz = 44_100,
            Flutter = 0.001,
            HissDb = seed % 2 == 1 ? -75 : -60,
            Speed = 1.0013,
            ProductDb = -62 + (24 * random.NextDouble()),
            RightLaterMicroseconds = -30 + (60 * random.NextDouble()),
            CrosstalkDb = seed % 3 == 1 ? leakDb : -200,
            CrosstalkReversed = seed % 3 == 1 && reversed,
            TapeLeak = seed % 3 == 2 ? flat * leak : 0,
            TapeLeakRising = seed % 3 == 2 ? rising * leak : 0,
        };
    }

    private static void Multitone(int seeds, double sigmas)
    {
        var errors = new Dictionary<string, List<(double Error, double Stated)>>();
        int none = 0, asked = 0;
        Parallel.For(1, seeds + 1, new ParallelOptions { MaxDegreeOfParallelism = 2 }, seed =>
        {
            var deck = Drawn(seed);
            var result = RecordMeasurement.Measure(TapedProgram.Play(Brief, deck, seed), MeasurementSettings.None, null);
            lock (errors)
            {
                asked += seed % 3 == 0 ? 18 : 0;
                foreach (var r in result.Readings.Where(r => r.Uncertainty is > 0))
                    Take(r, deck, seed % 3 == 0);
            }
        });

        void Take(Reading r, TapedDeck deck, bool leaksNot)
        {
            if (r.Quantity == "separation" && leaksNot)
            {
                none++;
                return;
            }

            double? truth = r.Quantity switch
            {
                "separation" => TapedProgram.Separation(deck, r.FrequencyHz!.Value, r.Channel == Channel.Left),
                "response" => TapedProgram.Response(deck, r.FrequencyHz!.Value), // the made-up deck falls off by the frequency sent
                "intermodulation" => deck.ProductDb,
                "time-skew" => deck.RightLaterMicroseconds / deck.Speed, // laid along the tape, and heard at its speed
                _ => null,
            };
            if (truth is not { } value)
                return;
            errors.TryAdd(r.Quantity, []);

            // In units of what is stated: quiet decks and loud ones differ by a factor of five, and a median of both would be neither's.
            errors[r.Quantity].Add(((r.Value - value) / r.Uncertainty!.Value, 1));
        }

        // Where a flutter rate is just what two low tones lie apart, the one's sideband reads as the other's leak, 60 dB down.
        TestContext.Current.TestOutputHelper?.WriteLine($"separation told where nothing leaks: {none} of {asked}");
        Assert.Multiple(
            () => Assert.True(none <= 0.03 * asked + (3 * sigmas)),
            () => CoverageCheck.Holds("separation", errors["separation"], 8 * seeds, sigmas),
            () => CoverageCheck.Holds("response", errors["response"], 24 * seeds, sigmas),
            () => CoverageCheck.Holds("intermodulation", errors["intermodulation"], 4 * seeds, sigmas),
            () => CoverageCheck.Holds("time-skew", errors["time-skew"], seeds, sigmas));
    }

    // Every seed is a deck with flutter rates of its own, and its source stands anywhere between two samples: eight rates that were the
    // same in all seeds made errors that lie evenly within bounds, of which more than 95 of 100 are within any honest ±.
    private static void MonitorDelay(double flutter, double hissDb, bool inHertz, int seeds, double sigmas)
    {
        var list = new (double Error, double Stated)[seeds];
        Parallel.For(1, seeds + 1, new ParallelOptions { MaxDegreeOfParallelism = 2 }, seed =>
        {
            var deck = new TapedDeck
            {
                RateHz = 44_100,
                Flutter = flutter,
                HissDb = hissDb,
                DelaySeconds = 0.0656 + (0.0001 * (seed % 500)) + (1e-6 * seed),
                LeftIsSource = true,
                FlutterInHertz = inHertz,
                SourceAheadSeconds = 1e-6 * (seed * 7 % 97),
                CornerHz = 0,
                Seconds = 2.6,
            };
            var reading = RecordMeasurement.Measure(TapedProgram.Play(Many, deck, seed), MeasurementSettings.None, null).Readings.Single(r => r.Quantity == "monitor-delay");
            var start = SignalProgram.PauseSeconds + deck.DelaySeconds;
            list[seed - 1] = (reading.Value - (1000 * (deck.SourceAheadSeconds + TapedProgram.Delay(deck, seed, start, start + MarkerSweep.MarkerSeconds))), reading.Uncertainty!.Value);
        });

        CoverageCheck.Holds(
            FormattableString.Invariant($"monitor-delay, flutter {flutter}, hiss {hissDb}, in hertz {inHertz}"),
            list,
            seeds,
            sigmas
        );
    }
}
