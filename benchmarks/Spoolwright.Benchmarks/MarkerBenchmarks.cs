using BenchmarkDotNet.Attributes;
using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Benchmarks;

/// <summary>A minute of a program at 96 kHz, stereo: making it, and looking through it for markers.</summary>
[MemoryDiagnoser]
public class MarkerBenchmarks
{
    private const int Rate = 96000;
    private readonly SignalProgram _program = ProgramList.Make(ProgramList.Find("blank")!);
    private float[] _left = [];
    private float[] _right = [];

    /// <summary>The sound, once.</summary>
    [GlobalSetup]
    public void Setup() => Make();

    /// <summary>Computes the program's samples.</summary>
    [Benchmark]
    public int Make()
    {
        using var sound = new ProgramSound(_program, Rate, -18);
        _left = new float[(int)sound.Frames!.Value];
        _right = new float[_left.Length];
        return sound.Read(_left, _right);
    }

    /// <summary>Finds the markers.</summary>
    [Benchmark]
    public int Search()
    {
        var search = new MarkerSearch(Rate, 2);
        search.Add(_left, _right);
        return search.Finish().Count;
    }
}
