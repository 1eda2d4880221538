using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using Spoolwright.Bench;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Limits;
using Spoolwright.Reports;

namespace Spoolwright.App.Tests.Reports;

/// <summary>What a record and a page tell and draw of causes, held against the closed forms that the readings were made from.</summary>
public partial class CausePictureTests
{
    private static readonly Lazy<Ailments> Known = new(() => Ailments.Of(AilingJob.File(), CauseBook.Default)!);

    [Fact]
    public void Mended_CauseIsGone_AndOneNotReadAgainIsNotSaidToBe()
    {
        var rows = CausesSection.Of(Known.Value).Rows;
        Assert.Equal(2, rows.Count);
        Assert.All(rows, r => Assert.Equal("gone (under 1\u00A0%)", r.AsLeft));
        Assert.All(
            CausesSection.Of(Ailments.Of(AilingJob.File(mended: false), CauseBook.Default)!).Rows,
            r => Assert.Equal("not read again", r.AsLeft)
        );
    }

    [Fact]
    public void Dirt_HasItsResidualOnTheLaw_AndOneCurveOverWavelength()
    {
        var dirt = Known.Value.Found.Findings.Single(f => f.Id == "dirty-replay-head");
        var pictures = CausePicture.ForPage(Known.Value, dirt);
        Assert.Equal(3, pictures.Count);
        // The strongest tone of the slow speed: reading and law, both by the closed form, in words and under them in ink.
        var off = AilingJob.Loss(AilingJob.Micrometres, 12500, 9.525) - AilingJob.Loss(AilingJob.Micrometres, 1000, 9.525);
        var said = Residual().Match(pictures[0].Says);
        Assert.True(said.Success, pictures[0].Says);
        Assert.Equal(off, Number(said, "off"), 0.1);
        Assert.Equal(off, Number(said, "law"), 0.8);
        Assert.Contains("over frequency", pictures[1].Caption, StringComparison.Ordinal);
        Assert.Contains("over wavelength", pictures[2].Caption, StringComparison.Ordinal);
        Assert.All(pictures, p => Assert.Contains("<path", p.Svg, StringComparison.Ordinal));
        // In a dim room nothing of the paper's white is left.
        Assert.All(pictures, p => Assert.DoesNotContain("white", p.Svg, StringComparison.OrdinalIgnoreCase));
        Assert.All(pictures, p => Assert.DoesNotContain("NaN", p.Svg, StringComparison.Ordinal));
    }

    [Fact]
    public void Letters_OnThePage_AreTwelvePixelsHighOrMore()
    {
        // On a screen of 1280 × 800 a picture is 517 pixels wide (measured in the page).
        var pictures = Known.Value.Found.Findings.SelectMany(f => CausePicture.ForPage(Known.Value, f)).ToList();
        Assert.NotEmpty(pictures);
        foreach (var svg in pictures.Select(p => p.Svg))
        {
            var width = double.Parse(Regex.Match(svg, "viewBox=\"0 0 ([0-9.]+) ").Groups[1].Value, CultureInfo.InvariantCulture);
            var least = Regex
                .Matches(svg, "font-size=\"([0-9.]+)\"")
                .Min(m => double.Parse(m.Groups[1].Value, CultureInfo.InvariantCulture));
            Assert.InRange(least * 517 / width, 12, 30);
        }
    }

    [Fact]
    public void Capstan_HasItsRingOffCentreByItsSwing()
    {
        var capstan = Known.Value.Found.Findings.Single(f => f.Id == "capstan");
        var ring = CausePicture.ForPage(Known.Value, capstan)[0];
        var said = Ring().Match(ring.Says);
        Assert.True(said.Success, ring.Says);
        Assert.Equal(AilingJob.CapstanPercent, Number(said, "peak"), 0.01);
        Assert.Equal(
            AilingJob.CapstanHz,
            Number(said, "rate") * 19.05 / double.Parse(said.Groups["speed"].Value, CultureInfo.InvariantCulture),
            0.1
        );
    }

    [Fact]
    public void Record_TellsCausesInEveryForm_AndItsCellsLeadToThem()
    {
        var file = AilingJob.File();
        var record = RecordComposer.Compose(file, Judge.Readings, DateTimeOffset.UnixEpoch, "0.1.0") with { Ailments = Known.Value };
        var html = HtmlRecord.Write(record);
        Assert.Contains("id=\"causes\"", html, StringComparison.Ordinal);
        Assert.Contains("Dirt holds the tape off a replay gap", html, StringComparison.Ordinal);
        Assert.Matches("<td class=\"n not-met strong\">.*<a href=\"#cause-1\">", html);
        Assert.Contains("id=\"cause-1\"", html, StringComparison.Ordinal);
        Assert.Contains("One turn of the capstan", html, StringComparison.Ordinal);
        using var json = JsonDocument.Parse(JsonRecord.Write(record));
        Assert.Equal(2, json.RootElement.GetProperty("causes").GetProperty("rows").GetArrayLength());
        using var pdf = new MemoryStream();
        PdfRecord.Write(record, pdf);
        Assert.True(pdf.Length > 20_000);
    }

    [Fact]
    public void Cell_AsksForTheCausesThatMoveIt_AndForNoOthers()
    {
        IReadOnlyList<string> Of(string measurement, Direction direction, Channel channel) =>
            [
                .. CellCauses
                    .Of(Known.Value.Found, measurement, new Condition(direction, 19.05), channel)
                    .Where(f => f.Probability > 0.5)
                    .Select(f => f.Id),
            ];
        Assert.Equal(["dirty-replay-head"], Of("playback", Direction.Forward, Channel.Left));
        Assert.Empty(Of("playback", Direction.Forward, Channel.Right));
        Assert.Empty(Of("playback", Direction.Reverse, Channel.Left));
        Assert.Equal(["capstan"], Of("speed", Direction.Reverse, Channel.Both));
    }

    private static double Number(Match match, string name) =>
        double.Parse(match.Groups[name].Value.Replace('−', '-'), CultureInfo.InvariantCulture);

    [GeneratedRegex("""off by (?<off>[−+\d.]+) dB, the law makes (?<law>[−+\d.]+) dB""")]
    private static partial Regex Residual();

    [GeneratedRegex("""(?<speed>[\d.]+)\u00A0cm/s: (?<rate>[\d.]+) turns a second, (?<peak>[\d.]+) % peak""")]
    private static partial Regex Ring();
}
