using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Files;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Bench.Tests.Decks;

public sealed class DeckProfileFileTests
{
    internal const string Small = """
        {
          // A deck that nobody ever built.
          "name": "Hazelbrook 2 (invented)",
          "directions": ["forward", "reverse"],
          "speedsCmPerS": [9.525, 19.05],
          "tapeSettings": ["normal", "high"],
          "tracks": [
            { "direction": "forward", "left": { "fromMm": 0, "toMm": 1 }, "right": { "fromMm": 3.5, "toMm": 4.5 } },
            { "direction": "reverse", "left": { "fromMm": 5.25, "toMm": 6.25 }, "right": { "fromMm": 1.75, "toMm": 2.75 } },
          ],
          "equalizations": [
            { "speedCmPerS": 19.05, "name": "NAB" },
            { "speedCmPerS": 9.53, "name": "own", "trebleMicroseconds": 90, "bassMicroseconds": 3180 },
          ],
          "rotatingParts": [
            { "name": "capstan", "kind": "capstan", "diameterMm": 8 },
            { "name": "motor", "kind": "motor", "turnsPerCapstanTurn": 5 },
            { "name": "belt", "kind": "belt", "beltLengthMm": 350, "pulleyDiameterMm": 12, "pulleyOn": "motor" },
            { "name": "supply reel", "kind": "supply-reel", "hubRadiusMm": 30, "fullRadiusMm": 89, "harmonics": 2 },
          ],
          "limits": [
            { "quantity": "speed-error", "plusMinus": 0.5, "source": "service sheet (invented)" },
            { "quantity": "wow-flutter-quasi-peak", "plusMinus": 0.1, "speedCmPerS": 19.05, "source": "service sheet (invented)" },
            { "quantity": "response", "speedCmPerS": 9.5, "direction": "reverse", "tapeSetting": "high", "source": "service sheet (invented)",
              "mask": [ { "fromHz": 250, "toHz": 6300, "minDb": -2, "maxDb": 2 }, { "fromHz": 40, "toHz": 250, "minDb": -4, "maxDb": 3 } ] },
          ],
        }
        """;

    [Fact]
    public void Profile_WithANumberTooLargeToBeHeld_IsToldSoOnceAndNotAsZero()
    {
        var parsed = DeckProfileFile.Parse(Small.Replace("\"plusMinus\": 0.5", "\"plusMinus\": 1e400", StringComparison.Ordinal));
        Assert.Contains("too large to be held", Assert.Single(parsed.Errors).ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Profile_WrittenByHandWithComments_IsReadWhole()
    {
        var parsed = DeckProfileFile.Parse(Small);

        Assert.Empty(parsed.Problems);
        var profile = Assert.IsType<DeckProfile>(parsed.Value);
        Assert.Equal([Direction.Forward, Direction.Reverse], profile.Directions);
        Assert.Equal(3.5, profile.Tracks[0].Right.FromMm);
        Assert.Equal(new ProfileEqualization(19.05, "NAB", 50, 3180), profile.Equalizations[0]);
        Assert.Equal("motor", profile.RotatingParts[2].PulleyOn);
        Assert.Equal(2, profile.RotatingParts[3].Harmonics);
        Assert.Equal((-0.5, 0.5), (profile.Limits[0].Min, profile.Limits[0].Max));
    }

    [Fact]
    public void Profile_SpeedWrittenRounded_BecomesTheDecksOwn()
    {
        var profile = DeckProfileFile.Parse(Small).Value!;

        Assert.Equal(9.525, profile.Equalizations[1].SpeedCmPerS);
        Assert.Equal(9.525, profile.Limits[2].SpeedCmPerS);
    }

    [Fact]
    public void FlutterLimit_GivenAsPlusMinus_HasNoLowerEnd()
    {
        var limit = DeckProfileFile.Parse(Small).Value!.Limits[1];

        Assert.Null(limit.Min);
        Assert.Equal(0.1, limit.Max);
    }

    [Fact]
    public void Mask_StepsOutOfOrder_StandInOrderOfFrequency()
    {
        var mask = DeckProfileFile.Parse(Small).Value!.Limits[2].Mask;

        Assert.Equal([new MaskStep(40, 250, -4, 3), new MaskStep(250, 6300, -2, 2)], mask);
    }

    [Fact]
    public void Profile_WrittenAndRead_IsTheSame()
    {
        var profile = DeckProfileFile.Parse(Small).Value!;
        var written = DeckProfileFile.ToJson(profile);
        var again = DeckProfileFile.Parse(written);

        Assert.Empty(again.Problems);
        Assert.Equivalent(profile, again.Value, strict: true);
        Assert.Equal(written, DeckProfileFile.ToJson(again.Value!));
    }

    // Each case: what is written in place of what, on which path, and words that the message must hold.
    [Theory]
    [InlineData("\"speed-error\"", "\"speed-eror\"", "limits[0].quantity", "did you mean \"speed-error\"?")]
    [InlineData("\"wow-flutter-quasi-peak\"", "\"wow-flutter\"", "limits[1].quantity", "names no detector")]
    [InlineData("\"wow-flutter-quasi-peak\"", "\"W&F\"", "limits[1].quantity", "wow-flutter-two-sigma")]
    [InlineData("\"plusMinus\": 0.5, ", "", "limits[0]", "no figure")]
    [InlineData("\"plusMinus\": 0.5, ", "\"min\": 1, \"max\": -1, ", "limits[0].min", "min 1 lies above max -1")]
    [InlineData("\"plusMinus\": 0.5, ", "\"plusMinus\": 0.5, \"max\": 2, ", "limits[0].plusMinus", "not both")]
    [InlineData("\"plusMinus\": 0.5, \"source\": \"service sheet (invented)\"", "\"plusMinus\": 0.5", "limits[0]", "\"source\" is missing")]
    [InlineData(
        "\"plusMinus\": 0.5, \"source\": \"service sheet (invented)\"",
        "\"plusMinus\": 0.5, \"source\": \" \"",
        "limits[0].source",
        "not blank"
    )]
    [InlineData(
        "\"speedCmPerS\": 19.05, \"source\"",
        "\"speedCmPerS\": 38.1, \"source\"",
        "limits[1].speedCmPerS",
        "no speed of 38.1 cm/s; its speeds are 9.525, 19.05"
    )]
    [InlineData("\"tapeSetting\": \"high\"", "\"tapeSetting\": \"hihg\"", "limits[2].tapeSetting", "did you mean \"high\"?")]
    [InlineData(
        "\"fromHz\": 250, \"toHz\": 6300",
        "\"fromHz\": 200, \"toHz\": 6300",
        "limits[2].mask[0]",
        "inside the step from 40 to 250 Hz"
    )]
    [InlineData("\"minDb\": -2, \"maxDb\": 2", "\"minDb\": 2, \"maxDb\": -2", "limits[2].mask[0]", "minDb 2 lies above maxDb -2")]
    [InlineData("\"fromHz\": 250, \"toHz\": 6300", "\"fromHz\": 6300, \"toHz\": 300", "limits[2].mask[0]", "fromHz below toHz")]
    [InlineData("\"diameterMm\": 8", "\"diameterMm\": -8", "rotatingParts[0].diameterMm", "above 0 and at most 1000 mm, found -8")]
    [InlineData("\"diameterMm\": 8", "\"diameterMm\": 1e999", "rotatingParts[0]", "too large")]
    [InlineData("\"diameterMm\": 8", "\"diameterMm\": \"8\"", "rotatingParts[0].diameterMm", "found the text \"8\"")]
    [InlineData("\"diameterMm\": 8", "\"diametermm\": 8", "rotatingParts[0].diametermm", "did you mean \"diameterMm\"?")]
    [InlineData("\"diameterMm\": 8", "\"diameterMm\": 8, \"diameterMm\": 9", "rotatingParts[0].diameterMm", "stands twice")]
    [InlineData("\"kind\": \"capstan\"", "\"kind\": \"capstain\"", "rotatingParts[0].kind", "did you mean \"capstan\"?")]
    [InlineData("\"kind\": \"capstan\"", "\"kind\": \"pinch-roller\"", "rotatingParts[1].turnsPerCapstanTurn", "no capstan")]
    [InlineData("\"pulleyOn\": \"motor\"", "\"pulleyOn\": \"moter\"", "rotatingParts[2].pulleyOn", "did you mean \"motor\"?")]
    [InlineData("\"pulleyOn\": \"motor\"", "\"pulleyOn\": \"belt\"", "rotatingParts[2].pulleyOn", "is a belt")]
    [InlineData("\"beltLengthMm\": 350", "\"beltLengthMm\": 35", "rotatingParts[2].beltLengthMm", "does not reach around")]
    [InlineData(
        "\"turnsPerCapstanTurn\": 5",
        "\"turnsPerCapstanTurn\": 5, \"rateHz\": 25",
        "rotatingParts[1].turnsPerCapstanTurn",
        "only one of"
    )]
    [InlineData("\"turnsPerCapstanTurn\": 5", "\"diameterMm\": 5", "rotatingParts[1].diameterMm", "has no diameterMm")]
    [InlineData("\"hubRadiusMm\": 30", "\"hubRadiusMm\": 95", "rotatingParts[3].hubRadiusMm", "below the full reel's")]
    [InlineData("\"harmonics\": 2", "\"harmonics\": 2.5", "rotatingParts[3].harmonics", "whole number")]
    [InlineData("\"name\": \"motor\"", "\"name\": \"capstan\"", "rotatingParts[1].name", "stands already on line 16")]
    [InlineData("\"fromMm\": 3.5, \"toMm\": 4.5", "\"fromMm\": 0.5, \"toMm\": 1.5", "tracks[0]", "overlap")]
    [InlineData("\"fromMm\": 5.25, \"toMm\": 6.25", "\"fromMm\": 5.5, \"toMm\": 6.5", "tracks[1].left.toMm", "from 0 to 6.35 mm")]
    [InlineData("\"direction\": \"reverse\", \"left\"", "\"direction\": \"forward\", \"left\"", "tracks[1]", "stand twice")]
    [InlineData("[\"forward\", \"reverse\"]", "[\"forward\"]", "tracks[1].direction", "does not list it")]
    [InlineData(
        "[\"forward\", \"reverse\"]",
        "[\"forward\", \"backward\", \"reverse\"]",
        "directions[1]",
        "expected \"forward\" or \"reverse\""
    )]
    [InlineData("[\"forward\", \"reverse\"]", "[]", "directions", "empty")]
    [InlineData("[9.525, 19.05]", "[9.525, 19.05, 9.5]", "speedsCmPerS[2]", "stands twice")]
    [InlineData("[9.525, 19.05]", "19.05", "speedsCmPerS", "expected a list")]
    [InlineData("\"name\": \"NAB\"", "\"name\": \"NBA\"", "equalizations[0]", "no published equalization at 19.05 cm/s")]
    [InlineData("\"bassMicroseconds\": 3180", "\"bassMicroseconds\": 30", "equalizations[1].bassMicroseconds", "above the treble one")]
    [InlineData("\"equalizations\"", "\"equalisations\"", "equalisations", "did you mean \"equalizations\"?")]
    [InlineData(
        "\"name\": \"Hazelbrook 2 (invented)\"",
        "\"name\": [[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]",
        "name[0][0][0][0][0][0][0][0][0][0][0][0][0][0]",
        "nested deeper"
    )]
    [InlineData("\"diameterMm\": 8", "\"diameterMm\": NaN", "rotatingParts[0]", "NaN")]
    public void Profile_WithOneMistake_NamesPlaceAndRemedy(string was, string becomes, string path, string words)
    {
        Assert.Contains(was, Small, StringComparison.Ordinal);
        var at = Small.IndexOf(was, StringComparison.Ordinal);
        var text = Small[..at] + becomes + Small[(at + was.Length)..];

        var parsed = DeckProfileFile.Parse(text);

        Assert.Null(parsed.Value);
        Assert.Contains(parsed.Errors, p => p.Path == path && p.Text.Contains(words, StringComparison.Ordinal));
    }

    [Fact]
    public void Problem_InTheMiddleOfALine_HasItsLineAndColumn()
    {
        var text = "{\r\n  \"name\": \"Größe µ\", \"speedsCmPerS\": [\"x\"],\r\n  \"directions\": [\"forward\"] }";

        var problem = Assert.Single(DeckProfileFile.Parse(text).Problems);

        Assert.Equal((2, 39, "speedsCmPerS[0]"), (problem.Line, problem.Column, problem.Path));
    }

    [Fact]
    public void Profile_WithSeveralMistakes_ListsAllInOrder()
    {
        var text = Small
            .Replace("-4", "\"x\"", StringComparison.Ordinal)
            .Replace("\"harmonics\": 2", "\"harmonic\": 2", StringComparison.Ordinal)
            .Replace("\"name\": \"belt\"", "\"name\": null", StringComparison.Ordinal);

        var problems = DeckProfileFile.Parse(text).Problems;

        Assert.Equal(["rotatingParts[2]", "rotatingParts[3].harmonic", "limits[2].mask[1].minDb"], problems.Select(p => p.Path));
        Assert.Equal(problems.Select(p => p.Line).Order(), problems.Select(p => p.Line));
    }

    [Fact]
    public void Profile_CutOffInTheMiddle_TellsTheBreakAndNotWhatIsMissingAfterIt()
    {
        var text = Small.Replace("\"diameterMm\": 8", "\"diameterMm\": -8", StringComparison.Ordinal);
        var parsed = DeckProfileFile.Parse(text[..text.IndexOf("\"limits\"", StringComparison.Ordinal)]);

        Assert.Null(parsed.Value);
        Assert.Equal(2, parsed.Problems.Count);
        Assert.Contains("-8", parsed.Problems[0].Text, StringComparison.Ordinal);
        Assert.Contains("ends in the middle", parsed.Problems[1].Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("", "empty")]
    [InlineData("   \n ", "empty")]
    [InlineData("[]", "expected a deck profile")]
    [InlineData("{} {}", "not JSON")]
    [InlineData("{'name': 1}", "double quotes")]
    [InlineData("{name: 1}", "names stand in double quotes")]
    [InlineData("{\"name\": 0,5}", "decimals take a point")]
    [InlineData("{\"name\": .5}", "starts with a digit")]
    [InlineData("{\"name\": NaN}", "NaN and Infinity are no numbers")]
    [InlineData("{\"name\": \"a\" \"b\": 1}", "a comma or colon is missing before this")]
    [InlineData("{\"limits\": [{\"min\": 1, {", "a closing } or ] is missing before this")]
    [InlineData("{\"limits\": [1}", "closes something else")]
    public void Profile_ThatIsNoObject_IsRefusedInOneLine(string text, string words)
    {
        var parsed = DeckProfileFile.Parse(text);

        Assert.Null(parsed.Value);
        Assert.Contains(parsed.Problems, p => p.Text.Contains(words, StringComparison.Ordinal) && p.Severity == FileProblemSeverity.Error);
    }

    [Fact]
    public void Profile_WithSpeedInInches_IsWarnedOf()
    {
        var parsed = DeckProfileFile.Parse("""{ "name": "x", "directions": ["forward"], "speedsCmPerS": [7.5] }""");

        Assert.NotNull(parsed.Value);
        Assert.Contains("7.5 in/s is 19.05 cm/s", Assert.Single(parsed.Warnings).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Profile_WithThousandsOfMistakes_ListsWhatAPersonWouldRead()
    {
        var text = "{" + string.Join(",", Enumerable.Range(0, 5000).Select(i => $"\"x{i}\":1")) + "}";

        var problems = DeckProfileFile.Parse(text).Problems;

        Assert.Equal(201, problems.Count);
        Assert.Contains("not listed", problems[^1].Text, StringComparison.Ordinal);
    }
}
