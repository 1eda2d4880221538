using BenchmarkDotNet.Attributes;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Scenario;

namespace Spoolwright.Benchmarks;

/// <summary>
/// How long the practice deck takes for one pass of the demonstration at 96 kHz: the demonstration makes sixteen, and tests with a
/// thousand seeds live by it. Aim: 30 s of sound in less than a second on one core.
/// </summary>
[MemoryDiagnoser]
public class PracticePlayBenchmarks
{
    private readonly float[] _left = new float[8192];
    private readonly float[] _right = new float[8192];
    private JobPass _speed = null!;
    private JobPass _levels = null!;

    [GlobalSetup]
    public void Setup()
    {
        var passes = AutoReverseJob.Passes(speedSeconds: 30);
        _speed = passes.First(p => p.IsSpeedTape);
        _levels = passes.First(p => !p.IsSpeedTape);
    }

    /// <summary>30 s of a speed tape on the deck as found.</summary>
    [Benchmark]
    public long SpeedTape30Seconds() => Listen(_speed);

    /// <summary>A whole level tape, about 70 s, with its announcements.</summary>
    [Benchmark]
    public long LevelTapeWhole() => Listen(_levels);

    /// <summary>The truth alone of the same 30 s.</summary>
    [Benchmark]
    public PracticeTruth Truth30Seconds()
    {
        using var session = _speed.Play();
        return session.Truth;
    }

    private long Listen(JobPass pass)
    {
        using var session = pass.Play();
        var frames = 0L;
        for (int got; (got = session.Sound.Read(_left, _right)) > 0;)
            frames += got;
        return frames;
    }
}
