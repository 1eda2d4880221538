using System.Globalization;
using System.Text.RegularExpressions;
using Spoolwright.Bench;

namespace Spoolwright.Reports.Text;

/// <summary>
/// The methods of a record's figures, each once. Two that differ in a number alone (seconds averaged, level found) are one method: the number that
/// differs is left open.
/// </summary>
internal sealed partial class MethodList
{
    /// <summary>What stands for a number that is not the same in every figure of a method.</summary>
    public const string Open = "…";

    private readonly Dictionary<string, int> _places = new(StringComparer.Ordinal);
    private readonly List<string[]> _texts = [];

    /// <param name="readings">The figures that the record shows, in its order.</param>
    public MethodList(IEnumerable<Reading> readings)
    {
        foreach (Reading reading in readings)
        {
            string method = Own(reading);
            string[] pieces = Pieces(method);
            string shape = Shape(method);
            if (!_places.TryGetValue(shape, out int at))
            {
                _places.Add(shape, _texts.Count);
                _texts.Add(pieces);
                continue;
            }

            for (int i = 0; i < pieces.Length; i++)
                _texts[at][i] = _texts[at][i] == pieces[i] ? pieces[i] : Open;
        }
    }

    /// <summary>The methods as they are listed.</summary>
    public IReadOnlyList<string> Texts => [.. _texts.Select(t => string.Concat(t))];

    /// <summary>The name of a figure's method in the tables.</summary>
    public string NameOf(Reading reading) => Name(_places[Shape(Own(reading))]);

    /// <summary>The name of a method by its place in the list.</summary>
    public static string Name(int index) => "m" + (index + 1).ToString(CultureInfo.InvariantCulture);

    /// <summary>The listed text of a figure's method.</summary>
    public string TextOf(Reading reading) => string.Concat(_texts[_places[Shape(Own(reading))]]);

    // A flutter line's part stands beside its figure.
    private static string Own(Reading reading) =>
        reading is { Part: not null } && reading.Method.LastIndexOf("; ", StringComparison.Ordinal) is > 0 and var cut ? reading.Method[..cut] : reading.Method;

    private static string Shape(string method) => Number().Replace(method, "#");

    // Text and numbers in turn.
    private static string[] Pieces(string method)
    {
        var pieces = new List<string>();
        int from = 0;
        foreach (Match match in Number().Matches(method))
        {
            pieces.Add(method[from..match.Index]);
            pieces.Add(match.Value);
            from = match.Index + match.Length;
        }

        pieces.Add(method[from..]);
        return [.. pieces];
    }

    // Not the numbers of a standard's key in brackets.
    [GeneratedRegex(@"[-−+]?\d+(\.\d+)?(?![^\[\]]*\])", RegexOptions.ExplicitCapture, 2000)]
    private static partial Regex Number();
}
