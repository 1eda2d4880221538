using System.Text;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Files;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Tests.Instruments;

namespace Spoolwright.Bench.Tests.Decks;

/// <summary>Seeded mutations of good files: whatever stands in the text, an answer comes, with places inside it and every problem worded.</summary>
public sealed class FileFuzzTests
{
    private const int Inputs = 26_000;

    private static readonly string[] Pieces =
    [
        "{", "}", "[", "]", ",", ":", "\"", "null", "true", "1e999", "-0", "1e-400", "NaN", "\\ud800", "\"\\ud800\"", "\\u0000", "//", "/*", "*/", "\r\n", "\uFEFF", "\u2028",
        "\"name\":", "\"kind\":\"belt\",", "\"tones\":[]", "[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[", "{\"a\":{\"a\":{\"a\":", "\"speedCmPerS\":{\"value\":1e-300,\"uncertainty\":50}", "𝄞", "é",
        "99999999999999999999999999", "0.0000000000000001", "\"flutter\"", "-1", "\"uncertainty\":0",
    ];

    [Fact]
    public void DeckProfile_OfAnyText_GivesAnAnswer() =>
        Fuzz(seed: 1965, DeckProfileFileTests.Small, DeckProfileFile.Parse, DeckProfileFile.ToJson);

    [Fact]
    public void TestTape_OfAnyText_GivesAnAnswer() =>
        Fuzz(seed: 3150, TestTapeFileTests.Small, TestTapeFile.Parse, TestTapeFile.ToJson);

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
        var corrections = TestTapeFile.Parse("{\"corrections\":[" + string.Join(',', Enumerable.Range(1, 20_000).Select(i => $"{{\"frequencyHz\":{i},\"db\":0}}")) + "]}");

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
            var text = Mutate(good, random);
            var parsed = parse(text);
            var lines = text.AsSpan().Count('\n') + 1;
            foreach (var p in parsed.Problems)
            {
                if (p.Line < 1 || p.Line > lines || p.Column < 1 || p.Column > text.Length + 1 || string.IsNullOrWhiteSpace(p.Text) || p.Text.Contains('\n', StringComparison.Ordinal))
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

    private static string Mutate(string good, Random random)
    {
        var text = new StringBuilder(good);
        var changes = random.Next(1, 4);
        for (var c = 0; c < changes && text.Length > 1; c++)
        {
            var at = random.Next(text.Length);
            var length = Math.Min(random.Next(1, random.Next(2, 40)), text.Length - at);
            switch (random.Next(6))
            {
                case 0:
                    text.Remove(at, length);
                    break;
                case 1:
                    text.Insert(at, Pieces[random.Next(Pieces.Length)]);
                    break;
                case 2:
                    text[at] = (char)random.Next(random.Next(4) == 0 ? 0xFFFF : 0x7F);
                    break;
                case 3:
                    text.Insert(random.Next(text.Length), text.ToString(at, length));
                    break;
                case 4:
                    ReplaceANumber(text, random);
                    break;
                default:
                    if (random.Next(8) == 0)
                        text.Length = at;
                    break;
            }
        }

        return text.ToString();
    }

    private static void ReplaceANumber(StringBuilder text, Random random)
    {
        var start = random.Next(text.Length);
        while (start < text.Length && !char.IsAsciiDigit(text[start]))
            start++;
        var end = start;
        while (end < text.Length && (char.IsAsciiDigit(text[end]) || text[end] == '.'))
            end++;
        if (end > start)
            text.Remove(start, end - start).Insert(start, Math.Round(Math.Pow(10, random.Next(-3, 6)) * random.NextDouble(), random.Next(6)).ToString("R"));
    }
}
