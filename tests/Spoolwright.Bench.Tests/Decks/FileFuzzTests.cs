using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Files;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Tests.Instruments;

namespace Spoolwright.Bench.Tests.Decks;

/// <summary>Seeded mutations of good files: whatever stands in the text, an answer comes, with places inside it and every problem
/// worded.</summary>
public sealed class FileFuzzTests
{
    private const int Inputs = 26_000;

    [Fact]
    public void DeckProfile_OfAnyText_GivesAnAnswer() =>
        Fuzz(seed: 1965, DeckProfileFileTests.Small, DeckProfileFile.Parse, DeckProfileFile.ToJson);

    [Fact]
    public void TestTape_OfAnyText_GivesAnAnswer() =>
        Fuzz(seed: 3150, TestTapeFileTests.Small, TestTapeFile.Parse, TestTapeFile.ToJson);

    [Fact]
    public void LoopbackCalibration_OfAnyText_GivesAnAnswer() =>
        Fuzz(seed: 997, LoopbackFile.ToJson(Interface), LoopbackFile.Parse, LoopbackFile.ToJson);

    private static readonly LoopbackCalibration Interface = new()
    {
        Interface = "bench box",
        MeasuredOn = new DateOnly(2026, 3, 31),
        SampleRateHz = 48_000,
        CaptureSha256 = new string('a', 64),
        ReferenceHz = 1000,
        SkewMicroseconds = 0.4,
        SkewUncertaintyMicroseconds = 0.01,
        Tones =
        [
            new(20, -0.4, 0.01, -0.5, 0.01, 1, 0.1),
            new(1000, 0, 0.01, 0, 0.01, -0.1, 0.1),
            new(20_000, -0.9, 0.02, null, 0, -3, 0.2),
        ],
    };

    [Theory]
    [InlineData('[')]
    [InlineData('{')]
    [InlineData('"')]
    [InlineData('1')]
    [InlineData(',')]
    [InlineData(' ')]
    public void File_OfAMillionOfOneCharacter_IsAnsweredAtOnce(char character)
    {
        var text = new string(character, 1_000_000);
        var before = DateTime.UtcNow;

        Assert.Null(DeckProfileFile.Parse(text).Value);
        Assert.Null(TestTapeFile.Parse("{\"tones\":[" + text).Value);

        // A tenth of a second is usual; what is kept out is time that grows with the square of the length, minutes here.
        Assert.True(DateTime.UtcNow - before < TimeSpan.FromSeconds(20));
    }

    [Fact]
    public void File_WithHundredsOfThousandsOfParts_IsAnsweredAtOnce()
    {
        var before = DateTime.UtcNow;

        var tones = TestTapeFile.Parse("{\"tones\":[" + string.Join(',', Enumerable.Repeat("1", 400_000)) + "]}");
        var members = DeckProfileFile.Parse("{" + string.Join(',', Enumerable.Range(0, 90_000).Select(i => $"\"a{i}\":0")) + "}");
        var corrections = TestTapeFile.Parse(
            "{\"corrections\":[" + string.Join(',', Enumerable.Range(1, 20_000).Select(i => $"{{\"frequencyHz\":{i},\"db\":0}}")) + "]}"
        );

        Assert.All(new[] { tones.Problems.Count, members.Problems.Count }, n => Assert.Equal(201, n));
        Assert.NotEmpty(corrections.Problems);
        Assert.True(DateTime.UtcNow - before < TimeSpan.FromSeconds(20));
    }

    private static void Fuzz<T>(int seed, string good, Func<string, ParsedFile<T>> parse, Func<T, string> write)
        where T : class
    {
        var random = new Random(seed);
        var (read, refused) = (0, 0);
        for (var i = 0; i < Inputs; i++)
        {
            var text = TextMutation.Of(good, random);
            var parsed = parse(text);
            var lines = text.AsSpan().Count('\n') + 1;
            foreach (var p in parsed.Problems)
            {
                if (
                    p.Line < 1
                    || p.Line > lines
                    || p.Column < 1
                    || p.Column > text.Length + 1
                    || string.IsNullOrWhiteSpace(p.Text)
                    || p.Text.Contains('\n', StringComparison.Ordinal)
                )
                    Assert.Fail($"input {i}: {p}");
            }

            // Nothing is read beside an error, and nothing is refused without one.
            Assert.Equal(parsed.Errors.Any(), parsed.Value is null);
            if (parsed.Value is null)
            {
                refused++;
                continue;
            }

            read++;
            var written = write(parsed.Value);
            Assert.Equal(written, write(parse(written).Value!));
        }

        // The mutations reach both sides.
        Assert.InRange(read, Inputs / 100, Inputs);
        Assert.InRange(refused, Inputs / 4, Inputs);
    }
}
