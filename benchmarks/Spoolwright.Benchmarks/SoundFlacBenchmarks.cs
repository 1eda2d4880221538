using System.Diagnostics;
using BenchmarkDotNet.Attributes;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Benchmarks;

/// <summary>
/// Decoding FLAC: whether a packed capture still leaves time for measuring. Ten seconds of a 96 kHz, 24-bit stereo tone with hiss,
/// packed by the system's <c>flac</c> at its lightest, usual and heaviest level.
/// </summary>
[MemoryDiagnoser]
public class SoundFlacBenchmarks
{
    private readonly float[] _left = new float[8192];
    private readonly float[] _right = new float[8192];
    private byte[] _file = [];

    /// <summary>Level of packing.</summary>
    [Params(0, 5, 8)]
    public int Level { get; set; }

    /// <summary>Packs the capture.</summary>
    [GlobalSetup]
    public void Setup()
    {
        var folder = Directory.CreateTempSubdirectory("spoolwright-bench-").FullName;
        var wav = Path.Combine(folder, "capture.wav");
        File.WriteAllBytes(wav, SoundMaterial.Wav(10, WavSamples.Integer24));
        using (var flac = Process.Start("flac", $"--totally-silent -{Level} {wav}"))
            flac.WaitForExit();
        _file = File.ReadAllBytes(Path.ChangeExtension(wav, ".flac"));
        Directory.Delete(folder, recursive: true);
    }

    /// <summary>Reads it to its end; returns its frames.</summary>
    [Benchmark]
    public long ReadFlac()
    {
        using var reader = SoundFile.Open(new MemoryStream(_file));
        return SoundMaterial.ReadAll(reader, _left, _right);
    }
}
