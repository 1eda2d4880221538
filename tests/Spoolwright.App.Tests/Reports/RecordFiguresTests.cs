using System.Globalization;
using System.Text.RegularExpressions;
using Spoolwright.Bench;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Reports;
using Spoolwright.Reports.Html;
using Spoolwright.Reports.Plots;
using Spoolwright.Reports.Text;

namespace Spoolwright.App.Tests.Reports;

/// <summary>How figures, rows and names over lines stand on the record's pages.</summary>
public sealed partial class RecordFiguresTests
{
    [Theory]
    [InlineData(137.25, "µs", "137\u00A0µs")]
    [InlineData(1.4, "%", "1.40\u00A0%")]
    [InlineData(52.325, "µs", "52.3\u00A0µs")]
    [InlineData(-0.8984, "%", "−0.898\u00A0%")]
    [InlineData(48.0734, "dB", "48.1\u00A0dB")]
    [InlineData(0.9312, "1", "0.93")]
    public void FigureInASentence_IsNoFinerThanTheTradeReadsIt(double value, string unit, string expected) =>
        Assert.Equal(expected, Figures.Spoken(value, unit));

    [Fact]
    public void Count_ThatIsExact_HasNoDecimals()
    {
        var stops = new Reading { Quantity = "stop-faults", Value = 1, Unit = "1", Uncertainty = 0, Method = "counted" };
        Assert.Equal(("1", "0"), (Figures.Value(stops), Figures.UncertaintyNumber(stops)));
    }

    [Fact]
    public void RowsOfAQuantity_StandTogether_AlsoWhereOnePassAloneHasThem()
    {
        var data = SampleRecord.Data();
        var methods = new MethodList(ListedFigures.Of(data));
        foreach (var condition in data.Conditions)
        {
            foreach (var table in FigureTables.Of(condition, [.. Catalogue.Entries.Select(e => e.Id)], methods))
            {
                // Flutter lines differ as found and as left; between them stood what came after them in one pass.
                var names = table.Rows.Select(r => r[0].Text).ToList();
                var runs = names.Where((name, i) => i == 0 || names[i - 1] != name).ToList();
                Assert.Equal(runs.Distinct(), runs);
            }
        }
    }

    [Fact]
    public void QuantityOfAGauge_IsCalledNeitherPlayedNorRecorded()
    {
        IReadOnlyList<Limit> limits =
        [
            new() { Quantity = "wind-time", Max = 100, Source = "made up" },
            new() { Quantity = "response", Min = -3, Max = 3, Source = "made up" },
        ];
        var file = SampleRecord.File();
        var filed = file.Measurements.Select(m => m with { Limits = limits }).ToList();
        var own = filed.First(m => m.Entry.Measurement == "playback" && m.Entry.Mark == Mark.AsFound);
        filed.Add(own with { Entry = own.Entry with { Id = Guid.NewGuid(), Condition = own.Entry.Condition with { TapeSetting = "normal" } } });
        var data = RecordComposer.Compose(file with { Measurements = filed }, Judge.Readings, DateTimeOffset.UnixEpoch, "0.1.0");
        var names = CloseMatrix.Of(data).SelectMany(t => t.Rows).Select(r => r[0].Text).ToList();
        Assert.Contains("Wind time", names);
        Assert.Contains("Response, played", names);
        Assert.Contains("Response, recorded", names);
        Assert.DoesNotContain(names, n => n.StartsWith("Wind time,", StringComparison.Ordinal));
    }

    [Fact]
    public void NamesOverFlutterLines_AreNotRunThroughByAnothersRule()
    {
        (double Hz, double Peak, string Part)[] lines =
        [
            (7.59, 0.0183, "capstan"),
            (2.03, 0.0092, "reverse pinch roller"),
            (0.63, 0.0088, "supply reel"),
            (15.2, 0.0064, "capstan, harmonic 2"),
            (25, 0.0062, "motor"),
        ];
        var result = new MeasurementResult(
            "speed",
            [
                .. lines.Select(l => new Reading
                {
                    Quantity = "flutter-line",
                    Value = l.Peak,
                    Unit = "%",
                    FrequencyHz = l.Hz,
                    Part = l.Part,
                    Method = "line",
                }),
            ],
            [],
            [new Trace("flutter-spectrum", Channel.Both, "Hz", "%", [0.5, 1, 10, 200], [0.004, 0.004, 0.003, 0.001])]
        );
        var pass = SampleRecord.Data().Conditions[0].Pass(Mark.AsLeft)!.Measurements[0] with { Result = result };
        var drawing = FlutterPlot.Of(
            new RecordedCondition(new Condition(Direction.Reverse, 19.05), [new RecordedPass(Mark.AsLeft, [pass], [], [])])
        )!;
        var svg = DrawingSvg.Of(drawing, 260, 160, 1);

        // The rules stand upright over the spectrum, each from under its name down; the axes' letters are larger.
        var names = Name().Matches(svg).Select(m => (Text: m.Groups["text"].Value, X: Number(m, "x"), Y: Number(m, "y"))).ToList();
        var rules = Rule().Matches(svg).Select(m => (X: Number(m, "x"), From: Number(m, "from"), To: Number(m, "to"))).ToList();
        Assert.Equal(lines.Length, names.Count);
        Assert.Equal(lines.Length, rules.Count);
        foreach (var name in names)
            Assert.DoesNotContain(
                rules,
                r => r.X > name.X + 1 && r.X < name.X + PlotFrame.Width(name.Text, 6.5f) - 1 && r.From < name.Y - 3 && r.To > name.Y
            );
    }

    [Fact]
    public void FigureBesideABar_StandsOffTheNames_AlsoWhereTheBarHasAllTheScale()
    {
        MeasuredUnder Erased(Direction direction, double db) =>
            new(
                "erase",
                new Condition(direction, 19.05, "normal"),
                [
                    .. new[] { Channel.Left, Channel.Right }.Select(c => new Reading
                    {
                        Quantity = "erase-depth",
                        Value = db,
                        Unit = "dB",
                        Uncertainty = 0.1,
                        Channel = c,
                        FrequencyHz = 1000,
                        Method = "",
                    }),
                ]
            );
        var explained = Explainer.Explain(CauseBook.Default, [Erased(Direction.Forward, 71.1), Erased(Direction.Reverse, 48.1)], null);
        var finding = explained.Findings.First(f => f.Id == "erase-head" && f.Place.Direction == Direction.Reverse);
        var (drawing, share) = CauseScale.Of(explained, finding);
        var svg = DrawingSvg.Of(drawing!, 260, (float)(260 * share), 1);
        var figures = Name().Matches(svg).Where(m => m.Groups["text"].Value.StartsWith("reverse", StringComparison.Ordinal)).ToList();
        Assert.Equal(2, figures.Count);
        // The names have two fifths of the width.
        Assert.All(figures, m => Assert.InRange(Number(m, "x"), 0.4 * 260, 260));
    }

    private static double Number(Match match, string group) => double.Parse(match.Groups[group].Value, CultureInfo.InvariantCulture);

    [GeneratedRegex("""<text [^>]*font-size="6\.5"[^>]*x="(?<x>[0-9.]+)[^"]*" y="(?<y>[0-9.]+)[^"]*"[^>]*>\s*(?<text>[^<]+?)\s*<""")]
    private static partial Regex Name();

    [GeneratedRegex("""stroke-width="0\.5"[^>]*d="M(?<x>[0-9.]+) (?<from>[0-9.]+)L\k<x> (?<to>[0-9.]+)["]""")]
    private static partial Regex Rule();
}
