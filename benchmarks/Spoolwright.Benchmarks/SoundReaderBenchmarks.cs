using BenchmarkDotNet.Attributes;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Benchmarks;

/// <summary>
/// Reading files of unpacked samples from memory in blocks of 8192 frames: whether a capture is read at the speed of memory,
/// so that reading never bounds a measurement. One second and one minute of a 96 kHz stereo capture.
/// </summary>
[MemoryDiagnoser]
public class SoundReaderBenchmarks
{
    private readonly float[] _left = new float[8192];
    private readonly float[] _right = new float[8192];
    private byte[] _file = [];

    /// <summary>Length of the capture in s.</summary>
    [Params(1, 60)]
    public int Seconds { get; set; }

    /// <summary>How its samples are stored.</summary>
    [Params(WavSamples.Integer16, WavSamples.Integer24, WavSamples.Float32)]
    public WavSamples Samples { get; set; }

    /// <summary>Writes the capture.</summary>
    [GlobalSetup]
    public void Setup() => _file = SoundMaterial.Wav(Seconds, Samples);

    /// <summary>Reads it to its end; returns its frames.</summary>
    [Benchmark]
    public long ReadWav()
    {
        using var reader = SoundFile.Open(new MemoryStream(_file));
        return SoundMaterial.ReadAll(reader, _left, _right);
    }
}
