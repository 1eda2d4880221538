using SkiaSharp;

namespace Spoolwright.Reports.Pdf;

/// <summary>Sets a table over as many pages as it takes, its headings on each.</summary>
internal sealed class TableSetter
{
    private const float MarkGap = 3;

    private readonly Table table;
    private readonly Paper paper;
    private readonly float size;
    private readonly float subSize;
    private readonly float padX;
    private readonly float padY;
    private readonly float[] edges;

    public TableSetter(Table table, Paper paper)
    {
        this.table = table;
        this.paper = paper;
        size = table.Dense ? 7.3f : table.Facts ? 9.2f : 8.4f;
        subSize = table.Dense ? 6.3f : 6.4f;
        padX = table.Facts ? 0 : 3;
        padY = table.Dense ? 2 : table.Facts ? 1.6f : 3;
        double shares = table.Columns.Sum(c => c.Share);
        edges = new float[table.Columns.Count + 1];
        edges[0] = Paper.Side;
        for (int i = 0; i < table.Columns.Count; i++)
            edges[i + 1] = edges[i] + (float)(table.Columns[i].Share / shares) * Paper.Measure;
    }

    /// <summary>One line of a cell.</summary>
    private readonly record struct Line(string Text, float Size, bool Bold, SKColor Color, Bench.Limits.Verdict? Mark = null);

    // Up to this a table is not worth tearing in two.
    private const float KeptWhole = (Paper.Bottom - Paper.Top) * .34f;

    // Fewer rows than this under a heading are read as the whole of the table.
    private const int LeastRows = 3;

    /// <summary>Height that must be free where the table begins: all of a small one, else its headings and the first few rows.</summary>
    public float Beginning()
    {
        float head = (table.Caption is not null && !table.Facts ? 16 : 0) + HeadHeight();
        float[] rows = [.. table.Rows.Select(r => Height([.. r.Select((c, i) => Lines(c, i))]))];
        float whole = head + rows.Sum();
        return whole <= KeptWhole ? whole : head + Math.Min(rows.Take(LeastRows).Sum(), 120);
    }

    public void Set()
    {
        var rows = table.Rows.Select(r => r.Select((c, i) => Lines(c, i)).ToArray()).ToList();
        paper.Need(Beginning());
        if (table.Caption is { } caption && !table.Facts)
        {
            Typeset.Draw(paper.Canvas, caption, Paper.Side, paper.Y + 9, 8.2f, Palette.Accent, bold: true);
            paper.Y += 14;
        }

        Head();
        foreach (Line[][] row in rows)
            Row(row);
        paper.Y += table.Facts ? 2 : 8;
    }

    private void Row(Line[][] cells)
    {
        float height = Height(cells);
        if (!paper.Fits(height))
        {
            // A row that fits on a page of its own goes there whole; a taller one (a very long note) is split between lines.
            if (height <= (Paper.Bottom - Paper.Top) / 2)
            {
                paper.Turn();
                Head();
            }
            else
            {
                Split(cells);
                return;
            }
        }

        Draw(cells, height);
    }

    private void Split(Line[][] cells)
    {
        var rest = cells;
        while (rest.Any(c => c.Length > 0))
        {
            float room = Paper.Bottom - paper.Y - 2 * padY;
            int[] take = [.. rest.Select(c => Taken(c, room))];
            if (take.All(t => t == 0))
            {
                paper.Turn();
                Head();
                continue;
            }

            Line[][] now = [.. rest.Select((c, i) => c[..take[i]])];
            Draw(now, Height(now));
            rest = [.. rest.Select((c, i) => c[take[i]..])];
        }
    }

    private static int Taken(Line[] lines, float room)
    {
        int n = 0;
        for (float used = 0; n < lines.Length && used + lines[n].Size * Typeset.Leading <= room; n++)
            used += lines[n].Size * Typeset.Leading;
        return n;
    }

    private Line[] Lines(Cell cell, int column)
    {
        float width = edges[column + 1] - edges[column] - 2 * padX;
        float markRoom = cell.Mark is null ? 0 : size + MarkGap;
        bool facts = table.Facts && column == 0;
        var lines = new List<Line>();
        foreach (string line in Typeset.Wrap(cell.Text, size, cell.Strong, width - markRoom))
            lines.Add(new Line(line, size, cell.Strong, facts ? Palette.Quiet : Palette.Ink, lines.Count == 0 ? cell.Mark : null));
        if (cell.Sub is { } sub)
        {
            SKColor color = cell.Mark is { } mark && !table.Dense ? Palette.Of(mark) : Palette.Quiet;
            lines.AddRange(Typeset.Wrap(sub, subSize, bold: false, width).Select(l => new Line(l, subSize, false, color)));
        }

        return [.. lines];
    }

    private float Height(Line[][] cells) => cells.Max(c => c.Sum(l => l.Size * Typeset.Leading)) + 2 * padY;

    private void Draw(Line[][] cells, float height)
    {
        SKCanvas canvas = paper.Canvas;
        Backing(height);
        for (int i = 0; i < cells.Length; i++)
        {
            float y = paper.Y + padY;
            foreach (Line line in cells[i])
            {
                bool right = table.Columns[i].Figures;
                float x = right ? edges[i + 1] - padX : edges[i] + padX;
                float baseline = y + line.Size * 1.02f;
                if (line.Mark is { } mark)
                {
                    float markX = right ? x - Typeset.Width(line.Text, line.Size, line.Bold) - MarkGap - line.Size * .9f : x;
                    VerdictMark.Draw(canvas, mark, markX, baseline - line.Size * .8f, line.Size * .9f);
                    if (!right)
                        x += line.Size + MarkGap;
                }

                Typeset.Draw(canvas, line.Text, x, baseline, line.Size, line.Color, line.Bold, right ? SKTextAlign.Right
                    : SKTextAlign.Left);
                y += line.Size * Typeset.Leading;
            }
        }

        paper.Y += height;
        if (!table.Facts)
            Rule(Palette.Rule, .5f);
    }

    /// <summary>Tint and upright rules that keep each condition's pair of columns together.</summary>
    private void Backing(float height)
    {
        if (table.Groups.Count == 0)
            return;
        using var tint = new SKPaint { Color = Palette.Wash };
        using var rule = new SKPaint { Color = Palette.Rule, StrokeWidth = .5f, Style = SKPaintStyle.Stroke };
        for (int i = 1; i < table.Columns.Count; i++)
        {
            if (i % 2 == 0)
                paper.Canvas.DrawRect(edges[i], paper.Y, edges[i + 1] - edges[i], height, tint);
            else
                paper.Canvas.DrawLine(edges[i], paper.Y, edges[i], paper.Y + height, rule);
        }
    }

    private float HeadHeight()
    {
        if (table.Facts || table.Columns.All(c => c.Title.Length == 0))
            return 0;
        return (table.Groups.Count > 0 ? GroupLines().Max(g => g.Count) * HeadSize * Typeset.Leading + 3 : 0) + TitleLines()
            .Max(t => t.Count) * HeadSize * Typeset.Leading + 5;
    }

    private float HeadSize => table.Dense ? 7 : 7.6f;

    private List<IReadOnlyList<string>> TitleLines() =>
        [.. table.Columns.Select((c, i) => Typeset.Wrap(c.Title, HeadSize, bold: false, edges[i + 1] - edges[i] - 2 * padX))];

    private List<IReadOnlyList<string>> GroupLines()
    {
        var lines = new List<IReadOnlyList<string>>();
        int column = 0;
        foreach (ColumnGroup g in table.Groups)
        {
            lines.Add(Typeset.Wrap(g.Title, HeadSize, bold: true, edges[column + g.Span] - edges[column] - 2 * padX));
            column += g.Span;
        }

        return lines;
    }

    private void Head()
    {
        if (HeadHeight() <= 0)
            return;
        SKCanvas canvas = paper.Canvas;
        if (table.Groups.Count > 0)
        {
            var groups = GroupLines();
            int column = 0;
            for (int g = 0; g < groups.Count; g++)
            {
                for (int l = 0; l < groups[g].Count; l++)
                    Typeset.Draw(canvas, groups[g][l], edges[column] + padX, paper.Y + HeadSize * (1 + l * Typeset.Leading), HeadSize,
                        Palette.Ink, bold: true);
                column += table.Groups[g].Span;
            }

            paper.Y += groups.Max(g => g.Count) * HeadSize * Typeset.Leading + 3;
        }

        var titles = TitleLines();
        int deep = titles.Max(t => t.Count);
        for (int i = 0; i < titles.Count; i++)
        {
            bool right = table.Columns[i].Figures;
            for (int l = 0; l < titles[i].Count; l++)
            {
                float baseline = paper.Y + HeadSize * (1 + (deep - titles[i].Count + l) * Typeset.Leading);
                Typeset.Draw(canvas, titles[i][l], right ? edges[i + 1] - padX : edges[i] + padX, baseline, HeadSize, Palette.Quiet,
                    bold: false, right ? SKTextAlign.Right : SKTextAlign.Left);
            }
        }

        paper.Y += deep * HeadSize * Typeset.Leading + 2;
        Rule(Palette.Quiet, .7f);
        paper.Y += 1;
    }

    private void Rule(SKColor color, float width)
    {
        using var pen = new SKPaint { Color = color, StrokeWidth = width, Style = SKPaintStyle.Stroke };
        paper.Canvas.DrawLine(edges[0], paper.Y, edges[^1], paper.Y, pen);
    }
}
