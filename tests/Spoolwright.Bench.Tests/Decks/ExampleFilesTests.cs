using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Tests.Decks;

/// <summary>The files in examples/ are read without a word, and say what the guide says of them.</summary>
public sealed class ExampleFilesTests
{
    [Fact]
    public void ExampleProfile_IsReadWithoutAWordAndNamesRatesForBothSpeeds()
    {
        var parsed = DeckProfileFile.Parse(Read("deck-profile.json"));

        Assert.Empty(parsed.Problems);
        var profile = parsed.Value!;
        // An invented deck's own limits, or what the trade expects of any; no maker's.
        Assert.All(
            profile.Limits,
            l =>
                Assert.True(
                    l.Source.Contains("invented", StringComparison.Ordinal)
                        || l.Source.StartsWith("common practice", StringComparison.Ordinal),
                    l.Source
                )
        );
        foreach (var speed in profile.SpeedsCmPerS)
        {
            // Each direction has a pinch roller of its own: seven of the eight parts turn.
            Assert.All(profile.Directions, d => Assert.Equal(7, RotatingRates.Of(profile, d, speed).Count));
            Assert.Contains(profile.Limits, l => l.SpeedCmPerS == speed && l.Quantity == "wow-flutter-quasi-peak");
        }

        Assert.Equal(7.58, RotatingRates.Of(profile, Direction.Forward, 19.05)[0].LowHz, 2);
    }

    [Theory]
    [InlineData("test-tape-19.json", 19.05)]
    [InlineData("test-tape-9.json", 9.525)]
    public void ExampleTape_IsReadWithoutAWord(string file, double speed)
    {
        var parsed = TestTapeFile.Parse(Read(file));

        Assert.Empty(parsed.Problems);
        Assert.Equal(speed, parsed.Value!.SpeedCmPerS);
        Assert.Contains(parsed.Value.Tones, t => t.Role == ToneRole.Azimuth);
    }

    internal static string Read(string file)
    {
        var at = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(at!.FullName, "Spoolwright.slnx")))
            at = at.Parent;
        return File.ReadAllText(Path.Combine(at.FullName, "examples", file));
    }
}
