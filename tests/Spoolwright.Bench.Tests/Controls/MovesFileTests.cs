using Spoolwright.Bench.Controls;
using Spoolwright.Bench.Tests.Decks;

namespace Spoolwright.Bench.Tests.Controls;

public sealed class MovesFileTests
{
    [Theory]
    [InlineData("quarter turn cw", "turn", 0.25)]
    [InlineData("half a turn ccw", "turn", -0.5)]
    [InlineData("3/8 turn anticlockwise", "turn", -0.375)]
    [InlineData("+0.25", "turn", 0.25)]
    [InlineData("-40°", "turn", -1.0 / 9)]
    [InlineData("90 degrees cw", "turn", 0.25)]
    [InlineData("2 o'clock to 3 o'clock", "clock", 1)]
    [InlineData("10 o'clock to 2:30 o'clock", "clock", 4.5)]
    [InlineData("2 o'clock to 3 o'clock", "turn", 1.0 / 12)]
    [InlineData("0.4 mm down", "mm", -0.4)]
    [InlineData("3/8 turn ccw, then 1/8 turn cw", "turn", -0.25)]
    public void Turn_AsPeopleWriteIt_IsRead(string text, string unit, double expected)
    {
        var legs = TurnText.Legs(text, TurnUnit.Of(unit), out var problem);
        Assert.Null(problem);
        Assert.Equal(expected, legs!.Sum(), 1e-12);
    }

    [Theory]
    [InlineData("quarter turn", "turn", "way is missing")]
    [InlineData("0.4 mm up", "turn", "not the control's unit")]
    [InlineData("a bit cw", "turn", "not the control's unit")]
    [InlineData("5 o'clock to 6 o'clock", "clock", "gap")]
    [InlineData("-0.5 turn cw", "turn", "not both")]
    [InlineData("", "turn", "expected a turn")]
    [InlineData("0,5 turn cw", "turn", "\"0,5\" has a comma, which stands between numbers here: write 0.5")]
    [InlineData("+1,25", "turn", "write +1.25")]
    public void Turn_ThatSaysNothing_IsRefusedWithTheReason(string text, string unit, string reason)
    {
        Assert.Null(TurnText.Legs(text, TurnUnit.Of(unit), out var problem));
        Assert.Contains(reason, problem, StringComparison.Ordinal);
    }

    [Fact]
    public void Example_IsReadWithoutAWordAndGivesAdvice()
    {
        var parsed = MovesFile.Parse(ExampleFilesTests.Read("moves.json"), _ => null);
        Assert.Empty(parsed.Problems);
        Assert.Equal(TurnOutcome.Turn, TurnAdvisor.Advise(parsed.Value!).Outcome);
    }

    [Fact]
    public void Readings_OfAMeasuredFile_AreTakenByQuantityChannelAndTone()
    {
        const string Measured = """
            { "measurement": "playback", "readings": [
              { "quantity": "response", "value": -1.5, "uncertainty": 0.1, "channel": "left", "frequencyHz": 10000 },
              { "quantity": "response", "value": 2.5, "uncertainty": 0.1, "channel": "right", "frequencyHz": 10000 },
              { "quantity": "response", "value": 9, "uncertainty": null, "channel": "left", "frequencyHz": 1000 } ] }
            """;
        var parsed = MovesFile.Parse(File(asFound: "\"as-found.json\""), name => name == "as-found.json" ? Measured : null);
        Assert.Empty(parsed.Problems);
        Assert.Equal(new ControlReading(-1.5, 0.1), parsed.Value!.AsFound[0]);
    }

    [Theory]
    [InlineData("\"gone.json\"", "cannot be read")]
    [InlineData("\"nonsense.json\"", "is not what measure")]
    [InlineData("[]", "no reading of response, left, 10000 Hz")]
    [InlineData("7", "expected a reading")]
    public void Readings_ThatCannotBeHad_AreNamedWithTheirPlace(string asFound, string reason)
    {
        var parsed = MovesFile.Parse(File(asFound), name => name == "nonsense.json" ? "[1]" : null);
        Assert.Null(parsed.Value);
        Assert.Contains(parsed.Errors, p => p.Line > 1 && p.Text.Contains(reason, StringComparison.Ordinal));
    }

    // Drops are positive on either side of the peak: the class of the reading says which, and none is guessed.
    [Theory]
    [InlineData("over", 1.5, 1.5)]
    [InlineData("at-peak", 0.1, 0.1)]
    [InlineData("under", 1.5, -1.5)]
    [InlineData("side-unknown", 1.5, null)]
    [InlineData(null, 1.5, null)]
    [InlineData(null, -1.5, -1.5)]
    public void Overbias_OfAMeasuredFile_TakesItsSignFromTheSideOrIsRefused(string? side, double value, double? expected)
    {
        var measured = FormattableString.Invariant(
            $$"""{ "readings": [{ "quantity": "overbias", "value": {{value}}, "uncertainty": 0.1, "channel": "left", "frequencyHz": 10000{{(side is null ? "" : $", \"class\": \"{side}\"")}} }] }"""
        );
        var parsed = MovesFile.Parse(
            File("\"bias.json\"").Replace("\"quantity\": \"response\"", "\"quantity\": \"overbias\"", StringComparison.Ordinal),
            _ => measured
        );
        Assert.Equal(expected, parsed.Value?.AsFound[0].Value);
        if (expected is null)
            Assert.Contains("on which side of the bias peak", Assert.Single(parsed.Errors).Text, StringComparison.Ordinal);
    }

    private static string File(string asFound) => $$"""
        { "controls": [{ "name": "eq", "unit": "clock", "range": ["7 o'clock", "5 o'clock"], "start": "1 o'clock" }],
          "targets": [{ "quantity": "response", "channel": "left", "frequencyHz": 10000, "min": -1, "max": 1 }],
          "asFound": {{asFound}} }
        """;
}
