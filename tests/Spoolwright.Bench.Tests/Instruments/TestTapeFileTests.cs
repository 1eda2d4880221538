using Spoolwright.Bench.Instruments;

namespace Spoolwright.Bench.Tests.Instruments;

public sealed class TestTapeFileTests
{
    internal const string Small = """
        {
          "name": "Level tape 19 (invented)",
          "speedCmPerS": 19.05,
          "equalization": "NAB",
          "fluxivityNWbPerM": 250,
          "recordedTracks": "full",
          "fringingCompensated": false,
          "tones": [
            { "frequencyHz": 1000, "levelDb": 0, "seconds": 20, "role": "reference", "uncertainty": 0.3 },
            { "frequencyHz": 10000, "levelDb": -10, "seconds": 20, "role": "azimuth" },
            { "frequencyHz": 31.5, "levelDb": -10, "seconds": 8, "role": "response" },
          ],
          "corrections": [ { "frequencyHz": 31.5, "db": -0.2, "uncertainty": 0.1 } ]
        }
        """;

    [Fact]
    public void Tape_AsTheContractHasIt_IsReadWhole()
    {
        var parsed = TestTapeFile.Parse(Small);

        Assert.Empty(parsed.Problems);
        var tape = Assert.IsType<TestTape>(parsed.Value);
        Assert.Equal(new TestTone(1000, 0, 20, ToneRole.Reference, 0.3), tape.Tones[0]);
        Assert.Equal(new TestTone(31.5, -10, 8, ToneRole.Response), tape.Tones[2]);
        Assert.Equal(new ToneCorrection(31.5, -0.2, 0.1), Assert.Single(tape.Corrections));
        Assert.Equal(RecordedTracksKind.Full, tape.RecordedTracks);
        Assert.False(tape.FringingCompensated);
    }

    [Fact]
    public void Tape_WithoutWhatMayBeAbsent_SaysItIsUnknown()
    {
        var tape = TestTapeFile
            .Parse("""{"name":"t","speedCmPerS":19.05,"tones":[{"frequencyHz":1000,"levelDb":0,"seconds":20,"role":"reference"}]}""")
            .Value!;

        Assert.Equal(RecordedTracksKind.Unknown, tape.RecordedTracks);
        Assert.Null(tape.FringingCompensated);
        Assert.Null(tape.Equalization);
        Assert.Null(tape.FluxivityNWbPerM);
        Assert.Empty(tape.Corrections);
    }

    [Theory]
    [InlineData("\"speedUncertaintyPercent\": 0.1, \"azimuthUncertaintyArcmin\": 3,")]
    [InlineData("\"speed\": { \"uncertaintyPercent\": 0.1 }, \"azimuth\": { \"uncertaintyArcmin\": 3 },")]
    [InlineData("\"speed\": { \"uncertainty\": 0.1 }, \"azimuth\": { \"uncertainty\": 3 },")]
    public void Uncertainty_OfSpeedAndAzimuth_IsReadInEveryForm(string form)
    {
        var parsed = TestTapeFile.Parse(Small.Replace("\"equalization\"", form + "\"equalization\"", StringComparison.Ordinal));

        Assert.Empty(parsed.Problems);
        Assert.Equal((0.1, 3.0), (parsed.Value!.SpeedUncertaintyPercent, parsed.Value.AzimuthUncertaintyArcmin));
    }

    [Fact]
    public void Speed_GivenWithItsUncertaintyInCmPerS_BecomesPercent()
    {
        var tape = TestTapeFile
            .Parse(Small.Replace("19.05,", "{ \"value\": 19.05, \"uncertainty\": 0.01905 },", StringComparison.Ordinal))
            .Value!;

        Assert.Equal((19.05, 0.1), (tape.SpeedCmPerS, tape.SpeedUncertaintyPercent));
    }

    [Fact]
    public void Remarks_OfTheirOwn_AreOnlyWarnedOf()
    {
        var parsed = TestTapeFile.Parse(
            Small.Replace("\"equalization\"", "\"boughtFrom\": { \"x\": [1, 2] }, \"equalization\"", StringComparison.Ordinal)
        );

        Assert.NotNull(parsed.Value);
        Assert.Equal("boughtFrom", Assert.Single(parsed.Warnings).Path);
    }

    [Fact]
    public void Tape_WithRecordedStrips_ReadsThemInOrder()
    {
        var tape = TestTapeFile
            .Parse(Small.Replace("\"full\"", "[{\"fromMm\":3.5,\"toMm\":4.5},{\"fromMm\":0,\"toMm\":1}]", StringComparison.Ordinal))
            .Value!;

        Assert.Equal(RecordedTracksKind.Bands, tape.RecordedTracks);
        Assert.Equal([new TrackBand(0, 1), new TrackBand(3.5, 4.5)], tape.RecordedBands);
    }

    [Theory]
    [InlineData("\"full\"", "\"same-as-deck\"")]
    [InlineData("\"full\"", "[{\"fromMm\":0,\"toMm\":1},{\"fromMm\":3.5,\"toMm\":4.5}]")]
    [InlineData("\"recordedTracks\": \"full\",", "\"speedUncertaintyPercent\": 0.2, \"azimuthUncertaintyArcmin\": 1,")]
    [InlineData("\"fringingCompensated\": false,", "")]
    public void Tape_WrittenAndRead_IsTheSame(string was, string becomes)
    {
        var tape = TestTapeFile.Parse(Small.Replace(was, becomes, StringComparison.Ordinal)).Value!;
        var again = TestTapeFile.Parse(TestTapeFile.ToJson(tape));

        Assert.Empty(again.Problems);
        Assert.Equivalent(tape, again.Value, strict: true);
    }

    [Theory]
    [InlineData("\"role\": \"reference\"", "\"role\": \"response\"", "tones", "no tone has the role \"reference\"")]
    [InlineData("\"role\": \"reference\"", "\"role\": \"referance\"", "tones[0].role", "did you mean \"reference\"?")]
    [InlineData("\"role\": \"azimuth\"", "\"roll\": \"azimuth\"", "tones[1]", "\"role\" is missing")]
    [InlineData("\"levelDb\": -10, \"seconds\": 8", "\"levelDb\": \"-10 dB\", \"seconds\": 8", "tones[2].levelDb", "expected a number")]
    [InlineData("\"frequencyHz\": 1000,", "\"frequencyHz\": 0,", "tones[0].frequencyHz", "above 0")]
    [InlineData("\"seconds\": 8", "\"seconds\": -8", "tones[2].seconds", "above 0")]
    [InlineData("\"full\"", "\"fulll\"", "recordedTracks", "did you mean \"full\"?")]
    [InlineData("\"full\"", "[]", "recordedTracks", "empty")]
    [InlineData(
        "\"full\"",
        "[{\"fromMm\":0,\"toMm\":1},{\"fromMm\":0.5,\"toMm\":2}]",
        "recordedTracks[1]",
        "overlaps the one from 0 to 1 mm"
    )]
    [InlineData("\"full\"", "[{\"fromMm\":0,\"toMm\":7}]", "recordedTracks[0].toMm", "from 0 to 6.35 mm")]
    [InlineData("\"fringingCompensated\": false", "\"fringingCompensated\": \"no\"", "fringingCompensated", "expected true or false")]
    [InlineData("\"uncertainty\": 0.3", "\"uncertainty\": -0.3", "tones[0].uncertainty", "from 0")]
    [InlineData("\"uncertainty\": 0.3", "\"uncertainty\": 0.3, \"uncertaintyDb\": 0.3", "tones[0].uncertaintyDb", "not both")]
    [InlineData("\"speedCmPerS\": 19.05,", "", "", "\"speedCmPerS\" is missing")]
    [InlineData(
        "\"equalization\"",
        "\"speedUncertaintyPercent\": 0.1, \"speed\": {\"uncertaintyPercent\": 0.2}, \"equalization\"",
        "speed.uncertaintyPercent",
        "stands twice"
    )]
    [InlineData("\"corrections\": [", "\"corrections\": [ { \"frequencyHz\": 31.5, \"db\": 1 }, ", "corrections[1]", "stands twice")]
    public void Tape_WithOneMistake_NamesPlaceAndRemedy(string was, string becomes, string path, string words)
    {
        Assert.Contains(was, Small, StringComparison.Ordinal);
        var at = Small.IndexOf(was, StringComparison.Ordinal);

        var parsed = TestTapeFile.Parse(Small[..at] + becomes + Small[(at + was.Length)..]);

        Assert.Null(parsed.Value);
        Assert.Contains(parsed.Errors, p => p.Path == path && p.Text.Contains(words, StringComparison.Ordinal));
    }

    [Fact]
    public void Tape_WithNoTones_IsRefused()
    {
        var parsed = TestTapeFile.Parse("""{"name":"t","speedCmPerS":19.05,"tones":[]}""");

        Assert.Null(parsed.Value);
        Assert.Contains("empty", Assert.Single(parsed.Problems).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Correction_ForAToneTheTapeHasNot_IsWarnedOfWithTheNearestTone()
    {
        var parsed = TestTapeFile.Parse(
            Small.Replace("\"frequencyHz\": 31.5, \"db\"", "\"frequencyHz\": 32, \"db\"", StringComparison.Ordinal)
        );

        Assert.NotNull(parsed.Value);
        Assert.Contains("did you mean 31.5?", Assert.Single(parsed.Warnings).Text, StringComparison.Ordinal);
    }
}
