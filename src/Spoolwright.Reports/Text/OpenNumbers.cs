using System.Text.RegularExpressions;

namespace Spoolwright.Reports.Text;

/// <summary>Sentences that differ in their numbers alone, told once: a number that is not the same in all is left open.</summary>
public static partial class OpenNumbers
{
    /// <summary>What stands for a number that is not the same in all.</summary>
    public const string Open = "…";

    /// <summary>What two sentences have in common when they differ in numbers alone.</summary>
    public static string Shape(string text) => Number().Replace(text, "#");

    /// <summary>Two sentences of one shape as one.</summary>
    public static string Merge(string one, string other)
    {
        string[] a = Pieces(one), b = Pieces(other);
        return string.Concat(a.Select((piece, i) => piece == b[i] ? piece : Open));
    }

    // Text and numbers in turn.
    private static string[] Pieces(string text)
    {
        var pieces = new List<string>();
        int from = 0;
        foreach (Match match in Number().Matches(text))
        {
            pieces.Add(text[from..match.Index]);
            pieces.Add(match.Value);
            from = match.Index + match.Length;
        }

        pieces.Add(text[from..]);
        return [.. pieces];
    }

    // Not the numbers of a standard's key in brackets.
    [GeneratedRegex(@"(…|[-−+]?\d+(\.\d+)?)(?![^\[\]]*\])", RegexOptions.ExplicitCapture, 2000)]
    private static partial Regex Number();
}
