using System.Diagnostics;
using System.Text.Json;
using Spoolwright.Bench.Controls;

namespace Spoolwright.Bench.Tests.Controls;

/// <summary>The fit against NumPy's least squares (tests/references/leastsquares.py), which knows nothing of the way it is solved
/// here.</summary>
public sealed class BayesianFitTests
{
    [Theory]
    [InlineData(1, 3, 3)]
    [InlineData(2, 7, 6)]
    [InlineData(3, 4, 10)]
    public void Fit_OnRandomReadings_AgreesWithNumPy(int seed, int rows, int columns)
    {
        var random = new Random(seed);
        var design = new double[rows, columns];
        for (var i = 0; i < rows; i++)
        {
            for (var k = 0; k < columns; k++)
                design[i, k] = Plant.Gaussian(random);
        }

        double[] Draw(int count, Func<double> one) => [.. Enumerable.Range(0, count).Select(_ => one())];
        var (values, variance) = (Draw(rows, () => 3 * Plant.Gaussian(random)), Draw(rows, () => 0.01 + random.NextDouble()));
        var (expected, spread) = (Draw(columns, () => Plant.Gaussian(random)), Draw(columns, () => 0.5 + 3 * random.NextDouble()));

        var ours = BayesianFit.Solve(design, values, variance, expected, spread);
        var theirs = NumPy(new
        {
            design = Enumerable.Range(0, rows).Select(i => Enumerable.Range(0, columns).Select(k => design[i, k])),
            values,
            variance,
            expected,
            spread,
        });

        for (var k = 0; k < columns; k++)
        {
            Assert.Equal(theirs.GetProperty("mean")[k].GetDouble(), ours.Mean[k], 1e-9);
            for (var l = 0; l < columns; l++)
                Assert.Equal(theirs.GetProperty("covariance")[k][l].GetDouble(), ours.Covariance[k, l], 1e-9);
        }
    }

    [Fact]
    public void Fit_WithAlmostNoPrior_IsTheStraightLineThroughTwoReadings()
    {
        // The secant: two exact readings, value and gain wholly open. Computed by hand.
        var fit = BayesianFit.Solve(new[,] { { 1.0, -0.5 }, { 1.0, 0.0 } }, [4, 1], [1e-9, 1e-9], [0, 0], [1e4, 1e4]);
        Assert.Equal(1, fit.Mean[0], 1e-5);
        Assert.Equal(-6, fit.Mean[1], 1e-5);
    }

    private static JsonElement NumPy(object input)
    {
        var at = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(at!.FullName, "Spoolwright.slnx")))
            at = at.Parent;
        var start = new ProcessStartInfo("/usr/bin/python3", [Path.Combine(at.FullName, "tests", "references", "leastsquares.py")])
        {
            UseShellExecute = false,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
        };
        using var process = Process.Start(start)!;
        process.StandardInput.Write(JsonSerializer.Serialize(input));
        process.StandardInput.Close();
        var text = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Assert.Equal(0, process.ExitCode);
        return JsonDocument.Parse(text).RootElement.Clone();
    }
}
