using System.Globalization;
using System.Text;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Reports.Text;

namespace Spoolwright.Reports;

/// <summary>The listing as plain text to paste anywhere, and the fact sheet as a page with pictures.</summary>
public static class ListingWriter
{
    private const int PicturesAbreast = 2;

    /// <summary>Plain text: short lines, no markup, nothing that the book does not hold.</summary>
    public static string Text(ListingData data)
    {
        ArgumentNullException.ThrowIfNull(data);
        var text = new StringBuilder();
        text.Append(data.Title).Append('\n');
        if (data.Asked is { } asked)
            text.Append("Price: ").Append(asked).Append('\n');
        if (data.Words is { } words)
            text.Append('\n').Append(words.Trim()).Append('\n');
        Section(text, "What was done", data.Work);
        Section(text, "What is new in it", data.Fitted);
        var findings = Summary.Findings(data.Record);
        if (findings.Count > 0)
        {
            Section(text, "Measured as left", [.. findings.Select(f => $"{f.Lead}: {f.Text}".Replace('\u00A0', ' ')),
                "Every figure stands in the record, with its uncertainty and its limit."]);
        }

        Section(text, "Functions", [Functions(data)]);
        Section(text, "What you should know", Faults(data));
        Section(text, "With it", data.Accessories);
        Section(text, "Warranty", [Warranty(data)]);
        if (data.Sample is { } sample)
            Section(text, "To hear", [sample]);
        if (data.Record.Seal is { } seal)
            Section(text, "Record", [$"signed with the shop's key {seal.Fingerprint}; anyone can check it with the program"]);
        text.Append('\n').Append(data.Shop).Append('\n');
        return text.ToString();
    }

    /// <summary>The fact sheet, one page that needs nothing beside it.</summary>
    public static string FactSheet(ListingData data)
    {
        ArgumentNullException.ThrowIfNull(data);
        return HtmlRecord.Page([.. Blocks(data)], data.Record.ProgramVersion);
    }

    private static IEnumerable<Block> Blocks(ListingData data)
    {
        yield return new Heading(1, data.Title);
        var facts = new List<IReadOnlyList<Cell>> { new Cell[] { "Deck",
            $"{data.Record.Deck.ProfileName}, serial number {data.Record.Deck.SerialNumber}" }, new Cell[] { "Offered by", data.Shop } };
        if (data.Asked is { } asked)
            facts.Add([(Cell)"Price", asked]);
        if (data.Record.Conditions.Any(c => c.Passes.Any(p => p.Measurements.Count > 0)))
            facts.Add([
                (Cell)"Conditions measured",
                Words.Of(data.Record.Conditions.Where(c => c.Passes.Any(p => p.Measurements.Count > 0)).Select(c => c.Condition)),
            ]);
        facts.Add([(Cell)"Functions", Functions(data)]);
        facts.Add([(Cell)"Warranty", Warranty(data)]);
        if (data.Sample is { } sample)
            facts.Add([(Cell)"To hear", sample]);
        if (data.Record.Seal is { } seal)
            facts.Add([(Cell)"Signed", $"{Figures.Moment(seal.SignedAt)}, key {seal.Fingerprint}. {RecordSeal.DoesNotProve}"]);
        yield return new Table([new Column(string.Empty, 1.1), new Column(string.Empty, 6)], facts) { Facts = true, Caption = "The deck" };
        if (data.Words is { } words)
            yield return new Paragraph(words);
        var asLeft = data.Photos.Where(p => p.Mark == "as left").ToList();
        foreach (var row in Pictures(asLeft.Take(4)))
            yield return row;
        if (Summary.Findings(data.Record) is { Count: > 0 } findings)
        {
            yield return new Heading(2, "Measured as left", "measured");
            yield return new MarkLegend();
            yield return new Findings(findings);
        }

        foreach (var (title, anchor, items) in new[] { ("What was done", "work", data.Work), ("What is new in it", "new", data.Fitted),
            ("What you should know", "faults", Faults(data)), ("With it", "with", data.Accessories) })
        {
            if (items.Count == 0)
                continue;
            yield return new Heading(2, title, anchor);
            yield return new Findings([.. items.Select(i => new Finding(null, string.Empty, i))]);
        }

        if (data.Photos.Count > 0)
        {
            yield return new Heading(2, "By assembly, as found beside as left", "photos");
            foreach (var assembly in data.Photos.GroupBy(p => p.Assembly))
            {
                foreach (var row in Pictures(assembly.OrderBy(p => p.Mark == "as left")))
                    yield return row;
            }
        }
    }

    private static IEnumerable<PictureRow> Pictures(IEnumerable<ListingPhoto> photos) => photos.Chunk(PicturesAbreast)
        .Select(c => new PictureRow([.. c.Select(p =>
            new Picture(p.Jpeg, $"{Words.Capital(p.Assembly)}, {p.Mark}{(p.Caption is { } caption ? $": {caption}" : string.Empty)}"))]));

    private static IReadOnlyList<string> Faults(ListingData data)
    {
        string[] known = [.. data.Record.AcceptedFaults.Select(f => $"{f.Of}: {f.Words}"), .. data.Open];
        return known.Length > 0 ? known
            : data.Untried > 0 ? ["No fault is known; functions that were not tried may hide one."]
            : ["No fault is known that is not said here."];
    }

    private static string Functions(ListingData data) =>
        data.Functions.Tried == 0
            ? "not tried by a list"
            : string.Create(
                CultureInfo.InvariantCulture,
                $"{data.Functions.Works} of {data.Functions.Tried} functions tried as left work{(data.Untried > 0 ? $"; {data.Untried} were not tried" : "")}"
            );

    private static string Warranty(ListingData data) => data.WarrantyMonths == 0 ? "none"
        : string.Create(CultureInfo.InvariantCulture, $"{data.WarrantyMonths} months. {data.WarrantyTerms}");

    private static void Section(StringBuilder text, string title, IReadOnlyList<string> lines)
    {
        if (lines.Count == 0)
            return;
        text.Append('\n').Append(title).Append('\n');
        foreach (var line in lines)
            text.Append("- ").Append(line).Append('\n');
    }
}
