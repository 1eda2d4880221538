using System.Globalization;
using System.Text;

namespace Spoolwright.Bench.Files;

/// <summary>Words of a file as a message shows them: short, on one line, without control characters.</summary>
internal static class Quoted
{
    private const int Most = 60;

    public static string Text(string text) => "\"" + Bare(text) + "\"";

    public static string Bare(string text, int most = Most)
    {
        var shown = new StringBuilder();
        foreach (var rune in text.EnumerateRunes())
        {
            if (shown.Length >= most)
            {
                shown.Append('…');
                break;
            }

            if (
                Rune.IsControl(rune)
                || Rune.GetUnicodeCategory(rune)
                    is UnicodeCategory.Format
                        or UnicodeCategory.LineSeparator
                        or UnicodeCategory.ParagraphSeparator
            )
                shown.Append('·');
            else
                shown.Append(rune.ToString());
        }

        return shown.ToString();
    }

    public static string Number(double number) => number.ToString("R", CultureInfo.InvariantCulture);
}
