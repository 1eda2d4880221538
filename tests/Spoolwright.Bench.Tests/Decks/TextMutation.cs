using System.Text;

namespace Spoolwright.Bench.Tests.Decks;

/// <summary>Seeded mutations of a good text: pieces taken out, put in, doubled, numbers and characters changed, the end cut off.</summary>
internal static class TextMutation
{
    private static readonly string[] Pieces =
    [
        "{", "}", "[", "]", ",", ":",
        "\"",
        "null", "true", "1e999", "-0", "1e-400", "NaN",
        "\\ud800",
        "\"\\ud800\"",
        "\\u0000",
        "//",
        "/*",
        "*/",
        "\r\n",
        "\uFEFF",
        "\u2028",
        "\"name\":",
        "\"kind\":\"belt\",",
        "\"tones\":[]",
        "[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[",
        "{\"a\":{\"a\":{\"a\":",
        "\"speedCmPerS\":{\"value\":1e-300,\"uncertainty\":50}",
        "𝄞",
        "é",
        "99999999999999999999999999",
        "0.0000000000000001",
        "\"flutter\"",
        "-1",
        "\"uncertainty\":0",
    ];

    /// <summary>One mutation of up to three changes.</summary>
    public static string Of(string good, Random random)
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
            text.Remove(start, end - start)
                .Insert(start, Math.Round(Math.Pow(10, random.Next(-3, 6)) * random.NextDouble(), random.Next(6)).ToString("R"));
    }
}
