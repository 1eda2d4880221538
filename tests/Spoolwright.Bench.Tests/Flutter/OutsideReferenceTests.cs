using System.Diagnostics;
using System.Text.Json;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Standards;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Tests.Flutter;

/// <summary>
/// The same WAV files measured by a plain pipeline of SciPy (tests/references/flutter.py), which draws the weighting through the points of
/// the published table; and tones made and sped up by SoX, which knows nothing of this meter. Both are Debian's; a missing one is a failed
/// test.
/// </summary>
public sealed class OutsideReferenceTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("flutter").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData(44100, WavSamples.Integer16, 60.0)]
    [InlineData(48000, WavSamples.Float32, 40.0)]
    [InlineData(96000, WavSamples.Integer16, 70.0)]
    public void Meter_OnADecksFlutter_AgreesWithSciPy(int rateHz, WavSamples samples, double snrDb)
    {
        SpeedLine[] lines =
        [
            new(0.85, 0.03, 1),
            new(3.4, 0.02, 2),
            new(6.1, 0.03, 0.3),
            new(17.2, 0.02, 0.9),
            new(44, 0.012),
            new(88, 0.01, 3),
        ];
        var sound = new SpeedSound
        {
            RateHz = rateHz,
            Seconds = 16,
            ErrorPercent = 0.37,
            SnrDb = snrDb,
            Lines = lines,
        };
        var path = Path.Combine(_folder, "deck.wav");
        var (left, right) = sound.Samples();
        using (var stream = File.Create(path))
        using (var writer = new WavWriter(stream, rateHz, 2, samples, ditherSeed: 3))
        {
            writer.Write(left, right);
        }

        var theirs = SciPy(path);
        var ours = Measured(path);
        double Theirs(string name) => theirs.GetProperty(name).GetDouble();
        Assert.Equal(Theirs("speedErrorPercent"), Value(ours, "speed-error"), 0.0001);

        // The formula passes within 0.3 dB (3.5 %) of the table's points, so readings by the two differ by no more; by the same formula,
        // through SciPy's own evaluation of it, they agree as far as the capture's ends allow.
        Assert.Equal(Theirs("weightedRms"), Value(ours, "wow-flutter-rms"), 0.035 * Theirs("weightedRms"));
        Assert.Equal(Theirs("twoSigma"), Value(ours, "wow-flutter-two-sigma"), 0.05 * Theirs("twoSigma"));
        Assert.Equal(Theirs("fitRms"), Value(ours, "wow-flutter-rms"), 0.006 * Theirs("fitRms"));
        Assert.Equal(Theirs("unweightedRms"), Value(ours, "wow-flutter-unweighted-rms"), 0.01 * Theirs("unweightedRms"));
        var found = ours.Readings.Where(r => r.Quantity == "flutter-line").ToArray();
        var peaks = theirs.GetProperty("lines").EnumerateArray().Select(p => (Hz: p[0].GetDouble(), Peak: p[1].GetDouble())).ToArray();
        Assert.Equal(lines.Length, peaks.Length);
        foreach (var (hz, peak) in peaks)
        {
            var line = found.MinBy(l => Math.Abs(l.FrequencyHz!.Value - hz))!;
            Assert.Equal(hz, line.FrequencyHz!.Value, 0.07); // a bin of theirs
            Assert.Equal(peak, line.Value, Math.Max(0.02 * peak, line.Uncertainty!.Value));
        }
    }

    [Theory]
    [InlineData(1.0)]
    [InlineData(1.0123)]
    [InlineData(0.9871)]
    public void Meter_OnATonePlayedByAnotherProgram_FindsItsSpeedAndNoFlutter(double speed)
    {
        var path = Path.Combine(_folder, "sox.wav");
        Run("sox", "sox", "-D", "-n", "-r", "48000", "-b", "24", "-c", "2", path, "synth", "9", "sine", "3150", "gain", "-9",
            "speed", speed.ToString(System.Globalization.CultureInfo.InvariantCulture), "rate", "-v", "48000");
        var ours = Measured(path);

        // Its resampler holds the ratio to parts in 10^9 and its ripple under −120 dB (common practice, no source).
        Assert.Equal(100 * (speed - 1), Value(ours, "speed-error"), 0.0002);
        Assert.InRange(Value(ours, "wow-flutter-rms"), 0, 0.0001);
        Assert.InRange(Value(ours, "wow-flutter-two-sigma"), 0, 0.0002);
    }

    private static double Value(MeasurementResult result, string quantity) => result.Readings.Single(r => r.Quantity == quantity).Value;

    private static MeasurementResult Measured(string path)
    {
        using var stream = File.OpenRead(path);
        using var source = SoundFile.Open(stream);
        return SpeedMeasurement.Measure(source, MeasurementSettings.None with { NominalHz = 3150 }, null);
    }

    private JsonElement SciPy(string path)
    {
        var table = Path.Combine(_folder, "table.json");
        File.WriteAllText(table, JsonSerializer.Serialize(Iec60386Edition1988.Weighting.Select(r => new[] { r.Hz, r.Db })));
        var json = Run("python3-scipy", "/usr/bin/python3", Path.Combine(Root(), "tests", "references", "flutter.py"), path, "3150", table);
        return JsonDocument.Parse(json).RootElement.Clone();
    }

    private static string Run(string package, string program, params string[] arguments)
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
            return text;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Assert.Fail($"{program} is missing: install the Debian package {package}");
            throw;
        }
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
