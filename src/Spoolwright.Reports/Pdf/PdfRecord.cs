using SkiaSharp;
using Spoolwright.Bench.Limits;
using Spoolwright.Reports.Pdf;
using Spoolwright.Reports.Text;

namespace Spoolwright.Reports;

/// <summary>The record as a PDF on A4: text that can be selected and searched, drawings in vectors, the typeface embedded.</summary>
public static class PdfRecord
{
    /// <summary>Writes the record. The stream is left open.</summary>
    public static void Write(RecordData data, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(data);
        ArgumentNullException.ThrowIfNull(stream);
        IReadOnlyList<Block> blocks = RecordText.Of(data);
        // Set once to count the pages, then again with the count in the footer.
        int pages = Set(data, blocks, Stream.Null, 0);
        Set(data, blocks, stream, pages);
    }

    private static int Set(RecordData data, IReadOnlyList<Block> blocks, Stream stream, int total)
    {
        string title = blocks.OfType<Heading>().First().Text;
        var about = new SKDocumentPdfMetadata
        {
            Title = title,
            Author = data.Workshop ?? string.Empty,
            Creator = $"Spoolwright {data.ProgramVersion}",
            Producer = $"Spoolwright {data.ProgramVersion}",
            Creation = data.Written.UtcDateTime,
            Modified = data.Written.UtcDateTime,
            RasterDpi = 300,
            EncodingQuality = 101,
        };
        using var managed = new SKManagedWStream(stream, disposeManagedStream: false);
        using SKDocument document = SKDocument.CreatePdf(managed, about)
            ?? throw new InvalidOperationException("the PDF writer cannot be started");
        int pages;
        using (var paper = new Paper(document, title, total))
        {
            paper.Turn();
            for (int i = 0; i < blocks.Count; i++)
                Set(paper, blocks[i], blocks.Skip(i + 1));
            pages = paper.Page;
        }

        document.Close();
        return pages;
    }

    private static void Set(Paper paper, Block block, IEnumerable<Block> following)
    {
        switch (block)
        {
            case Heading h:
                SetHeading(paper, h, following);
                break;
            case Paragraph p:
                SetLines(paper, p.Text, p.Small ? 8 : 9.2f, p.Small ? Palette.Quiet : Palette.Ink, indent: 0, after: 5);
                break;
            case Findings f:
                foreach (Finding finding in f.Items)
                    SetFinding(paper, finding);
                paper.Y += 4;
                break;
            case MarkLegend:
                SetLegend(paper);
                break;
            case Table t:
                new TableSetter(t, paper).Set();
                break;
            case DrawingRow r:
                SetDrawings(paper, r);
                break;
            default:
                throw new InvalidOperationException($"no setting for {block.GetType().Name}");
        }
    }

    private static void SetHeading(Paper paper, Heading heading, IEnumerable<Block> following)
    {
        float size = heading.Level switch { 1 => 17, 2 => 12.5f, _ => 9.6f };
        var lines = Typeset.Wrap(heading.Text, size, bold: true, Paper.Measure);
        float height = lines.Count * size * 1.22f;
        // Where little stands on the page yet, a fresh one would be a waste of paper.
        if (heading.NewPage && paper.Y > Paper.Top + (Paper.Bottom - Paper.Top) * .3f)
            paper.Turn();
        paper.Need(height + (heading.Level == 1 ? 0 : 14) + Kept(paper, following));
        if (heading.Level == 1)
        {
            using var band = new SKPaint { Color = Palette.Accent };
            paper.Canvas.DrawRect(Paper.Side, paper.Y - 10, Paper.Measure, 3, band);
            paper.Y += 6;
        }
        else if (!paper.Fresh)
        {
            paper.Y += heading.Level == 2 ? 9 : 6;
        }

        foreach (string line in lines)
        {
            Typeset.Draw(paper.Canvas, line, Paper.Side, paper.Y + size, size, Palette.Ink, bold: true);
            paper.Y += size * 1.22f;
        }

        if (heading.Level == 2)
        {
            using var rule = new SKPaint { Color = Palette.Rule, StrokeWidth = .7f, Style = SKPaintStyle.Stroke };
            paper.Canvas.DrawLine(Paper.Side, paper.Y + 3, Paper.Side + Paper.Measure, paper.Y + 3, rule);
            paper.Y += 7;
        }
        else
        {
            paper.Y += heading.Level == 1 ? 8 : 3;
        }
    }

    /// <summary>Height of what must stand on the same page as a heading: its words of introduction and the beginning of what they
    /// introduce.</summary>
    private static float Kept(Paper paper, IEnumerable<Block> following)
    {
        float height = 0;
        foreach (Block block in following)
        {
            switch (block)
            {
                case Paragraph p:
                    float size = p.Small ? 8 : 9.2f;
                    height += Typeset.Wrap(p.Text, size, bold: false, Paper.Measure).Count * size * Typeset.Leading + 5;
                    break;
                case DrawingRow { Drawings: [{ Caption.Length: 0 }, ..] }:
                    height += 17;
                    break;
                case MarkLegend:
                    height += 45;
                    break;
                case DrawingRow row:
                    return height + (float)(Paper.Measure / 2 * row.HeightShare) + 15;
                case Heading:
                    height += 26;
                    break;
                case Table table:
                    return height + new TableSetter(table, paper).Beginning();
                default:
                    return height + 60;
            }
        }

        return height;
    }

    private static void SetLines(Paper paper, string text, float size, SKColor color, float indent, float after)
    {
        foreach (string line in Typeset.Wrap(text, size, bold: false, Paper.Measure - indent))
        {
            paper.Need(size * Typeset.Leading);
            Typeset.Draw(paper.Canvas, line, Paper.Side + indent, paper.Y + size, size, color);
            paper.Y += size * Typeset.Leading;
        }

        paper.Y += after;
    }

    private static void SetFinding(Paper paper, Finding finding)
    {
        const float size = 9.2f, indent = 14;
        string lead = finding.Lead.Length == 0 ? string.Empty : finding.Lead + "  ";
        float leadWidth = Typeset.Width(RecordFonts.Printable(lead), size, bold: true);
        // The lead stands bold in the first line; the rest runs on from it.
        bool apart = leadWidth > Paper.Measure * .6f;
        var lines = Typeset.Wrap(finding.Text, size, bold: false, Paper.Measure - indent, taken: apart ? 0 : leadWidth);
        paper.Need(Math.Min(lines.Count, 3) * size * Typeset.Leading);
        if (finding.Verdict is { } verdict)
            VerdictMark.Draw(paper.Canvas, verdict, Paper.Side, paper.Y + 1.2f, 9);
        else
            Typeset.Draw(paper.Canvas, "–", Paper.Side + 2, paper.Y + size, size, Palette.Quiet);
        Typeset.Draw(paper.Canvas, lead.TrimEnd(), Paper.Side + indent, paper.Y + size, size, Palette.Ink, bold: true);
        if (apart)
            paper.Y += size * Typeset.Leading;
        for (int i = 0; i < lines.Count; i++)
        {
            if (i > 0)
                paper.Need(size * Typeset.Leading);
            Typeset.Draw(paper.Canvas, lines[i], Paper.Side + indent + (i == 0 && !apart ? leadWidth : 0), paper.Y + size, size,
                Palette.Ink);
            paper.Y += size * Typeset.Leading;
        }

        paper.Y += 1.5f;
    }

    private static void SetLegend(Paper paper)
    {
        paper.Need(30);
        float x = Paper.Side;
        foreach (Verdict verdict in Enum.GetValues<Verdict>())
        {
            VerdictMark.Draw(paper.Canvas, verdict, x, paper.Y + 1, 8.5f);
            Typeset.Draw(paper.Canvas, Words.Of(verdict), x + 12, paper.Y + 8.5f, 8.5f, Palette.Of(verdict));
            x += 12 + Typeset.Width(Words.Of(verdict), 8.5f, bold: false) + 18;
        }

        paper.Y += 14;
        SetLines(paper, MarkWords.Explained, 7.4f, Palette.Quiet, indent: 0, after: 3);
    }

    private static void SetDrawings(Paper paper, DrawingRow row)
    {
        const float gap = 16, captionHeight = 15;
        bool key = row.Drawings[0].Caption.Length == 0;
        int columns = key ? 1 : 2;
        float width = row.Drawings.Count == 1 && !key ? Paper.Measure * .62f : (Paper.Measure - gap * (columns - 1)) / columns;
        // One alone stands larger; where that would take it over to the next page, away from what it belongs to, as small as two.
        if (row.Drawings.Count == 1 && !key && !paper.Fits((float)(width * row.HeightShare) + captionHeight))
            width = (Paper.Measure - gap) / 2;
        float height = key ? 13 : (float)(width * row.HeightShare);
        paper.Need(height + (key ? 100 : captionHeight));
        for (int i = 0; i < row.Drawings.Count; i++)
        {
            float x = Paper.Side + i * (width + gap);
            paper.Canvas.Save();
            paper.Canvas.Translate(x, paper.Y);
            row.Drawings[i].Draw(paper.Canvas, width, height);
            paper.Canvas.Restore();
            if (!key)
                Typeset.Draw(paper.Canvas, row.Drawings[i].Caption, x + width / 2, paper.Y + height + 8, 8, Palette.Quiet, bold: false,
                    SKTextAlign.Center);
        }

        paper.Y += height + (key ? 4 : captionHeight + 4);
    }
}
