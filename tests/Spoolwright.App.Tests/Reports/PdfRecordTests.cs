using System.Globalization;
using System.Text.RegularExpressions;
using Spoolwright.Bench;
using Spoolwright.Reports;
using Spoolwright.Reports.Text;

namespace Spoolwright.App.Tests.Reports;

/// <summary>The PDF as other programs read it.</summary>
public sealed partial class PdfRecordTests(RecordFiles files) : IClassFixture<RecordFiles>
{
    [Fact]
    public void Fonts_AreOursEmbeddedAndSearchable()
    {
        string[] fonts = [.. Poppler.Run("pdffonts", files.PdfPath).Split('\n', StringSplitOptions.RemoveEmptyEntries).Skip(2)];
        Assert.NotEmpty(fonts);
        // name, type, encoding, emb, sub, uni
        Assert.All(fonts, f => Assert.Matches(@"SpoolwrightRecord-(Regular|Bold)\s+.*\s+yes yes yes\s", f));
    }

    [Fact]
    public void File_OfTheWholeSample_IsSmallAndOnA4()
    {
        string about = Poppler.Run("pdfinfo", files.PdfPath);
        Assert.Contains("(A4)", about, StringComparison.Ordinal);
        Assert.Contains("Service record of Meridian A7, serial number A7-00412", about, StringComparison.Ordinal);
        Assert.True(new FileInfo(files.PdfPath).Length < 900_000, $"{new FileInfo(files.PdfPath).Length} bytes");
    }

    [Fact]
    public void EveryReadingHashAndNote_CanBeFoundInTheText()
    {
        // Lines break where the paper ends, so that white space says nothing.
        string text = Squeezed(Poppler.Run("pdftotext", "-raw", files.PdfPath, "-"));
        string shape = OpenNumbers.Shape(text);
        foreach (Reading r in ListedFigures.Of(files.Data))
            Assert.Contains(Squeezed($"{Figures.Value(r)} ± {Figures.UncertaintyNumber(r)}"), text, StringComparison.Ordinal);
        foreach (PassMeasurement m in files.Data.Passes.SelectMany(p => p.Pass.Measurements))
        {
            Assert.Contains(m.Entry.Capture.Sha256, text, StringComparison.Ordinal);
            // A very long note runs over a page's foot, where a footer and the table's head come between.
            // Notes that differ in their numbers alone are told once.
            Assert.All(m.Result.Notes.Where(n => n.Text.Length < 300), n =>
                Assert.Contains(OpenNumbers.Shape(Squeezed(n.Text)), shape, StringComparison.Ordinal));
        }

        Assert.DoesNotContain("NaN", text, StringComparison.Ordinal);
        Assert.DoesNotContain("?", text, StringComparison.Ordinal);
    }

    [Fact]
    public void EveryPage_IsNumberedOfTheSameCount()
    {
        int pages = int.Parse(Pages().Match(Poppler.Run("pdfinfo", files.PdfPath)).Groups["n"].Value, CultureInfo.InvariantCulture);
        Assert.InRange(pages, 5, 40);
        for (int page = 1; page <= pages; page++)
            Assert.Contains($"page {page} of {pages}", Poppler.Run("pdftotext", "-f", $"{page}", "-l", $"{page}", files.PdfPath, "-"),
                StringComparison.Ordinal);
    }

    [Fact]
    public void EveryWord_LiesInsideTheMargins()
    {
        var words = Word().Matches(Poppler.Run("pdftotext", "-bbox", files.PdfPath, "-"));
        Assert.True(words.Count > 2000);
        foreach (Match word in words)
        {
            double Edge(string name) => double.Parse(word.Groups[name].Value, CultureInfo.InvariantCulture);
            Assert.True(Edge("x0") >= 43.5 && Edge("x1") <= 595.28 - 43 && Edge("y0") >= 28 && Edge("y1") <= 841.89 - 20,
                $"'{word.Groups["text"].Value}' lies at {word.Value}");
        }
    }

    [Fact]
    public void FirstPage_SaysWhatABuyerWants()
    {
        string page = Poppler.Run("pdftotext", "-l", "1", "-layout", files.PdfPath, "-");
        foreach (string words in (string[])["Meridian A7", "A7-00412", "What was done", "In short", "As found beside as left",
            "Speed error", "not measured", "could not run"])
            Assert.Contains(words, page, StringComparison.Ordinal);
    }

    [Fact]
    public void EveryPage_DrawsSomething()
    {
        Poppler.Run("pdftoppm", "-r", "20", "-gray", files.PdfPath, Path.Combine(files.Folder, "page"));
        string[] pictures = Directory.GetFiles(files.Folder, "page*.pgm");
        Assert.True(pictures.Length >= 5);
        // PGM: a short text header, then a byte a pixel; paper is 255.
        Assert.All(pictures, p => Assert.True(File.ReadAllBytes(p).Skip(15).Count(b => b < 200) > 100, $"{p} is empty"));
    }

    [Fact]
    public void Letters_ThatTheTypefaceLacks_AreMarkedAndTheRestStands()
    {
        string path = Path.Combine(files.Folder, "letters.pdf");
        RecordData data = files.Data with { Workshop = "Мастерская Łódź Ørsted 修理 Ünlü" };
        using (var pdf = File.Create(path))
            PdfRecord.Write(data, pdf);
        string text = Poppler.Run("pdftotext", "-l", "1", "-layout", path, "-");
        Assert.Contains("?????????? Łódź Ørsted ?? Ünlü", text, StringComparison.Ordinal);
    }

    private static string Squeezed(string text) => White().Replace(text, string.Empty);

    [GeneratedRegex(@"[\s\u00A0]+", RegexOptions.None, 5000)]
    private static partial Regex White();

    [GeneratedRegex(@"Pages:\s+(?<n>\d+)", RegexOptions.ExplicitCapture, 5000)]
    private static partial Regex Pages();

    [GeneratedRegex(
        """<word xMin="(?<x0>[\d.-]+)" yMin="(?<y0>[\d.-]+)" xMax="(?<x1>[\d.-]+)" yMax="(?<y1>[\d.-]+)">(?<text>[^<]*)""",
        RegexOptions.ExplicitCapture,
        5000
    )]
    private static partial Regex Word();
}
