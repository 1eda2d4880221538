using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using Spoolwright.Bench.Instruments;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Tests.Gauges;

/// <summary>The curve of a gauge: SciPy's fit as oracle, tables of Student's law, coverage over seeds, refusals.</summary>
public sealed class GaugeCurveTests
{
    // Student's 97.5th percentiles as every statistics table prints them [memory].
    [Theory]
    [InlineData(1, 12.706)]
    [InlineData(2, 4.303)]
    [InlineData(3, 3.182)]
    [InlineData(5, 2.571)]
    [InlineData(10, 2.228)]
    [InlineData(30, 2.042)]
    public void Student_OfTheTables_IsMetWithinAThousandth(int freedom, double percentile) =>
        Assert.InRange(Confidence.Student(freedom) / percentile, 0.999, 1.001);

    // All rectangle: 0.9545·√3, computed; none: 2 by definition; the others computed by SciPy from the same two laws' convolution.
    [Theory]
    [InlineData(1, 0, 2)]
    [InlineData(0, 1, 1.653)]
    [InlineData(1, 1, 1.952)]
    [InlineData(1, 4, 1.836)]
    public void FactorWithRectangle_OfKnownMixtures_HoldsWhatTwoHoldsOfANormalLaw(double normal, double rectangle, double factor) =>
        Assert.Equal(factor, Confidence.FactorWithRectangle(normal, rectangle), 2);

    [Theory]
    [InlineData(1, 3.841)]
    [InlineData(3, 7.815)]
    [InlineData(8, 15.507)]
    public void ChiSquare_OfTheTables_IsMetWithinThreePercent(int freedom, double percentile) =>
        Assert.InRange(Confidence.ChiSquare95(freedom) / percentile, 0.97, 1.03);

    [Theory]
    [InlineData(1, 0.0)]
    [InlineData(2, 0.0)]
    [InlineData(3, 0.03)]
    [InlineData(4, 0.03)]
    public void Curve_OfTheSamePoints_IsSciPys(int seed, double bend)
    {
        var curve = new GaugeCurve(new GaugeModel(seed) { Bend = bend }.Calibrated());
        var points = curve.Gauge.Points;
        // The variances as documented: weights, and the mean reading's scatter and rounding through the slope of a plain first line.
        var (x, y) = (points.Select(p => p.Reading).ToArray(), points.Select(p => p.Truth).ToArray());
        var slope = x.Zip(y, (a, b) => (a - x.Average()) * (b - y.Average())).Sum() / x.Sum(a => (a - x.Average()) * (a - x.Average()));
        var scatter = curve.Repeatability * curve.Repeatability;
        var rounding = curve.Repeatability >= 0.5 ? 1 / 12.0 / 3 : 1 / 12.0;
        var reading = slope * slope * 2 * (scatter / 3 + rounding) / 4;
        var rows = points.Select(p => new[] { p.Reading, p.Truth, Math.Sqrt(0.2 * 0.2 + reading) });
        var other = SciPy(rows, 77, curve.IsBent ? 2 : 1);

        Assert.Equal(bend > 0, curve.IsBent);
        Assert.All(
            curve.Coefficients.Zip(other.GetProperty("coefficients").EnumerateArray(), (a, b) => (a, b.GetDouble())),
            c => Assert.Equal(c.Item2, c.a, 5)
        );
        Assert.Equal(other.GetProperty("value").GetDouble(), curve.At(77), 5);
        if (curve.Unexplained > 1)
            return;
        var figure = curve.Read([77]);
        var parts = figure.Parts.ToDictionary(p => p.Name, p => p.Expanded!.Value);
        var ours = Math.Sqrt(parts["weights"] * parts["weights"] + parts["fit"] * parts["fit"]);
        var theirs = 2 * other.GetProperty("deviation").GetDouble();
        // Ours carries one factor for all parts: Student's, a little above 2, and less where the approach (a rectangle) leads, down to
        // 1.65.
        Assert.InRange(ours / theirs, 0.82, 1.1);
        Assert.True(figure.Uncertainty > ours);
    }

    [Theory]
    [InlineData(0.0, 1, 1.0)]
    [InlineData(0.01, 3, 1.0)]
    [InlineData(0.03, 3, 0.5)]
    public void Uncertainty_OverTwoHundredSeeds_HoldsTheTruth(double bend, int times, double scatter)
    {
        // 200 seeds at 95 %: three sigma of the binomial law are 4.6 %.
        var (share, _) = Coverage(200, bend, times, scatter);
        Assert.InRange(share, 0.904, 1);
    }

    [Theory]
    [Trait("Category", "Long")]
    [InlineData(0.0, 1, 1.0)]
    [InlineData(0.0, 3, 1.0)]
    [InlineData(0.01, 3, 1.0)]
    [InlineData(0.03, 3, 0.5)]
    [InlineData(0.03, 1, 1.5)]
    public void Uncertainty_OverFourThousandSeeds_HoldsTheTruthIn93To97Percent(double bend, int times, double scatter)
    {
        var (share, stretch) = Coverage(4000, bend, times, scatter);
        TestContext.Current.SendDiagnosticMessage(
            FormattableString.Invariant($"bend {bend}, {times} times, scatter {scatter}: {share:P1}, stated over empirical {stretch:0.00}")
        );
        Assert.InRange(share, 0.93, 0.97);
        Assert.InRange(stretch, 0.8, 1.3);
    }

    [Theory]
    [InlineData(3, "lies below the curve")]
    [InlineData(190, "lies above the curve")]
    public void Reading_OutsideOfTheCurve_IsRefusedWithItsRange(double reading, string words)
    {
        var refused = Assert.Throws<CannotMeasureException>(() => new GaugeCurve(new GaugeModel(5).Calibrated()).Read([reading]));
        Assert.Equal("outside-gauge", refused.Code);
        Assert.Contains(words, refused.Message, StringComparison.Ordinal);
        Assert.Contains("is calibrated from", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Difference_OfTwoReadings_IsSurerThanTheirErrorsApart()
    {
        var curve = new GaugeCurve(new GaugeModel(6) { Scatter = 0.1, Friction = 0, ReadTo = 0.1, WeightDeviation = 2 }.Calibrated());
        var (a, b) = (curve.Read([80]), curve.Read([82]));
        var apart = Math.Sqrt(a.Uncertainty * a.Uncertainty + b.Uncertainty * b.Uncertainty);
        Assert.InRange(GaugeFigure.Total(a.PartsWith(1, b, -1)), 0, 0.5 * apart);
    }

    [Fact]
    public void Gravity_OfTheEquator_LowersTheForceByItsShare()
    {
        var gauge = new GaugeModel(7).Calibrated();
        var (somewhere, equator) = (new GaugeCurve(gauge), new GaugeCurve(gauge with { LocalGravity = 9.780 }));
        Assert.Equal(9.780 / 9.80665, equator.At(100) / somewhere.At(100), 6);
        Assert.Equal(0, equator.Read([100]).Parts.Single(p => p.Name == "gravity").Expanded);
    }

    private static (double Share, double Stretch) Coverage(int seeds, double bend, int times, double scatter)
    {
        var held = 0;
        List<double> stated = [], errors = [];
        for (var seed = 0; seed < seeds; seed++)
        {
            var model = new GaugeModel(1000 + seed) { Bend = bend, Scatter = scatter };
            var curve = new GaugeCurve(model.Calibrated());
            var truth = model.Somewhere(28, 162);
            var figure = curve.Read(model.Use(truth, times));
            var error = Math.Abs(figure.Value - truth);
            stated.Add(figure.Uncertainty);
            errors.Add(error);
            if (error <= figure.Uncertainty)
                held++;
        }

        stated.Sort();
        errors.Sort();
        return (held / (double)seeds, stated[seeds / 2] / errors[(int)(0.9545 * seeds)]);
    }

    private static JsonElement SciPy(IEnumerable<double[]> rows, double at, int order)
    {
        string[] arguments =
        [
            Path.Combine(Root(), "tests", "references", "gauge.py"),
            JsonSerializer.Serialize(rows),
            at.ToString(CultureInfo.InvariantCulture),
            order.ToString(CultureInfo.InvariantCulture),
        ];
        using var process = Process.Start(
            new ProcessStartInfo("/usr/bin/python3", arguments)
            {
                RedirectStandardOutput = true,
                RedirectStandardError = true,
                UseShellExecute = false,
            }
        )!;
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        var text = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Assert.True(process.ExitCode == 0, $"python3 failed (Debian package python3-scipy): {errors.Result}");
        return JsonDocument.Parse(text).RootElement.Clone();
    }

    private static string Root()
    {
        var at = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(at!.FullName, "Spoolwright.slnx")))
            at = at.Parent;
        return at.FullName;
    }
}
