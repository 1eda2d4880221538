using System.Diagnostics;
using System.Globalization;
using System.Runtime.CompilerServices;
using System.Text.Json;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Tests.Bias;
using Spoolwright.Bench.Tests.Tones;
using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Tests.Record;

/// <summary>The same files measured by SciPy: sine fits [IEEE1057:2017], its hyperbolic chirp, its Hilbert envelope.</summary>
public sealed class RecordReferenceTests : IDisposable
{
    private readonly string _file = Path.Combine(Path.GetTempPath(), Path.GetRandomFileName() + ".wav");

    public void Dispose() => File.Delete(_file);

    [Fact]
    public void ResponseAndMarker_SteadyTape_AgreeWithSineFitAndCorrelation()
    {
        var program = ProgramList.Make(ProgramList.Find("response")!);
        var sound = TapedProgram.Play(program, new() { HissDb = -75, CornerHz = 9000 });
        Write(sound);
        var steps = program.Steps.Where(s => s.Tones[0].FrequencyHz is 63 or 1000 or 6300 or 12500).ToArray();
        using var others = JsonDocument.Parse(
            Python(
                "tones.py",
                [
                    _file,
                    .. steps
                        .SelectMany(s => new[] { s.Tones[0].FrequencyHz, s.StartSeconds + 0.6, s.StartSeconds + s.Seconds + 0.4 })
                        .Select(Word),
                ]
            )
        );
        var result = RecordMeasurement.Measure(sound, MeasurementSettings.None, null);
        var level = steps.Select((s, i) => (s.Tones[0].FrequencyHz, Db: others.RootElement[i].GetProperty("left").GetDouble())).ToArray();
        var reference = level
            .Where(l => l.FrequencyHz.Equals(1000))
            .Take(1)
            .Concat(level.Where(l => l.FrequencyHz.Equals(1000)).TakeLast(1))
            .Average(l => l.Db);
        foreach (var (hz, db) in level.Where(l => !l.FrequencyHz.Equals(1000)))
        {
            var response = result.Readings.Single(r => r is { Quantity: "response", Channel: Channel.Left } && r.FrequencyHz.Equals(hz));
            Assert.Equal(db - reference, response.Value, 1.5 * response.Uncertainty!.Value);
        }

        var search = new MarkerSearch(sound.SampleRateHz, 2);
        search.Add(sound.LeftSamples, sound.RightSamples);
        var marker = search.Finish().First(m => m.CaptureChannel == 0);
        var up = MarkerCode.Encode(program.Number, program.Variant)[0];
        var theirs = double.Parse(
            Python(
                "marker.py",
                [_file, Word(MarkerSweep.LowestHz), Word(MarkerSweep.HighestHz), Word(MarkerSweep.Seconds), up ? "1" : "0"]
            ),
            CultureInfo.InvariantCulture
        );
        Assert.Equal(theirs, marker.StartSeconds, 2e-5);
    }

    [Fact]
    public void BiasPeakAndDrop_TurnedSlowly_AgreeWithHilbertEnvelope()
    {
        var sound = BiasTurn.Sound("up", -30, true, 11);
        Write(sound);
        using var others = JsonDocument.Parse(Python("bias.py", [_file, "10000"]));
        var result = BiasMeasurement.Measure(sound, MeasurementSettings.None, null);
        for (var i = 0; i < 2; i++)
        {
            double Of(string name) => others.RootElement[i].GetProperty(name).GetDouble();
            var channel = i == 0 ? Channel.Left : Channel.Right;
            Assert.Equal(Of("peak"), result.Readings.Single(r => r.Quantity == "bias-peak" && r.Channel == channel).Value, 0.06);
            Assert.Equal(Of("peak") - Of("end"), result.Readings.Single(r => r.Quantity == "overbias" && r.Channel == channel).Value, 0.1);
        }
    }

    private static string Word(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    private static string Python(string script, string[] arguments, [CallerFilePath] string here = "")
    {
        var path = Path.Combine(Path.GetDirectoryName(here)!, "..", "..", "references", script);
        using var process = Process.Start(
            new ProcessStartInfo("/usr/bin/python3", [path, .. arguments])
            {
                RedirectStandardOutput = true,
                RedirectStandardError = true,
                UseShellExecute = false,
            }
        )!;
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Assert.True(process.ExitCode == 0, $"{script} failed (Debian: python3-numpy, python3-scipy): {error.Result}");
        return output;
    }

    private void Write(MemorySound sound)
    {
        using var writer = new WavWriter(File.Create(_file), sound.SampleRateHz, 2, WavSamples.Float32);
        writer.Write(sound.LeftSamples, sound.RightSamples);
    }
}
