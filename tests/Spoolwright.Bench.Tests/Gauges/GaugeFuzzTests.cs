using System.Text.RegularExpressions;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Measurements.Typed;
using Spoolwright.Bench.Tests.Decks;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Tests.Gauges;

/// <summary>Seeded mutations of the example files: whatever stands in the text, problems are listed, or figures come out finite, or it is
/// refused in words.</summary>
public sealed class GaugeFuzzTests
{
    private static readonly string[] Pieces =
    [
        "0", "1", "-1", "1e9", "1e-9", "1e999", "20", "199", "0.001",
        "\"1 mm\"",
        "\"500 mm\"",
        "\"62 gf\"",
        "\"1e9 kgf\"",
        "\"300 g·cm\"",
        "\"0 gf\"",
        "null",
        "[]",
        "{}",
        "true",
        "\"\"",
        "\"play\"",
        "\"full\"",
        "\"1:35\"",
        "\"tension\"",
        "\"force\"",
    ];

    [Fact]
    public void Gauge_OfAnyText_GivesACurveOrProblems()
    {
        var (good, random, fitted, refused) = (ExampleFilesTests.Read("gauge.json"), new Random(200), 0, 0);
        for (var i = 0; i < 6000; i++)
        {
            var text = Mutate(good, random);
            var parsed = GaugeFile.Parse(text);
            Assert.All(parsed.Problems, p => Assert.False(string.IsNullOrWhiteSpace(p.Text)));
            if (parsed.Value is not { } gauge)
            {
                Assert.NotEmpty(parsed.Errors);
                refused++;
                continue;
            }

            var curve = new GaugeCurve(gauge);
            var figure = curve.Read([gauge.Points[0].Reading]);
            Assert.True(double.IsFinite(figure.Value) && double.IsFinite(figure.Uncertainty) && figure.Uncertainty >= 0, text);
            fitted++;
        }

        Assert.True(fitted > 300 && refused > 300, $"{fitted} fitted, {refused} refused");
    }

    [Fact]
    public void Sheet_OfAnyText_GivesFiniteReadingsOrWords()
    {
        var (good, random, measured, refused) = (ExampleFilesTests.Read("gauge-sheet.json"), new Random(62), 0, 0);
        var settings = SheetSettings.None with { Gauges = [new GaugeCurve(GaugeFile.Parse(ExampleFilesTests.Read("gauge.json")).Value!)] };
        var entries = Catalogue.Entries.Where(e => e.MeasureSheet is not null).ToList();
        for (var i = 0; i < 6000; i++)
        {
            var text = Mutate(good, random);
            var parsed = BenchSheetFile.Parse(text);
            if (parsed.Value is not { } sheet)
            {
                Assert.NotEmpty(parsed.Errors);
                refused++;
                continue;
            }

            foreach (var entry in entries)
            {
                try
                {
                    var result = entry.MeasureSheet!(sheet, settings);
                    Assert.All(
                        result.Readings,
                        r =>
                            Assert.True(
                                double.IsFinite(r.Value) && (r.Uncertainty is not { } u || (double.IsFinite(u) && u >= 0)),
                                $"{r}\n{text}"
                            )
                    );
                    Assert.All(result.Readings, r => Assert.Contains(entry.Yields, q => q.Id == r.Quantity));
                    measured++;
                }
                catch (CannotMeasureException e)
                {
                    Assert.False(string.IsNullOrWhiteSpace(e.Message));
                }
            }
        }

        Assert.True(measured > 1000 && refused > 300, $"{measured} measured, {refused} refused");
    }

    // One or two values put in the place of others, and now and then a piece of text cut out.
    private static string Mutate(string good, Random random)
    {
        var text = good;
        for (var n = random.Next(1, 3); n > 0; n--)
        {
            if (random.Next(8) == 0)
            {
                var at = random.Next(text.Length);
                text = text.Remove(at, Math.Min(random.Next(1, 30), text.Length - at));
                continue;
            }

            var values = Regex.Matches(
                text,
                "(?<=[:\\[,] ?)(\"[^\"\n]*\"|[0-9.]+)(?=[,\\] }\n])",
                RegexOptions.ExplicitCapture,
                TimeSpan.FromSeconds(5)
            );
            if (values.Count == 0)
                break;
            var value = values[random.Next(values.Count)];
            text = text.Remove(value.Index, value.Length).Insert(value.Index, Pieces[random.Next(Pieces.Length)]);
        }

        return text;
    }
}
