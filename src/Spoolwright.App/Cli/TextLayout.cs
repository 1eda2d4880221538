namespace Spoolwright.App.Cli;

/// <summary>Lays plain text out in lines and two columns.</summary>
internal static class TextLayout
{
    /// <summary>Breaks text at blanks so that no line is longer than <paramref name="width"/>, unless a word is.</summary>
    public static IEnumerable<string> Wrap(string text, int width)
    {
        var line = "";
        foreach (var word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            if (line.Length > 0 && line.Length + 1 + word.Length > width)
            {
                yield return line;
                line = "";
            }

            line = line.Length == 0 ? word : $"{line} {word}";
        }

        if (line.Length > 0)
            yield return line;
    }

    /// <summary>Writes a paragraph, each line indented.</summary>
    public static void WriteParagraph(TextWriter writer, string text, int width, int indent = 0)
    {
        foreach (var line in Wrap(text, width - indent))
            writer.WriteLine(new string(' ', indent) + line);
    }

    /// <summary>Writes rows of a term and its meaning; a term too long for its column stands on a line of its own.</summary>
    public static void WriteColumns(TextWriter writer, IEnumerable<HelpRow> rows, int width, int widestTerm = 26)
    {
        var all = rows.ToList();
        var column = all.Where(r => r.Term.Length <= widestTerm).Select(r => r.Term.Length).DefaultIfEmpty(widestTerm).Max() + 2;
        foreach (var row in all)
        {
            var start = row.Term;
            if (row.Term.Length > column - 2)
            {
                writer.WriteLine("  " + row.Term);
                start = "";
            }

            foreach (var line in Wrap(row.Meaning, width - column - 2).DefaultIfEmpty(""))
            {
                writer.WriteLine(("  " + start.PadRight(column) + line).TrimEnd());
                start = "";
            }
        }
    }
}
