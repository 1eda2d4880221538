using System.Globalization;
using System.Reflection;
using System.Text;
using Spoolwright.Bench.Limits;
using Spoolwright.Reports.Html;
using Spoolwright.Reports.Text;

namespace Spoolwright.Reports;

/// <summary>
/// The record as one HTML file that needs nothing beside it: style, typeface and drawings are in it, and there is no script. It prints on
/// A4.
/// </summary>
public static class HtmlRecord
{
    private const float DrawingWidth = 520;

    /// <summary>Writes the record; the same data gives the same text, byte for byte.</summary>
    public static string Write(RecordData data)
    {
        ArgumentNullException.ThrowIfNull(data);
        return Page(RecordText.Of(data), data.ProgramVersion);
    }

    /// <summary>A page of blocks, whatever they tell of.</summary>
    internal static string Page(IReadOnlyList<Block> blocks, string programVersion)
    {
        string title = blocks.OfType<Heading>().First().Text;
        var page = new StringBuilder();
        page.Append("<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n")
            .Append("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n")
            .Append("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; font-src data:")
            .Append(blocks.Any(b => b is PictureRow) ? "; img-src data:" : string.Empty)
            .Append("\">\n")
            .Append(
                CultureInfo.InvariantCulture,
                $"<meta name=\"generator\" content=\"Spoolwright {HtmlText.Attribute(programVersion)}\">\n"
            )
            .Append(
                CultureInfo.InvariantCulture,
                $"<title>{HtmlText.Of(title)}</title>\n<style>\n{Style()}</style>\n</head>\n<body>\n<main>\n"
            );
        int drawings = 0;
        bool open = false;
        foreach (Block block in blocks)
        {
            if (block is Heading { Level: 2 } heading)
            {
                page.Append(open ? "</section>\n" : string.Empty)
                    .Append(
                        CultureInfo.InvariantCulture,
                        $"<section id=\"{heading.Anchor}\"{(heading.NewPage ? " class=\"new-page\"" : string.Empty)}>\n"
                    );
                open = true;
            }

            Set(page, block, ref drawings);
        }

        page.Append(open ? "</section>\n" : string.Empty).Append("</main>\n</body>\n</html>\n");
        return page.ToString();
    }

    private static void Set(StringBuilder page, Block block, ref int drawings)
    {
        switch (block)
        {
            case Heading h:
                page.Append(
                    CultureInfo.InvariantCulture,
                    $"<h{h.Level}{(h is { Level: > 2, Anchor: { } id } ? $" id=\"{id}\"" : string.Empty)}>{HtmlText.Of(h.Text)}</h{h.Level}>\n"
                );
                break;
            case Paragraph p:
                page.Append(CultureInfo.InvariantCulture, $"<p{(p.Small ? " class=\"small\"" : string.Empty)}>{HtmlText.Of(p.Text)}</p>\n");
                break;
            case Findings f:
                Set(page, f);
                break;
            case MarkLegend:
                page.Append("<p class=\"legend\">")
                    .AppendJoin("", Enum.GetValues<Verdict>().Select(v =>
                        $"<span class=\"{Class(v)}\">{VerdictMark.Svg(v)} {Words.Of(v)}</span>"))
                    .Append("</p>\n<p class=\"small\">").Append(HtmlText.Of(MarkWords.Explained)).Append("</p>\n");
                break;
            case Table { Facts: true } t:
                page.Append(
                    CultureInfo.InvariantCulture,
                    $"<table class=\"facts\" aria-label=\"{HtmlText.Attribute(t.Caption ?? string.Empty)}\">\n"
                );
                foreach (var row in t.Rows)
                    page.Append(
                        CultureInfo.InvariantCulture,
                        $"<tr><th scope=\"row\">{HtmlText.Of(row[0].Text)}</th><td>{HtmlText.Of(row[1].Text)}</td></tr>\n"
                    );
                page.Append("</table>\n");
                break;
            case Table t:
                Set(page, t);
                break;
            case PictureRow r:
                page.Append(r.Pictures.Count == 1 ? "<div class=\"drawings one\">" : "<div class=\"drawings\">");
                foreach (Picture picture in r.Pictures)
                {
                    page.Append(
                            CultureInfo.InvariantCulture,
                            $"<figure><img src=\"data:image/jpeg;base64,{Convert.ToBase64String(picture.Jpeg)}\" alt=\"{HtmlText.Attribute(picture.Caption)}\" style=\"max-width:100%;height:auto\">"
                        )
                        .Append(CultureInfo.InvariantCulture, $"<figcaption>{HtmlText.Of(picture.Caption)}</figcaption></figure>");
                }

                page.Append("</div>\n");
                break;
            case DrawingRow r:
                bool key = r.Drawings[0].Caption.Length == 0;
                float width = r.Drawings.Count == 1 && !key ? DrawingWidth * 1.2f : DrawingWidth / (key ? 1 : 2);
                page.Append(key ? "<div class=\"key\">" : r.Drawings.Count == 1 ? "<div class=\"drawings one\">"
                    : "<div class=\"drawings\">");
                foreach (Drawing d in r.Drawings)
                {
                    page.Append("<figure>").Append(DrawingSvg.Of(d, width, (float)(width * r.HeightShare), ++drawings));
                    page.Append(key ? "</figure>" : $"<figcaption>{HtmlText.Of(d.Caption)}</figcaption></figure>");
                }

                page.Append("</div>\n");
                break;
            default:
                throw new InvalidOperationException($"no setting for {block.GetType().Name}");
        }
    }

    private static void Set(StringBuilder page, Findings findings)
    {
        page.Append("<ul class=\"findings\">\n");
        foreach (Finding f in findings.Items)
        {
            page.Append(f.Verdict is { } v ? $"<li class=\"{Class(v)}\">{VerdictMark.Svg(v)}" : "<li class=\"plain\">");
            if (f.Lead.Length > 0)
                page.Append(CultureInfo.InvariantCulture, $"<b>{HtmlText.Of(f.Lead)}</b> ");
            page.Append(CultureInfo.InvariantCulture, $"<span>{HtmlText.Of(f.Text)}</span></li>\n");
        }

        page.Append("</ul>\n");
    }

    private static void Set(StringBuilder page, Table table)
    {
        page.Append(
            CultureInfo.InvariantCulture,
            $"<div class=\"wide\"><table{(table.Dense ? " class=\"dense\"" : table.Groups.Count > 0 ? " class=\"matrix\"" : string.Empty)}>\n"
        );
        if (table.Caption is { } caption)
            page.Append(CultureInfo.InvariantCulture, $"<caption>{HtmlText.Of(caption)}</caption>\n");
        double shares = table.Columns.Sum(c => c.Share);
        page.Append("<colgroup>");
        foreach (Column c in table.Columns)
            page.Append(CultureInfo.InvariantCulture, $"<col style=\"width:{c.Share / shares * 100:0.#}%\">");
        page.Append("</colgroup>\n<thead>\n");
        if (table.Groups.Count > 0)
        {
            page.Append("<tr>");
            foreach (ColumnGroup g in table.Groups)
                page.Append(g.Title.Length == 0 ? $"<td colspan=\"{g.Span}\"></td>"
                    : $"<th scope=\"colgroup\" colspan=\"{g.Span}\" class=\"group\">{HtmlText.Of(g.Title)}</th>");
            page.Append("</tr>\n");
        }

        page.Append("<tr>");
        foreach (Column c in table.Columns)
            page.Append(
                CultureInfo.InvariantCulture,
                $"<th scope=\"col\"{(c.Figures ? " class=\"n\"" : string.Empty)}>{HtmlText.Of(c.Title)}</th>"
            );
        page.Append("</tr>\n</thead>\n<tbody>\n");
        foreach (var row in table.Rows)
        {
            page.Append("<tr>");
            for (int i = 0; i < row.Count; i++)
                Set(page, row[i], table.Columns[i], first: i == 0);
            page.Append("</tr>\n");
        }

        page.Append("</tbody>\n</table></div>\n");
    }

    private static void Set(StringBuilder page, Cell cell, Column column, bool first)
    {
        string tag = first ? "th" : "td";
        string classes = string.Join(' ', new[] { column.Figures ? "n" : string.Empty, cell.Mark is { } v ? Class(v) : string.Empty,
            cell.Strong ? "strong" : string.Empty }.Where(c => c.Length > 0));
        page.Append('<').Append(tag).Append(first ? " scope=\"row\"" : string.Empty)
            .Append(classes.Length > 0 ? $" class=\"{classes}\"" : string.Empty).Append('>');
        if (cell.Mark is { } mark)
        {
            page.Append(VerdictMark.Svg(mark));
            // Where only the mark is seen, the word is still said to those who hear the page.
            if (!$"{cell.Text} {cell.Sub}".Contains(Words.Of(mark), StringComparison.Ordinal))
                page.Append(CultureInfo.InvariantCulture, $"<span class=\"unseen\">{Words.Of(mark)} </span>");
        }

        page.Append(cell.LeadsTo is { } anchor ? $"<a href=\"#{anchor}\">{HtmlText.Of(cell.Text)}</a>" : HtmlText.Of(cell.Text));
        if (cell.Sub is { } sub)
            page.Append(CultureInfo.InvariantCulture, $"<small>{HtmlText.Of(sub)}</small>");
        page.Append("</").Append(tag).Append('>');
    }

    private static string Class(Verdict verdict) =>
        verdict switch { Verdict.Met => "met", Verdict.NotProven => "not-proven", Verdict.NotMet => "not-met", _ => "not-measured" };

    private static string Style()
    {
        using var reader = new StreamReader(Assembly.GetExecutingAssembly().GetManifestResourceStream("record.css")!);
        return reader.ReadToEnd()
            .Replace("REGULAR", Convert.ToBase64String(RecordFonts.Bytes("record-regular.ttf")), StringComparison.Ordinal)
            .Replace("BOLD", Convert.ToBase64String(RecordFonts.Bytes("record-bold.ttf")), StringComparison.Ordinal);
    }
}
