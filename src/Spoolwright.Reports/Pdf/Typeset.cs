using System.Collections.Concurrent;
using SkiaSharp;

namespace Spoolwright.Reports.Pdf;

/// <summary>Setting of type on paper: widths, line breaks, drawing.</summary>
internal static class Typeset
{
    public const float Leading = 1.34f;

    private static readonly ConcurrentDictionary<(float Size, bool Bold), SKFont> Sizes = new();

    public static float Width(string text, float size, bool bold) => Font(size, bold).MeasureText(text);

    /// <summary>Breaks text into lines no wider than <paramref name="width"/>: at spaces, at line ends, and inside a word only where it is
    /// too long for a line.</summary>
    /// <param name="text">The text; its own line ends are kept.</param>
    /// <param name="size">Size of the type, points.</param>
    /// <param name="bold">Set bold.</param>
    /// <param name="width">Width of a line, points.</param>
    /// <param name="taken">What of the first line's width is taken already.</param>
    public static IReadOnlyList<string> Wrap(string text, float size, bool bold, float width, float taken = 0)
    {
        var lines = new List<string>();
        foreach (string paragraph in RecordFonts.Printable(text.ReplaceLineEndings("\n").Replace('\t', ' ')).Split('\n'))
        {
            string line = string.Empty;
            foreach (string word in paragraph.Split(' '))
            {
                string joined = line.Length == 0 ? word : line + ' ' + word;
                float room = lines.Count == 0 ? width - taken : width;
                if (Width(joined, size, bold) <= room)
                {
                    line = joined;
                    continue;
                }

                if (line.Length > 0 || lines.Count == 0 && taken > 0)
                    lines.Add(line);
                line = word;
                while (Width(line, size, bold) > width && line.Length > 1)
                {
                    int fit = Fitting(line, size, bold, width);
                    lines.Add(line[..fit]);
                    line = line[fit..];
                }
            }

            lines.Add(line);
        }

        return lines;
    }

    public static void Draw(SKCanvas canvas, string text, float x, float baseline, float size, SKColor color, bool bold = false,
        SKTextAlign align = SKTextAlign.Left)
    {
        if (text.Length == 0)
            return;
        using var paint = new SKPaint { Color = color, IsAntialias = true };
        canvas.DrawText(RecordFonts.Printable(text), x, baseline, align, Font(size, bold), paint);
    }

    private static int Fitting(string word, float size, bool bold, float width)
    {
        int fit = Math.Max(1, Font(size, bold).BreakText(word, width));
        fit = Math.Min(fit, word.Length - 1);
        // Break after a mark that parts file names, where one stands in the last third.
        int mark = word.LastIndexOfAny(['/', '-', '_', '.'], fit - 1);
        if (mark >= fit * 2 / 3)
            fit = mark + 1;
        return char.IsHighSurrogate(word[fit - 1]) ? Math.Max(1, fit - 1) : fit;
    }

    private static SKFont Font(float size, bool bold) => Sizes.GetOrAdd((size, bold), key =>
        new SKFont(key.Bold ? RecordFonts.Bold : RecordFonts.Regular, key.Size) { Subpixel = true, LinearMetrics = true });
}
