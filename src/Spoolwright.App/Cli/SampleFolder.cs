using System.Text;
using Spoolwright.Bench.Samples;
using Spoolwright.Reports.Samples;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Cli;

/// <summary>The folder that holds a sample's files.</summary>
internal sealed class SampleFolder
{
    private SampleFolder(string path) => Path = path;

    public string Path { get; }

    /// <summary>Makes the folder, or takes an empty one.</summary>
    /// <exception cref="CallException">It holds something, or cannot be made.</exception>
    public static SampleFolder Make(string path) => OrCallException(path, () =>
    {
        if (File.Exists(path))
            throw new CallException($"--out: {path} is a file; name a folder");
        if (Directory.Exists(path) && Directory.EnumerateFileSystemEntries(path).Any())
            throw new CallException($"--out: the folder {path} is not empty; name another");
        Directory.CreateDirectory(path);
        return new SampleFolder(path);
    });

    /// <summary>Writes everything.</summary>
    public void Write(SwitchingSample sample, SampleComparison comparison, string title) =>
        OrCallException(
            Path,
            () =>
            {
                Save("switching.wav", Wav(sample.Switching, WavSamples.Integer24));
                Save("difference.wav", Wav(sample.Difference, WavSamples.Integer24));
                Save("source.wav", Wav(sample.Source, WavSamples.Integer24));
                Save("tape.wav", Wav(sample.Tape, WavSamples.Integer24));
                Save("sample.json", Encoding.UTF8.GetBytes(SampleFigures.Json(comparison)));
                using var page = new StreamWriter(
                    System.IO.Path.Combine(Path, "sample.html"),
                    append: false,
                    new UTF8Encoding(encoderShouldEmitUTF8Identifier: false)
                );
                SamplePage.Write(page, title, comparison, Wav(sample.Source, WavSamples.Integer16), Wav(sample.Tape, WavSamples.Integer16));
                return 0;
            }
        );

    private void Save(string name, byte[] bytes) => File.WriteAllBytes(System.IO.Path.Combine(Path, name), bytes);

    private static byte[] Wav(SampleSound sound, WavSamples samples)
    {
        using var stream = new MemoryStream();
        using (var writer = new WavWriter(stream, sound.SampleRateHz, 2, samples, ditherSeed: 1, leaveOpen: true))
            writer.Write(sound.Left, sound.Right);
        return stream.ToArray();
    }

    private static T OrCallException<T>(string path, Func<T> write)
    {
        try
        {
            return write();
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw new CallException($"--out: the folder {path} cannot be written: {e.Message}");
        }
    }
}
