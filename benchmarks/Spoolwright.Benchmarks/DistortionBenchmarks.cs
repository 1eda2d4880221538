using BenchmarkDotNet.Attributes;
using Spoolwright.Signal.Distortion;
using Spoolwright.Signal.Lines;

namespace Spoolwright.Benchmarks;

/// <summary>A minute of a tone at 96 kHz: one channel's harmonics through flutter, the search for the tone, and the survey of a
/// loopback.</summary>
[MemoryDiagnoser]
public class DistortionBenchmarks
{
    private const int Rate = 96000;
    private float[] _sound = [];

    /// <summary>The tone's frequency, Hz.</summary>
    [Params(333, 1000, 3150)]
    public double Hz { get; set; }

    /// <summary>A minute with slow wow and a little noise.</summary>
    [GlobalSetup]
    public void Setup()
    {
        var random = new Random(1);
        _sound = [.. Enumerable.Range(0, 60 * Rate).Select(i =>
        {
            var t = i / (double)Rate;
            var phase = 2 * Math.PI * Hz * (t + (0.0005 * Math.Sin(3 * t)));
            return (float)((0.3 * Math.Cos(phase)) + (0.003 * Math.Cos(3 * phase)) + (1e-4 * (random.NextDouble() - 0.5)));
        })];
    }

    [Benchmark]
    public double Track()
    {
        var tracker = new HarmonicTracker(Hz, Rate);
        tracker.Add(_sound);
        return HarmonicFigures.Of(tracker, tracker.Frames).Ratio(3, 3).Value;
    }

    [Benchmark]
    public int Search()
    {
        var ledger = new ToneLedger(Rate, 1);
        ledger.Add(_sound, default);
        return ledger.Tones().Count;
    }

    [Benchmark]
    public int Survey()
    {
        var survey = new LineSurvey(Rate, 1);
        survey.Add(_sound, default);
        return survey.Lines().Count;
    }
}
