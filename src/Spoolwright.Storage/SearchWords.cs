using System.Text;

namespace Spoolwright.Storage;

/// <summary>
/// A text's words as they are searched by: letters and digits, lower case, without accents, so that people find what they typed
/// otherwise.
/// </summary>
internal static class SearchWords
{
    /// <summary>Longer ones are cut: nobody types more, and a hash or a page of base64 is no word.</summary>
    public const int LongestWord = 40;

    // The letters that people of our neighbours' languages leave the marks off; each line: letters, and what stands for each of them.
    private static readonly (string Letters, string Plain)[] Folds =
    [
        ("àáâãåāăą", "a"),
        ("çćĉċč", "c"),
        ("ďđð", "d"),
        ("èéêëēĕėęě", "e"),
        ("ĝğġģ", "g"),
        ("ĥħ", "h"),
        ("ìíîïĩīĭįı", "i"),
        ("ĵ", "j"),
        ("ķ", "k"),
        ("ĺļľŀł", "l"),
        ("ñńņňŋ", "n"),
        ("òóôõōŏő", "o"),
        ("ŕŗř", "r"),
        ("śŝşšș", "s"),
        ("ţťŧț", "t"),
        ("ùúûũūŭůűų", "u"),
        ("ŵ", "w"),
        ("ýÿŷ", "y"),
        ("źżž", "z"),
        ("ä", "a"),
        ("ö", "o"),
        ("ü", "u"),
        ("ø", "o"),
        ("æ", "ae"),
        ("œ", "oe"),
        ("ß", "ss"),
        ("þ", "th"),
        ("µμ", "u"),
    ];

    private static readonly Dictionary<char, string> Fold = Folds
        .SelectMany(f => f.Letters.Select(l => (l, f.Plain)))
        .ToDictionary(f => f.l, f => f.Plain);

    /// <summary>
    /// The words of a text, each once. A number with a point or comma inside is one word, with a point: <c>19,05</c> is <c>19.05</c>.
    /// </summary>
    public static IReadOnlySet<string> Of(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var words = new HashSet<string>(StringComparer.Ordinal);
        var word = new StringBuilder();
        for (int i = 0; i <= text.Length; i++)
        {
            char c = i < text.Length ? text[i] : ' ';
            if (char.IsLetterOrDigit(c))
            {
                char low = char.ToLowerInvariant(c);
                _ = Fold.TryGetValue(low, out string? plain) ? word.Append(plain) : word.Append(low);
            }
            else if (
                c is '.' or ','
                && word.Length > 0
                && char.IsAsciiDigit(text[i - 1])
                && i + 1 < text.Length
                && char.IsAsciiDigit(text[i + 1])
            )
            {
                word.Append('.');
            }
            else if (word.Length > 0 && !(c is '\u0300' or (> '\u0300' and < '\u0370')))
            {
                words.Add(word.Length > LongestWord ? word.ToString(0, LongestWord) : word.ToString());
                word.Clear();
            }
        }

        return words;
    }
}
