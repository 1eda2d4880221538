using System.Buffers.Binary;
using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.App.Tests.Cli;

/// <summary>A folder with a small capture, and entries whose method is a fixed answer: what is tested is the command line, not the
/// meters.</summary>
public sealed class SoundFixture : IDisposable
{
    public SoundFixture()
    {
        Folder = Directory.CreateTempSubdirectory("spoolwright-cli-").FullName;
        Capture = Path.Combine(Folder, "capture.wav");
        File.WriteAllBytes(Capture, Wav(frames: 48_000));
    }

    public string Folder { get; }

    /// <summary>One second of stereo at 48 kHz.</summary>
    public string Capture { get; }

    public string Write(string name, string text)
    {
        var path = Path.Combine(Folder, name);
        File.WriteAllText(path, text);
        return path;
    }

    /// <summary>The catalogue with one entry's method replaced.</summary>
    internal static IReadOnlyList<MeasurementEntry> Answering(string id, IReadOnlyList<Reading> readings, params Note[] notes) =>
        Doing(id, () => new MeasurementResult(id, readings, notes, []));

    internal static IReadOnlyList<MeasurementEntry> Doing(string id, Func<MeasurementResult> work) =>
        Doing(id, _ => work());

    internal static IReadOnlyList<MeasurementEntry> Doing(string id, Func<MeasurementSettings, MeasurementResult> work) =>
        [.. Catalogue.Entries.Select(e => e.Id == id ? e with { Measure = (sound, settings, progress) => work(settings) } : e)];

    public void Dispose() => Directory.Delete(Folder, recursive: true);

    private static byte[] Wav(int frames)
    {
        var bytes = new byte[44 + (frames * 4)];
        "RIFF"u8.CopyTo(bytes);
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(4), bytes.Length - 8);
        "WAVEfmt "u8.CopyTo(bytes.AsSpan(8));
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(16), 16);
        BinaryPrimitives.WriteInt16LittleEndian(bytes.AsSpan(20), 1);
        BinaryPrimitives.WriteInt16LittleEndian(bytes.AsSpan(22), 2);
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(24), 48_000);
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(28), 192_000);
        BinaryPrimitives.WriteInt16LittleEndian(bytes.AsSpan(32), 4);
        BinaryPrimitives.WriteInt16LittleEndian(bytes.AsSpan(34), 16);
        "data"u8.CopyTo(bytes.AsSpan(36));
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(40), frames * 4);
        for (var i = 0; i < frames * 2; i++)
            BinaryPrimitives.WriteInt16LittleEndian(
                bytes.AsSpan(44 + (i * 2)),
                (short)(20_000 * Math.Sin(2 * Math.PI * 3150 * (i / 2) / 48_000))
            );
        return bytes;
    }
}
