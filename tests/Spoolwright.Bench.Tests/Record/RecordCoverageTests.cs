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

    [Fact]
    public void Multitone_FewSeeds_LiesWithinItsUncertainty() => Multitone(3, 3);

    [Fact]
    [Trait("Category", "Long")]
    public void Multitone_ManySeeds_LiesWithinItsUncertaintyNineteenTimesOfTwenty() => Multitone(80, 0);

    [Fact]
    public void MonitorDelay_FewSeeds_LiesWithinItsUncertainty() => MonitorDelay(6, 3);

    [Fact]
    [Trait("Category", "Long")]
    public void MonitorDelay_ManySeeds_LiesWithinItsUncertainty() => MonitorDelay(200, 1);

    private static void Multitone(int seeds, double sigmas)
    {
        var errors = new Dictionary<string, List<(double Error, double Stated)>>();
        for (var seed = 1; seed <= seeds; seed++)
        {
            var deck = new TapedDeck { RateHz = 44_100, Flutter = 0.001, HissDb = -75, RightLaterMicroseconds = 12.5, CrosstalkDb = -46, ProductDb = -50, Speed = 1.0013 };
            var result = RecordMeasurement.Measure(TapedProgram.Play(Many, deck, seed), MeasurementSettings.None, null);
            foreach (var r in result.Readings.Where(r => r.Uncertainty is not null))
            {
                double? truth = r.Quantity switch
                {
                    "separation" => 46,
                    "response" => TapedProgram.Response(deck, r.FrequencyHz!.Value * deck.Speed),
                    "intermodulation" => deck.ProductDb,
                    "time-skew" => deck.RightLaterMicroseconds,
                    _ => null,
                };
                if (truth is { } value && r.Uncertainty > 0)
                {
                    errors.TryAdd(r.Quantity, []);
                    errors[r.Quantity].Add((r.Value - value, r.Uncertainty!.Value));
                    if (seeds > 50)
                    {
                        errors.TryAdd($"{r.Quantity} {r.FrequencyHz}", []);
                        errors[$"{r.Quantity} {r.FrequencyHz}"].Add((r.Value - value, r.Uncertainty!.Value));
                    }
                }
            }
        }
        foreach (var (name, list) in errors.Where(e => e.Key.Contains(' ')))
            TestContext.Current.TestOutputHelper?.WriteLine(FormattableString.Invariant($"{name} inside {list.Average(p => Math.Abs(p.Error) <= p.Stated ? 1.0 : 0):0.000} stated {list.Average(p => p.Stated):0.0000} emp {2 * Math.Sqrt(list.Average(p => p.Error * p.Error)):0.0000} bias {list.Average(p => p.Error):0.0000}"));
        CoverageCheck.Holds("separation", errors["separation"], 18 * seeds, sigmas);
        CoverageCheck.Holds("response", errors["response"], 26 * seeds, sigmas);
        CoverageCheck.Holds("intermodulation", errors["intermodulation"], 6 * seeds, sigmas);
        CoverageCheck.Holds("time-skew", errors["time-skew"], seeds, sigmas);
    }

    private static void MonitorDelay(int seeds, double sigmas)
    {
        var list = new List<(double Error, double Stated)>();
        for (var seed = 1; seed <= seeds; seed++)
        {
            var deck = new TapedDeck { RateHz = 44_100, Flutter = 0.001, HissDb = -70, DelaySeconds = 0.0656 + (0.0001 * seed), LeftIsSource = true, CornerHz = 0 };
            var result = RecordMeasurement.Measure(TapedProgram.Play(ProgramList.Make(ProgramList.Find("response")!), deck, seed), MeasurementSettings.None, null);
            var reading = result.Readings.Single(r => r.Quantity == "monitor-delay");
            var start = SignalProgram.PauseSeconds + deck.DelaySeconds;
            list.Add((reading.Value - (1000 * TapedProgram.Delay(deck, seed, start, start + MarkerSweep.MarkerSeconds)), reading.Uncertainty!.Value));
        }

        CoverageCheck.Holds("monitor-delay", list, seeds, sigmas);
    }
}
