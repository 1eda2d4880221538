using BenchmarkDotNet.Attributes;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Benchmarks;

/// <summary>
/// What it costs to look over a capture beside the meters: well below a nanosecond a sample, in blocks of 8192 frames.
/// Ten seconds of 96 kHz stereo, healthy and badly clipped.
/// </summary>
[MemoryDiagnoser]
public class SoundInspectorBenchmarks
{
    private float[] _left = [];
    private float[] _right = [];

    /// <summary>Peak of the tone, full scale 1; above 1 it is clipped.</summary>
    [Params(0.5, 3)]
    public double Peak { get; set; }

    /// <summary>Makes the capture.</summary>
    [GlobalSetup]
    public void Setup() => (_left, _right) = SoundMaterial.Tone(10, Peak);

    /// <summary>Looks it over; returns how much was found.</summary>
    [Benchmark]
    public int Inspect()
    {
        var inspector = new SoundInspector(SoundMaterial.SampleRateHz, 2);
        for (var at = 0; at < _left.Length; at += 8192)
        {
            var length = Math.Min(8192, _left.Length - at);
            inspector.Add(_left.AsSpan(at, length), _right.AsSpan(at, length));
        }

        return inspector.Notes().Count;
    }
}
