using System.Diagnostics;
using System.Globalization;
using System.Runtime.CompilerServices;
using System.Text.Json;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Tests.Tones;

/// <summary>The same files measured by other programs: a sine fit after [IEEE1057:2017], cross-spectrum and flat-top window in SciPy, and
/// SoX's own tones and meter.</summary>
public sealed class ToneReferenceTests : IDisposable
{
    private readonly string _file = Path.Combine(Path.GetTempPath(), Path.GetRandomFileName() + ".wav");

    public void Dispose() => File.Delete(_file);

    [Fact]
    public void Tones_SteadyCapture_AgreeWithSineFitAndCrossSpectrum()
    {
        TestTone[] tones = [new(1000, 0, 2, ToneRole.Reference), new(63, -10, 3, ToneRole.Response), new(10000, -10, 2, ToneRole.Response)];
        var tape = new TestTape
        {
            Name = "Reference",
            SpeedCmPerS = 19.05,
            Tones = tones,
        };
        var deck = new CaptureSettings
        {
            Flutter = 0,
            GainDb = -10,
            RightDb = -3,
            TrebleDb = -3,
            BassDb = 2,
            NoiseDb = -55,
            SkewMicroseconds = 7,
            Speed = 1.004,
        };
        var sound = TapeCapture.Make(
            [new(null, 0.5), .. tones.SelectMany(t => new Stretch[] { new(t, t.Seconds), new(null, 0.5) })],
            deck,
            9
        );
        WriteFloatWav(sound);
        double at = 0.5;
        var arguments = new List<string> { Path.Combine(References(), "tones.py"), _file };
        foreach (var tone in tones)
        {
            arguments.AddRange(
                new[] { tone.FrequencyHz * deck.Speed, at + 0.02, at + tone.Seconds - 0.02 }.Select(v =>
                    v.ToString("R", CultureInfo.InvariantCulture)
                )
            );
            at += tone.Seconds + 0.5;
        }

        using var others = JsonDocument.Parse(Run("/usr/bin/python3", "python3-numpy, python3-scipy", [.. arguments]));
        using var stream = File.OpenRead(_file);
        using var source = SoundFile.Open(stream);
        var read = TapeTones.Read(source, tones, null);
        var playback = PlaybackMeasurement.Report(read, tape, new() { TestTape = tape }).Readings;
        var left = new double[tones.Length];
        for (var i = 0; i < tones.Length; i++)
        {
            var other = others.RootElement[i];
            double Of(string name) => other.GetProperty(name).GetDouble();
            var figures = read.Found.Single(f => f.Tone == tones[i]).Figures;

            // Both know the tone only as far as the same noise lets them; ours from a part of the stretch.
            Assert.Equal(Of("left"), figures.Left.LevelDb, 1.5 * figures.Left.LevelNoiseDb);
            Assert.Equal(Of("left3"), figures.Left.LevelDb, 1.5 * figures.Left.LevelNoiseDb);
            Assert.Equal(Of("right"), figures.Right!.Value.LevelDb, 1.5 * figures.Right.Value.LevelNoiseDb);
            Assert.Equal(Of("leftFlatTop"), figures.Left.LevelDb, (3 * figures.Left.LevelNoiseDb) + 0.01);
            Assert.Equal(Of("phase"), figures.Phase!.Value.Value, 2 * figures.Phase.Value.Noise);
            Assert.Equal(Of("frequency"), figures.FrequencyHz, 1e-5 * tones[i].FrequencyHz);
            left[i] = Of("left") - tones[i].LevelDb;
        }

        for (var i = 1; i < tones.Length; i++)
        {
            var response = playback.Single(r =>
                r.Quantity == "response" && r.Channel == Channel.Left && r.FrequencyHz.Equals(tones[i].FrequencyHz)
            );
            Assert.Equal(left[i] - left[0], response.Value, 1.5 * response.Uncertainty!.Value);
        }
    }

    [Theory]
    [InlineData(1000, -6)]
    [InlineData(100, -20)]
    [InlineData(10000, -30)]
    public void Level_ToneOfSox_IsWhatSoxMadeAndMeters(double hz, double level)
    {
        Run(
            "sox",
            "sox",
            ["-n", "-r", "48000", "-c", "2", "-b", "32", "-e", "floating-point", _file, "synth", "3", "sine", Word(hz), "gain", Word(level)]
        );
        var stats = Run("sox", "sox", [_file, "-n", "stats"]);
        var rms = double.Parse(
            stats
                .Split('\n')
                .Single(l => l.StartsWith("RMS lev dB", StringComparison.Ordinal))
                .Split(' ', StringSplitOptions.RemoveEmptyEntries)[3],
            CultureInfo.InvariantCulture
        );
        using var stream = File.OpenRead(_file);
        using var source = SoundFile.Open(stream);
        var figures = TapeTones.Read(source, [new(hz, 0, 3, ToneRole.Reference)], null).Found[0].Figures;
        Assert.Equal(level, figures.Left.LevelDb, 0.001);
        Assert.Equal(rms + (10 * Math.Log10(2)), figures.Left.LevelDb, 0.006); // it prints two decimals
        Assert.Equal(0, figures.Phase!.Value.Value, 1e-4);
        Assert.Equal(hz, figures.FrequencyHz, 1e-4);
    }

    private static string Word(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    private static string References([CallerFilePath] string here = "") =>
        Path.Combine(Path.GetDirectoryName(here)!, "..", "..", "references");

    private static string Run(string program, string package, string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments)
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
        };
        try
        {
            using var process = Process.Start(start)!;
            var error = process.StandardError.ReadToEndAsync();
            var output = process.StandardOutput.ReadToEnd();
            process.WaitForExit();
            Assert.True(process.ExitCode == 0, $"{program} failed (Debian: {package}): {error.Result}");
            return output + error.Result;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Assert.Fail($"{program} is not there; it comes with Debian's {package}.");
            throw;
        }
    }

    private void WriteFloatWav(MemorySound sound)
    {
        using var writer = new BinaryWriter(File.Create(_file));
        var bytes = sound.LeftSamples.Length * 8;
        writer.Write("RIFF"u8);
        writer.Write(36 + bytes);
        writer.Write("WAVEfmt "u8);
        writer.Write(16);
        writer.Write((short)3);
        writer.Write((short)2);
        writer.Write(sound.SampleRateHz);
        writer.Write(sound.SampleRateHz * 8);
        writer.Write((short)8);
        writer.Write((short)32);
        writer.Write("data"u8);
        writer.Write(bytes);
        for (var i = 0; i < sound.LeftSamples.Length; i++)
        {
            writer.Write(sound.LeftSamples[i]);
            writer.Write(sound.RightSamples[i]);
        }
    }
}
