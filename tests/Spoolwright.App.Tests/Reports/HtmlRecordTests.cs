using System.Text.RegularExpressions;
using SkiaSharp;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Reports;
using Spoolwright.Reports.Text;

namespace Spoolwright.App.Tests.Reports;

public sealed partial class HtmlRecordTests(RecordFiles files) : IClassFixture<RecordFiles>
{
    [Fact]
    public void Page_NeedsNothingBesideIt()
    {
        Assert.DoesNotContain("http:", files.Html, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("https:", files.Html, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("<script", files.Html, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("<link", files.Html, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("<img", files.Html, StringComparison.OrdinalIgnoreCase);
        Assert.All(Url().Matches(files.Html), m => Assert.Matches("^(data:font/ttf;base64,|#d[0-9]+-)", m.Groups["to"].Value));
    }

    [Fact]
    public void Page_OfAnySample_HasNoNumberThatIsNone()
    {
        Assert.DoesNotContain("NaN", files.HtmlText, StringComparison.Ordinal);
        Assert.DoesNotContain("∞", files.HtmlText, StringComparison.Ordinal);
        Assert.DoesNotContain("Infinity", files.HtmlText, StringComparison.Ordinal);
        Assert.DoesNotContain("nan", string.Concat(Drawing().Matches(files.Html).Select(m => m.Value)), StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public void LinesAsFound_AreDashed_SoThatInkIsNotAllThatTellsThem()
    {
        // A dash is a stroke of its own: an "M" for each. Markers' rings and bars are closed or short and have one.
        int[] Strokes(SkiaSharp.SKColor ink) =>
            [
                .. Regex
                    .Matches(
                        files.Html,
                        $"<path fill=\"none\" stroke=\"#{ink.ToString()[3..]}\"[^>]*? d=\"(?<d>[^\"]*)\"",
                        RegexOptions.IgnoreCase | RegexOptions.ExplicitCapture,
                        TimeSpan.FromSeconds(5)
                    )
                    .Select(m => m.Groups["d"].Value.Count(c => c == 'M')),
            ];
        var found = Strokes(Palette.Before);
        Assert.True(found.Count(strokes => strokes > 10) > 4, $"{found.Count(strokes => strokes > 10)} curves as found");
        Assert.DoesNotContain(Strokes(Palette.Accent), strokes => strokes > 10);
    }

    [Fact]
    public void EveryReading_StandsWithItsUncertaintyOrSaysThatThereIsNone()
    {
        string text = files.HtmlText;
        Assert.True(files.Data.Passes.SelectMany(p => p.Pass.Readings).Count() > 500, "the sample has shrunk");
        var readings = ListedFigures.Of(files.Data).ToList();
        Assert.True(readings.Count > 250, "the tables have shrunk");
        var methods = new MethodList(readings);
        Assert.Contains(readings, r => r.Uncertainty is null);
        foreach (Reading r in readings)
        {
            Assert.Contains($"{Figures.Value(r)} ± {Figures.UncertaintyNumber(r)}".Replace('\u00A0', ' '), text, StringComparison.Ordinal);
            Assert.Contains(
                r.Unit == "1" ? Words.Quantity(r.Quantity) : $"{Words.Quantity(r.Quantity)}, {r.Unit}",
                text,
                StringComparison.Ordinal
            );
            Assert.Contains(methods.TextOf(r), text, StringComparison.Ordinal);
            Assert.All(
                r.Parts,
                p => Assert.Contains(Words.Part(p.Name) + (p.Expanded is null ? "" : " ("), text, StringComparison.Ordinal)
            );
        }
    }

    [Fact]
    public void Provenance_OfEveryFigure_IsOnThePage()
    {
        string text = files.HtmlText;
        foreach (PassMeasurement m in files.Data.Passes.SelectMany(p => p.Pass.Measurements))
        {
            Assert.Contains(m.Entry.Capture.Sha256, text, StringComparison.Ordinal);
            Assert.Contains(m.Entry.Capture.File, text, StringComparison.Ordinal);
            Assert.All(m.Result.Notes, n => Assert.Contains(n.Code, text, StringComparison.Ordinal));
            Assert.All(m.Entry.Instruments, i => Assert.Contains(i.Name, text, StringComparison.Ordinal));
            Assert.Contains($"id=\"{m.Entry.Measurement}\"", files.Html, StringComparison.Ordinal);
        }

        Assert.All(SampleRecord.Limits, l => Assert.Contains(l.Source, text, StringComparison.Ordinal));
        Assert.Contains("could not run: the reverse pinch roller had turned to tar", text, StringComparison.Ordinal);
        Assert.Contains("by Spoolwright 0.1.0", text, StringComparison.Ordinal);
    }

    [Fact]
    public void EveryVerdictMark_HasItsWordBesideIt()
    {
        var cells = MarkedCell().Matches(files.Html);
        Assert.True(cells.Count > 100);
        Assert.All(cells, m => Assert.Contains(m.Groups["kind"].Value.Replace('-', ' '), RecordFiles.Text(m.Groups["inside"].Value),
            StringComparison.Ordinal));
        Assert.All(Enum.GetValues<Verdict>(), v => Assert.Contains(Words.Of(v), files.HtmlText, StringComparison.Ordinal));
    }

    [Fact]
    public void NamesInDrawings_AreTheirOwn()
    {
        var ids = Id().Matches(files.Html).Select(m => m.Groups["id"].Value).ToList();
        Assert.Equal(ids.Count, ids.Distinct().Count());
        foreach (Match use in Url().Matches(files.Html).Where(m => m.Groups["to"].Value.StartsWith('#')))
            Assert.Contains(use.Groups["to"].Value[1..], ids);
    }

    [Fact]
    public void Drawings_AreAsManyAsTheConditionsAsk_AndAreDescribed()
    {
        // Left and right response, flutter and azimuth for each of four conditions, and three keys.
        var drawings = Drawing().Matches(files.Html);
        Assert.Equal(4 * 4 + 3, drawings.Count);
        Assert.All(drawings, d => Assert.Matches("role=\"img\" aria-label=\"[^\"]{20,}\"", d.Value));
        // Nothing is drawn twice over: each label stands once.
        Assert.All(drawings.Where(d => d.Value.Contains("aria-label=\"Response", StringComparison.Ordinal)), d =>
            Assert.Single(Regex.Matches(RecordFiles.Text(d.Value), @"\b20k\b", RegexOptions.None, TimeSpan.FromSeconds(5))));
        Assert.Contains("pinch roller", string.Concat(drawings.Select(d => RecordFiles.Text(d.Value))), StringComparison.Ordinal);
    }

    [Fact]
    public void TextThatPeopleTyped_IsShownAndNotObeyed()
    {
        RecordData data = SampleRecord.Data();
        const string nasty = "<script>alert(1)</script> & \"quotes\"";
        data = data with { Deck = data.Deck with { Description = nasty, SerialNumber = nasty }, Workshop = nasty };
        string html = HtmlRecord.Write(data);
        Assert.DoesNotContain("<script", html, StringComparison.Ordinal);
        Assert.Contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;quotes&quot;", html, StringComparison.Ordinal);
    }

    [Fact]
    public void SameData_GivesTheSamePage() => Assert.Equal(files.Html, HtmlRecord.Write(SampleRecord.Data()));

    [Fact]
    public void EmptyJob_StillMakesAPage()
    {
        RecordData data = SampleRecord.Data() with { Conditions = [] };
        string text = RecordFiles.Text(HtmlRecord.Write(data));
        Assert.Contains("No limit was given", text, StringComparison.Ordinal);
        PdfRecord.Write(data, Stream.Null);
    }

    [Fact]
    public void Inks_OnPaperAndTint_AreReadable()
    {
        // WCAG 2.1 success criterion 1.4.3: 4.5 to 1 for text. Computed by its formula.
        SKColor[] inks = [Palette.Ink, Palette.Quiet, Palette.Accent, .. Enum.GetValues<Verdict>().Select(Palette.Of)];
        foreach (SKColor ink in inks)
        {
            Assert.True(Contrast(ink, Palette.Paper) >= 4.5, $"{ink} on paper: {Contrast(ink, Palette.Paper)}");
            Assert.True(Contrast(ink, Palette.Wash) >= 4.5, $"{ink} on tint: {Contrast(ink, Palette.Wash)}");
        }

        string css = files.Html[..files.Html.IndexOf("</style>", StringComparison.Ordinal)];
        Assert.All(inks, ink => Assert.Contains(Palette.Css(ink), css, StringComparison.Ordinal));
    }

    private static double Contrast(SKColor a, SKColor b)
    {
        double la = Luminance(a), lb = Luminance(b);
        return (Math.Max(la, lb) + .05) / (Math.Min(la, lb) + .05);
    }

    private static double Luminance(SKColor c)
    {
        static double Linear(byte v) => v / 255.0 is var s && s <= .03928 ? s / 12.92 : Math.Pow((s + .055) / 1.055, 2.4);
        return .2126 * Linear(c.Red) + .7152 * Linear(c.Green) + .0722 * Linear(c.Blue);
    }

    [GeneratedRegex("""(url\(|(src|href)=")(?<to>[^")]*)""", RegexOptions.ExplicitCapture, 5000)]
    private static partial Regex Url();

    [GeneratedRegex("""<svg viewBox[^>]*role="img".*?</svg>""", RegexOptions.Singleline, 5000)]
    private static partial Regex Drawing();

    [GeneratedRegex(
        """<td class="(n )?(?<kind>met|not-met|not-proven|not-measured)( strong)?">(?<inside>.*?)</td>""",
        RegexOptions.Singleline | RegexOptions.ExplicitCapture,
        5000
    )]
    private static partial Regex MarkedCell();

    [GeneratedRegex("""\bid="(?<id>[^"]*)""", RegexOptions.ExplicitCapture, 5000)]
    private static partial Regex Id();
}
