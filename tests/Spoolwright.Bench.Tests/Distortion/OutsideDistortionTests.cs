using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Tests.Distortion;

/// <summary>
/// The same WAV files measured by SciPy and NumPy (tests/references/distortion.py) in two ways: a transform of a whole number of periods,
/// and a sine fit with harmonics whose frequency is an unknown too [IEEE1057:2017].
/// </summary>
public sealed class OutsideDistortionTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("distortion").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData(1000, 48000, WavSamples.Float32, -200.0)]
    [InlineData(315, 44100, WavSamples.Integer16, -70.0)]
    [InlineData(1000, 96000, WavSamples.Float32, -80.0)]
    public void SteadyTone_OfACurve_AgreesWithSciPy(int hz, int rate, WavSamples samples, double noiseDb)
    {
        // A curve with harmonics of every order, and no law behind it that the test would know.
        double Curve(double x) => (0.9 * Math.Tanh(x)) + (0.01 * Math.Exp(x)) - (0.004 * Math.Abs(x));
        var sound = new TapeSound { RateHz = rate, FrequencyHz = hz, Amplitude = _ => 0.5, Seconds = 3, Curve = Curve, NoiseDb = noiseDb };
        var path = Path.Combine(_folder, "tone.wav");
        var (left, right) = sound.Samples(7);
        using (var stream = File.Create(path))
        using (var writer = new WavWriter(stream, rate, 2, samples, ditherSeed: 3))
        {
            writer.Write(left, right);
        }

        var theirs = SciPy(path, hz);
        using var file = SoundFile.Open(File.OpenRead(path));
        var ours = DistortionMeasurement.Measure(file, MeasurementSettings.None, null);
        foreach (var channel in new[] { Channel.Left, Channel.Right })
        {
            double Ours(string quantity) => ours.Readings.Single(r => r.Quantity == quantity && r.Channel == channel).Value;
            var byFft = theirs.GetProperty("fft")[(int)channel - 1];
            var byFit = theirs.GetProperty("fit")[(int)channel - 1];

            // Their transform leaves the noise in its bins: at −70 dB in 20 kHz over 3 s, 0.0002 % of the tone in each.
            Assert.Equal(byFft.GetProperty("third").GetDouble(), Ours("third-harmonic"), 0.0006);
            Assert.Equal(byFft.GetProperty("second").GetDouble(), Ours("second-harmonic"), 0.0006);
            Assert.Equal(byFft.GetProperty("thd").GetDouble(), Ours("thd"), 0.0006);
            Assert.Equal(byFit.GetProperty("third").GetDouble(), Ours("third-harmonic"), 0.001);
            Assert.Equal(byFit.GetProperty("second").GetDouble(), Ours("second-harmonic"), 0.001);
        }
    }

    private static JsonElement SciPy(string path, int hz)
    {
        var root = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(root!.FullName, "Spoolwright.slnx")))
        {
            root = root.Parent;
        }

        var script = Path.Combine(root.FullName, "tests", "references", "distortion.py");
        using var process = Process.Start(
            new ProcessStartInfo("/usr/bin/python3", [script, path, hz.ToString(CultureInfo.InvariantCulture)])
            {
                RedirectStandardOutput = true,
                RedirectStandardError = true,
                UseShellExecute = false,
            }
        )!;
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        var text = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Assert.True(process.ExitCode == 0, $"python3 failed (Debian package python3-scipy): {errors.Result}");
        return JsonDocument.Parse(text).RootElement.Clone();
    }
}
