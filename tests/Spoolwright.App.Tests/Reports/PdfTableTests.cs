using SkiaSharp;
using Spoolwright.Reports;
using Spoolwright.Reports.Pdf;

namespace Spoolwright.App.Tests.Reports;

/// <summary>Where a table begins on a page of the PDF.</summary>
public sealed class PdfTableTests
{
    [Theory]
    [InlineData(8, 400, 1, 8)] // it fits
    [InlineData(8, 100, 2, 8)] // small: not torn, begins on the next page and ends there
    [InlineData(30, 100, 2, 26)] // long: begins here, with a few rows
    [InlineData(30, 60, 2, 30)] // long: not with one or two rows alone under its headings
    public void Table_IsTornOnlyWhereItIsLong_AndNeverAfterOneRow(int rows, float room, int ends, int rowsThere)
    {
        const float row = 8.4f * Typeset.Leading + 6;
        using var document = SKDocument.CreatePdf(new SKManagedWStream(Stream.Null));
        using var paper = new Paper(document, "deck", 0);
        paper.Turn();
        paper.Y = Paper.Bottom - room;
        var table = new Table(
            [new Column("Quantity", 1), new Column("Value", 1, Figures: true)],
            [.. Enumerable.Range(0, rows).Select(i => (IReadOnlyList<Cell>)[$"row {i}", "1.0"])]
        );
        new TableSetter(table, paper).Set();
        Assert.Equal(ends, paper.Page);
        // Headings and the room after the table are less than two rows.
        var there = (paper.Y - (ends == 1 ? Paper.Bottom - room : Paper.Top)) / row;
        Assert.InRange(there, rowsThere, rowsThere + 2);
    }

    [Fact]
    public void EveryWordOfTheBench_HasItsLettersInTheRecordsTypeface()
    {
        // What the measuring code says of its methods and notes stands in the record: every letter of its texts.
        var lacking = Directory.GetFiles(Path.Combine(Cli.Tree.Root, "src/Spoolwright.Bench"), "*.cs", SearchOption.AllDirectories)
            .Where(f => !f.Contains("/obj/", StringComparison.Ordinal) && !f.Contains("/bin/", StringComparison.Ordinal))
            .SelectMany(f =>
                File.ReadLines(f)
                    .Where(l => !l.TrimStart().StartsWith('/') && l.Contains('"'))
                    .Where(l => RecordFonts.Printable(l) != l)
                    .Select(l => $"{Path.GetFileName(f)}: {l.Trim()}")
            )
            .ToList();
        Assert.Empty(lacking);
    }

    [Theory]
    [InlineData("1/min", "0.00")]
    [InlineData("1", "0.00")]
    [InlineData("dB", "0.00\u00A0dB")]
    public void Rate_WhoseNameSaysPerMinute_HasNoUnitBehindIt(string unit, string said) => Assert.Equal(said, Figures.Join("0.00", unit));
}
