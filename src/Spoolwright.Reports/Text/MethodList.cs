using System.Globalization;
using Spoolwright.Bench;

namespace Spoolwright.Reports.Text;

/// <summary>
/// The methods of a record's figures, each once. Two that differ in a number alone (seconds averaged, level found) are one method: the
/// number that differs is left open.
/// </summary>
internal sealed class MethodList
{
    private readonly Dictionary<string, int> _places = new(StringComparer.Ordinal);
    private readonly List<string> _texts = [];

    /// <param name="readings">The figures that the record shows, in its order.</param>
    public MethodList(IEnumerable<Reading> readings)
    {
        foreach (Reading reading in readings)
        {
            string method = Own(reading);
            string shape = OpenNumbers.Shape(method);
            if (_places.TryAdd(shape, _texts.Count))
                _texts.Add(method);
            else
                _texts[_places[shape]] = OpenNumbers.Merge(_texts[_places[shape]], method);
        }
    }

    /// <summary>The methods as they are listed.</summary>
    public IReadOnlyList<string> Texts => _texts;

    /// <summary>The name of a figure's method in the tables.</summary>
    public string NameOf(Reading reading) => Name(_places[OpenNumbers.Shape(Own(reading))]);

    /// <summary>The name of a method by its place in the list.</summary>
    public static string Name(int index) => "m" + (index + 1).ToString(CultureInfo.InvariantCulture);

    /// <summary>The listed text of a figure's method.</summary>
    public string TextOf(Reading reading) => _texts[_places[OpenNumbers.Shape(Own(reading))]];

    // A flutter line's part stands beside its figure.
    private static string Own(Reading reading) =>
        reading is { Part: not null } && reading.Method.LastIndexOf("; ", StringComparison.Ordinal) is > 0 and var cut
            ? reading.Method[..cut]
            : reading.Method;
}
