using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Tests.Levels;
using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Bench.Tests.Record;

/// <summary>
/// Truth within the stated uncertainty of what the multitone and the markers give, over seeds of flutter and hiss. Truth is what the made-up tape was
/// made with; each capture holds many tones, which count each by itself.
/// </summary>
public sealed class RecordCoverageTests
{
    private static readonly SignalProgram Many = ProgramList.Make(ProgramList.Find("multitone")!);

    // Half as long, so that a thousand captures can be had.
    private static readonly SignalProgram Brief = ProgramList.Make(ProgramList.Find("multitone")!, brief: true);

    [Fact]
    public void Multitone_FewSeeds_LiesWithinItsUncertainty() => Multitone(3, 3);

    [Fact]
    [Trait("Category", "Long")]
    public void Multitone_ThousandSeeds_LiesWithinItsUncertaintyNineteenTimesOfTwenty() => Multitone(1000, 0);

    public static TheoryData<double, double, bool> Tapes => new() { { 0.001, -70, false }, { 0.0003, -75, false }, { 0.001, -35, false }, { 0, -30, false }, { 0.001, -70, true } };

    // 80 seeds know a share of 95 % to 2.4 %.
    [Theory]
    [MemberData(nameof(Tapes))]
    public void MonitorDelay_FewSeeds_LiesWithinItsUncertainty(double flutter, double hissDb, bool inHertz) => MonitorDelay(flutter, hissDb, inHertz, 80, 3);

    [Theory]
    [Trait("Category", "Long")]
    [MemberData(nameof(Tapes))]
    public void MonitorDelay_ThousandSeeds_LiesWithinItsUncertaintyNineteenTimesOfTwenty(double flutter, double hissDb, bool inHertz) =>
        MonitorDelay(flutter, hissDb, inHertz, 1000, 0);

    // Leak pulls level and phase of the tones that stand on both sides, always the same way: beside it nothing of chance would be seen, so every
    // other capture has none.
    private static void Multitone(int seeds, double sigmas)
    {
        var errors = new Dictionary<string, List<(double Error, double Stated)>>();
        var pulled = new List<bool>();
        Parallel.For(1, seeds + 1, new ParallelOptions { MaxDegreeOfParallelism = 2 }, seed =>
        {
            var deck = new TapedDeck
            {
                RateHz = 44_100,
                Flutter = 0.001,
                HissDb = seed % 2 == 1 ? -75 : -60,
                RightLaterMicroseconds = 12.5,
                CrosstalkDb = seed % 2 == 1 ? -46 : -200,
                ProductDb = -50,
                Speed = 1.0013,
            };
            var result = RecordMeasurement.Measure(TapedProgram.Play(Brief, deck, seed), MeasurementSettings.None, null);
            lock (errors)
            {
                foreach (var r in result.Readings.Where(r => r.Uncertainty is > 0))
                    Take(r, deck);
            }
        });

        void Take(Reading r, TapedDeck deck)
        {
            double? truth = r.Quantity switch
            {
                "separation" => -deck.CrosstalkDb,
                "response" => TapedProgram.Response(deck, r.FrequencyHz!.Value), // the made-up deck falls off by the frequency sent
                "intermodulation" => deck.ProductDb,
                "time-skew" => deck.RightLaterMicroseconds / deck.Speed, // laid along the tape, and heard at its speed
                _ => null,
            };
            if (truth is not { } value)
                return;
            if (r.Parts.FirstOrDefault(p => p.Name == "leak") is { Expanded: { } leak } && deck.CrosstalkDb > -200)
            {
                // Here the leak adds in phase, all of it: the worst there is.
                pulled.Add(Math.Abs(r.Value - value) <= r.Uncertainty);
                Assert.True(leak < (r.Quantity == "response" ? 0.08 : 0.2), $"{r.Quantity} {r.FrequencyHz}: {leak}");
                return;
            }

            // Where nothing leaks, what might is known to the bound of what is seen: noise is held against the error by itself.
            errors.TryAdd(r.Quantity, []);
            errors[r.Quantity].Add((r.Value - value, Math.Sqrt(r.Parts.Where(p => p.Name != "leak").Sum(p => p.Expanded is { } x ? x * x : 0))));
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"under leak in phase: {pulled.Average(p => p ? 1.0 : 0):0.000} of {pulled.Count}");
        Assert.Multiple(
            () => Assert.True(pulled.Average(p => p ? 1.0 : 0) >= 0.93),
            () => CoverageCheck.Holds("separation", errors["separation"], 18 * ((seeds + 1) / 2), sigmas),
            () => CoverageCheck.Holds("response", errors["response"], 24 * (seeds / 2), sigmas),
            () => CoverageCheck.Holds("intermodulation", errors["intermodulation"], 6 * ((seeds + 1) / 2), sigmas),
            () => CoverageCheck.Holds("time-skew", errors["time-skew"], seeds / 2, sigmas));
    }

    // Every seed is a deck with flutter rates of its own, and its source stands anywhere between two samples: eight rates that were the same in all seeds made
    // errors that lie evenly within bounds, of which more than 95 of 100 are within any honest ±.
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

        CoverageCheck.Holds(FormattableString.Invariant($"monitor-delay, flutter {flutter}, hiss {hissDb}, in hertz {inHertz}"), list, seeds, sigmas);
    }
}
