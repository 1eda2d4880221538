using System.Globalization;
using System.Security.Cryptography;
using System.Text.Json;
using Spoolwright.App.Cli;
using Spoolwright.Bench;
using Spoolwright.Signal;

namespace Spoolwright.App.Tests.Cli;

public sealed class OutputTests(SoundFixture sound) : IClassFixture<SoundFixture>
{
    [Fact]
    public void Json_OfAMeasurement_HasTheContractsFieldsInTheirTypes()
    {
        var run = CliRun.With(
            SoundFixture.Answering("speed", Answers.Speed, Note.Warning("clipped", "clipped at 0.3 s")),
            "measure",
            "speed",
            sound.Capture,
            "--json"
        );
        Assert.Equal((ExitCode.Done, ""), (run.Code, run.Error));
        using var json = JsonDocument.Parse(run.Output);
        var root = json.RootElement;
        Assert.Equal(["measurement", "capture", "readings", "notes"], root.EnumerateObject().Select(p => p.Name));
        Assert.Equal("speed", root.GetProperty("measurement").GetString());

        var capture = root.GetProperty("capture");
        Assert.Equal(["file", "sha256", "sampleRateHz", "channels", "seconds"], capture.EnumerateObject().Select(p => p.Name));
        Assert.Equal(sound.Capture, capture.GetProperty("file").GetString());
        Assert.Equal(
            Convert.ToHexStringLower(SHA256.HashData(File.ReadAllBytes(sound.Capture))),
            capture.GetProperty("sha256").GetString()
        );
        Assert.Equal(
            (48_000, 2, 1.0),
            (
                capture.GetProperty("sampleRateHz").GetInt32(),
                capture.GetProperty("channels").GetInt32(),
                capture.GetProperty("seconds").GetDouble()
            )
        );

        var readings = root.GetProperty("readings").EnumerateArray().ToList();
        Assert.Equal(Answers.Speed.Count, readings.Count);
        Assert.All(
            readings.Zip(Answers.Speed),
            pair =>
            {
                var (written, reading) = pair;
                Assert.Equal(
                    ["quantity", "value", "unit", "uncertainty", "channel", "frequencyHz", "method"],
                    written.EnumerateObject().Take(7).Select(p => p.Name)
                );
                Assert.Equal(reading.Quantity, written.GetProperty("quantity").GetString());
                Assert.Equal(reading.Value, written.GetProperty("value").GetDouble());
                Assert.Equal(reading.Uncertainty, NullableNumber(written.GetProperty("uncertainty")));
                Assert.Equal(reading.FrequencyHz, NullableNumber(written.GetProperty("frequencyHz")));
                Assert.Equal("both", written.GetProperty("channel").GetString());
            }
        );
        var note = root.GetProperty("notes").EnumerateArray().Single();
        Assert.Equal(["warning", "clipped", "clipped at 0.3 s"], note.EnumerateObject().Select(p => p.Value.GetString()));
    }

    [Fact]
    public void Json_WithLimits_HasTheirVerdicts()
    {
        var run = CliRun.With(
            SoundFixture.Answering("speed", Answers.Speed),
            "measure",
            "speed",
            sound.Capture,
            "--json", "--limit", "wow-flutter-quasi-peak=0.09", "--limit", "speed-error=1", "--limit", "wow-rms=0.1"
        );
        Assert.Equal(ExitCode.LimitNotMet, run.Code);
        using var json = JsonDocument.Parse(run.Output);
        var verdicts = json
            .RootElement.GetProperty("verdicts")
            .EnumerateArray()
            .Select(v =>
                $"{v.GetProperty("quantity").GetString()} {v.GetProperty("verdict").GetString()} {v.GetProperty("max").GetRawText()}"
            );
        Assert.Equal(["wow-flutter-quasi-peak not-met 0.09", "speed-error met 1", "wow-rms not-measured 0.1"], verdicts);
    }

    [Theory]
    [InlineData(0.1)]
    [InlineData(1.0 / 3.0)]
    [InlineData(6.02214076e-12)]
    [InlineData(-0.0)]
    public void Numbers_InJsonAndCsv_ComeBackAsTheSameDouble(double value)
    {
        var entries = SoundFixture.Answering("speed", [Answers.Of(Quantity.SpeedError, value, Math.Abs(value))]);
        using var json = JsonDocument.Parse(CliRun.With(entries, "measure", "speed", sound.Capture, "--json").Output);
        Assert.Equal(
            BitConverter.DoubleToInt64Bits(value),
            BitConverter.DoubleToInt64Bits(json.RootElement.GetProperty("readings")[0].GetProperty("value").GetDouble())
        );
        var fields = CliRun.With(entries, "measure", "speed", sound.Capture, "--csv").Output.Split('\n')[1].Split(',');
        Assert.Equal(
            BitConverter.DoubleToInt64Bits(value),
            BitConverter.DoubleToInt64Bits(double.Parse(fields[3], CultureInfo.InvariantCulture))
        );
    }

    [Theory]
    [InlineData("--json")]
    [InlineData("--csv")]
    public void Numbers_ThatAreNotFinite_NeverLeaveTheProgram(string format)
    {
        var entries = SoundFixture.Answering("speed", [Answers.Of(Quantity.SpeedError, double.NaN, 0.1)]);
        Assert.Throws<ArgumentException>(() => CliRun.With(entries, "measure", "speed", sound.Capture, format));
    }

    [Fact]
    public void Csv_OfAMeasurement_HasOneLineAReadingAndNotesAside()
    {
        var quoted = Answers.Of(Quantity.SpeedError, 0.5, null) with { Method = "one, \"two\"" };
        var run = CliRun.With(
            SoundFixture.Answering("speed", [quoted, .. Answers.Speed], Note.Hint("h", "a hint")),
            "measure",
            "speed",
            sound.Capture,
            "--csv"
        );
        var lines = run.Output.TrimEnd('\n').Split('\n');
        Assert.Equal(2 + Answers.Speed.Count, lines.Length);
        Assert.StartsWith(
            "file,measurement,quantity,value,unit,uncertainty,channel,frequencyHz,verdict,",
            lines[0],
            StringComparison.Ordinal
        );
        Assert.Contains(",speed-error,0.5,%,,both,,,", lines[1], StringComparison.Ordinal);
        Assert.Contains(",\"one, \"\"two\"\"\",", lines[1], StringComparison.Ordinal);
        Assert.Equal("hint: a hint\n", run.Error);
    }

    [Theory]
    [InlineData("speed")]
    [InlineData("playback")]
    public void Table_Piped_IsAsApprovedInEightyColumnsWithoutEscapes(string id)
    {
        string[] limits =
            id == "speed" ? ["speed-error=0.4", "wow-flutter-quasi-peak=0.1", "wow-rms=0.1"] : ["response=-3..3", "channel-balance=1"];
        var tape = sound.Write(
            "tape.json",
            """{ "name": "Sample tape", "speedCmPerS": 19.05, "tones": [{ "frequencyHz": 1000, "levelDb": 0, "seconds": 10, "role": "reference" }, { "frequencyHz": 10000, "levelDb": -10, "seconds": 10, "role": "response" }] }"""
        );
        var entries = SoundFixture.Answering(
            id,
            id == "speed" ? Answers.Speed : Answers.Playback,
            Note.Hint("short", "the capture is short, so that slow parts may be missed; capture thirty seconds or more"),
            Note.Warning("clipped", "left is clipped at 0.3 s")
        );
        var run = CliRun.With(
            entries,
            ["measure", id, sound.Capture, "--test-tape", tape, .. limits.SelectMany(l => (string[])["--limit", l])]
        );
        Assert.Equal(ExitCode.LimitNotMet, run.Code);
        Assert.DoesNotContain('\u001b', run.Output);
        var text = string.Join(
            '\n',
            run.Output.Replace(sound.Folder, "/captures", StringComparison.Ordinal).Split('\n').Select(l => l.TrimEnd())
        );
        Assert.DoesNotContain(text.Split('\n'), line => line.Length > 80);
        Approved.Equal(text, "table-" + id);
    }

    [Theory]
    [InlineData(0.4521, 0.0023, "0.4521 ± 0.0023")]
    [InlineData(0.4521, 0.0996, "0.45 ± 0.10")]
    [InlineData(1234.5, 120.0, "1230 ± 120")]
    [InlineData(-0.0004, 0.013, "0.000 ± 0.013")]
    [InlineData(-12.0312, 0.0101, "-12.031 ± 0.010")]
    [InlineData(3.0, 2.0, "3.0 ± 2.0")]
    [InlineData(0.06123, null, "0.06123 ± ?")]
    [InlineData(12345.6, null, "12350 ± ?")]
    [InlineData(0.0, null, "0 ± ?")]
    public void Figure_WithItsUncertainty_IsRoundedToItsSecondDigit(double value, double? uncertainty, string expected) =>
        Assert.Equal(expected, UncertainFigure.Format(value, uncertainty));

    [Theory]
    [InlineData("%", -0.7681736, 0.0000027, true, "-0.768 ± < 0.001")]
    [InlineData("%", -0.7681736, 0.0023, true, "-0.768 ± 0.002")]
    [InlineData("%", 0.00279, 0.00025, false, "0.00279 ± 0.00025")]
    [InlineData("%", 0.001, 0.0000004, false, "0.00100 ± < 0.00001")]
    [InlineData("dBFS", -79.18251, 0.0034, true, "-79.183 ± 0.003")]
    [InlineData("dB", 0.0000010, 0.0000010, false, "0.000 ± < 0.001")]
    [InlineData("µs", 0.0, 0.0, false, "0.000 ± < 0.001")]
    [InlineData("1", 3.0, 0.0, false, "3 ± 0")]
    [InlineData("1/min", 3.50069, 0.0, false, "3.5 ± 0")]
    [InlineData("N·m", 0.0470719, null, true, "0.04707 ± ?")]
    [InlineData("N·m", 0.0470719, 0.0019, true, "0.0471 ± 0.0019")]
    [InlineData("dB", 2.5, 0.0, false, "2.5 ± 0")]
    [InlineData("%", 0.061234, null, true, "0.061 ± ?")]
    [InlineData("dB", 12.34, 0.52, true, "12.34 ± 0.52")]
    public void Figure_OfAReading_IsNoFinerThanWhatIsKnown(string unit, double value, double? uncertainty, bool unknown, string expected)
    {
        var reading = Answers.Of(Quantity.SpeedError, value, uncertainty) with
        {
            Unit = unit,
            Parts = [new("noise", uncertainty ?? 0), .. unknown ? (UncertaintyPart[])[new("interface-clock", null)] : []],
        };
        Assert.Equal(expected, UncertainFigure.Format(reading));
    }

    [Fact]
    public void Table_OfReadingsWithUnknownParts_SaysWhatTheUncertaintyLeavesOut()
    {
        Reading[] readings =
        [
            Answers.Of(Quantity.SpeedError, -0.7681736, 0.0000027) with
            {
                Parts = [new("noise", 0.0000027), new("interface-clock", null), new("test-tape", null)],
            },
            Answers.Of(Quantity.Drift, 0.01, 0.002) with
            {
                Parts = [new("noise", 0.002)],
            },
        ];
        var run = CliRun.With(SoundFixture.Answering("speed", readings), "measure", "speed", sound.Capture);
        Assert.Contains("-0.768 ± < 0.001", run.Output, StringComparison.Ordinal);
        Assert.Contains(
            "± leaves out what is not known: interface clock (--clock-uncertainty), test tape",
            run.Output,
            StringComparison.Ordinal
        );
        Assert.Contains("(of speed-error)", run.Output.ReplaceLineEndings(" "), StringComparison.Ordinal);
        // The contract's object is for programs and stays exact.
        Assert.Contains(
            "-0.7681736",
            CliRun.With(SoundFixture.Answering("speed", readings), "measure", "speed", sound.Capture, "--json").Output,
            StringComparison.Ordinal
        );
    }

    // A tone read over 5.8 s and one over 5.9 s are read the same way; another quantity, or another standard, is not.
    [Fact]
    public void Methods_ThatDifferInANumberAlone_AreToldOnce()
    {
        Reading Of(Quantity quantity, string method) => Answers.Of(quantity, 0.1, 0.01) with { Method = method };
        Reading[] readings =
        [
            Of(Quantity.SpeedError, "averaged over 5.8 s [AES6:2008]"),
            Of(Quantity.SpeedError, "averaged over 5.9 s [AES6:2008]"),
            Of(Quantity.SpeedError, "averaged over 5.9 s [IEC60386:1988]"),
            Of(Quantity.Drift, "averaged over 4 s [AES6:2008]"),
        ];
        var output = CliRun.With(SoundFixture.Answering("speed", readings), "measure", "speed", sound.Capture).Output;
        var how = output[output.IndexOf("How (", StringComparison.Ordinal)..].Split('\n').Skip(1).Where(l => l.Trim().Length > 0);
        Assert.Equal(
            [
                "  speed-error: averaged over … s [AES6:2008]",
                "  speed-error: averaged over 5.9 s [IEC60386:1988]",
                "  drift: averaged over 4 s [AES6:2008]",
                "  … is a number of the single figure's own, which --json and --csv have.",
            ],
            how.Select(l => l.TrimEnd())
        );
    }

    private static double? NullableNumber(JsonElement element) => element.ValueKind == JsonValueKind.Null ? null : element.GetDouble();
}
