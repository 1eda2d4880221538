using Spoolwright.Bench.Controls;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Tests.Decks;

namespace Spoolwright.Bench.Tests.Controls;

/// <summary>Seeded mutations of the files that people and programs write for turning: an answer comes, no figure in it is infinite or
/// none.</summary>
public sealed class MovesFuzzTests
{
    private const int Inputs = 6000;

    private const string Measured = """
        { "measurement": "bias",
          "readings": [ { "quantity": "overbias", "value": 1.25, "unit": "dB", "uncertainty": 0.06, "channel": "left", "frequencyHz": 10000, "class": "under" },
                        { "quantity": "bias-peak", "value": -30.1, "unit": "dBFS", "uncertainty": null, "channel": "left", "frequencyHz": 10000, "judgeable": false } ],
          "notes": [] }
        """;

    private const string Moves = """
        { "controls": [{ "name": "bias", "kind": "bias", "unit": "clock", "range": ["7 o'clock", "5 o'clock"], "start": "1 o'clock", "raises": ["overbias"] }],
          "targets": [{ "quantity": "overbias", "channel": "left", "frequencyHz": 10000, "min": 2.5, "max": 3.5 }],
          "asFound": "a.json",
          "moves": [{ "turned": { "bias": "1 o'clock to 2 o'clock" }, "readings": [{ "quantity": "overbias", "value": 1.1, "uncertainty": 0.06 }] }] }
        """;

    [Fact]
    public void Moves_OfAnyText_GiveAdviceOrNamedProblems()
    {
        var random = new Random(77);
        var advised = 0;
        for (var i = 0; i < Inputs; i++)
        {
            var (moves, measured) = i % 2 == 0 ? (TextMutation.Of(Moves, random), Measured) : (Moves, TextMutation.Of(Measured, random));
            var parsed = MovesFile.Parse(moves, name => name == "a.json" ? measured : null);
            Assert.Equal(parsed.Errors.Any(), parsed.Value is null);
            Assert.All(
                parsed.Problems,
                p => Assert.False(string.IsNullOrWhiteSpace(p.Text) || p.Text.Contains('\n', StringComparison.Ordinal), p.Text)
            );

            // Advice takes a thousand times as long as reading.
            if (parsed.Value is not { } adjustment || advised >= 150)
                continue;
            advised++;
            var advice = TurnAdvisor.Advise(adjustment);
            Assert.All(advice.Turns, t => Assert.True(t.Legs.All(double.IsFinite), $"input {i}"));
            Assert.All(advice.Expected, e => Assert.True(double.IsFinite(e.Value) && double.IsFinite(e.Spread), $"input {i}"));
        }

        Assert.Equal(150, advised);
    }

    [Fact]
    public void Readings_OfAnyText_AreReadOrRefusedByOneKindOfError()
    {
        var random = new Random(78);
        int read = 0, refused = 0;
        for (var i = 0; i < Inputs; i++)
        {
            try
            {
                var (_, readings) = ReadingsFile.Parse(TextMutation.Of(Measured, random));
                Assert.All(
                    readings,
                    r =>
                        Assert.True(
                            double.IsFinite(r.Value)
                                && r.Uncertainty is not (< 0 or double.NaN or double.PositiveInfinity)
                                && r.FrequencyHz is not (<= 0 or double.PositiveInfinity),
                            $"input {i}"
                        )
                );
                read++;
            }
            catch (FormatException e)
            {
                Assert.DoesNotContain('\n', e.Message);
                refused++;
            }
        }

        Assert.True(read > Inputs / 10 && refused > Inputs / 10, $"{read} read, {refused} refused");
    }
}
