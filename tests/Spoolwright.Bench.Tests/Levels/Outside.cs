using System.Diagnostics;
using System.Text.Json;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Tests.Levels;

/// <summary>Runs other programs (Debian's) on the same files; a missing one is a failed test.</summary>
internal static class Outside
{
    /// <summary>What a script of tests/references prints.</summary>
    public static JsonElement Script(string script, params string[] arguments) =>
        JsonDocument
            .Parse(Run("python3-scipy", "/usr/bin/python3", [Path.Combine(Root(), "tests", "references", script), .. arguments]))
            .RootElement.Clone();

    /// <summary>Runs a program; returns what it prints.</summary>
    public static string Run(string package, string program, params string[] arguments)
    {
        try
        {
            using var process = Process.Start(
                new ProcessStartInfo(program, arguments)
                {
                    RedirectStandardOutput = true,
                    RedirectStandardError = true,
                    UseShellExecute = false,
                }
            )!;
            var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
            var text = process.StandardOutput.ReadToEnd();
            process.WaitForExit();
            Assert.True(process.ExitCode == 0, $"{program} failed (Debian package {package}): {errors.Result}");
            return text + errors.Result;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Assert.Fail($"{program} is missing: install the Debian package {package}");
            throw;
        }
    }

    /// <summary>Writes sound as a floating WAV.</summary>
    public static void Write(string path, LevelSound sound, int rate)
    {
        using var stream = File.Create(path);
        using var writer = new WavWriter(stream, rate, 2, WavSamples.Float32);
        writer.Write(sound.Left, sound.Right);
    }

    /// <summary>Measures a file by an entry of the catalogue.</summary>
    public static MeasurementResult Measured(string id, string path, MeasurementSettings? settings = null)
    {
        using var stream = File.OpenRead(path);
        using var source = SoundFile.Open(stream);
        return Catalogue.Find(id)!.Measure!(source, settings ?? MeasurementSettings.None, null);
    }

    private static string Root()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "Spoolwright.slnx")))
        {
            folder = folder.Parent;
        }

        return folder?.FullName ?? throw new DirectoryNotFoundException("the repository's root lies above no test folder");
    }
}
