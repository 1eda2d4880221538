using Spoolwright.Signal.Tones;

namespace Spoolwright.Signal.Tests.Tones;

/// <summary>The cycle: right wherever the tones allow it, said to be open where they do not (design 6). Figures computed.</summary>
public sealed class SkewFitTests
{
    private static readonly double[] Usual =
    [
        31.5, 63, 125, 250, 315, 400, 500, 700, 1000, 2000, 3150, 4000, 6300, 8000, 10000, 12500, 14000, 15000, 16000, 18000,
    ];

    [Fact]
    public void Fit_RandomTonesAndElectronics_TakesRightCycleWhereResolved()
    {
        int resolved = 0, allowed = 0;
        var wrong = new List<string>();
        var shy = new List<string>();
        for (var seed = 0; seed < 4000; seed++)
        {
            var r = new Random(seed);
            var tones = Usual.OrderBy(_ => r.Next()).Take(1 + r.Next(8)).Order().ToArray();
            var skew = 1000 * (r.NextDouble() - 0.5);
            var electronics = 1 + r.NextDouble();
            var turned = r.Next(5) == 0 && tones.Length >= 4 && tones[^1] > 2 * tones[0];
            var phases = tones
                .Select(f => new TonePhase(f, Wrap((-360 * f * skew * 1e-6) + (electronics * Normal(r)) + (turned ? 180 : 0)), 0.1))
                .ToArray();
            var fit = SkewFit.Of(phases, 600);
            var off = Math.Abs(fit.Microseconds - skew) * 1e-6 * 360 * tones[^1];
            if (fit.Resolved && !turned)
            {
                resolved++;
                if (off > 60)
                {
                    wrong.Add($"seed {seed}: {string.Join(' ', tones)} {skew:0.0} read {fit.Microseconds:0.0}");
                }
            }

            // The tones allow it when every other delay in reach misses the phases by far more than the electronics can.
            if (!turned && RivalCost(tones, skew) > 60)
            {
                allowed++;
                if (!fit.Resolved)
                {
                    shy.Add($"seed {seed}: {string.Join(' ', tones)} {skew:0.0} rival {fit.RivalMicroseconds:0.0}");
                }
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine(
            $"{resolved} resolved, {allowed} allowed, {wrong.Count} wrong, {shy.Count} shy\n"
                + string.Join('\n', wrong.Take(10).Concat(shy.Take(10)))
        );
        Assert.Empty(wrong);
        Assert.True(shy.Count <= allowed / 200, string.Join('\n', shy.Take(20)));
        Assert.True(allowed > 1500);
    }

    [Theory]
    [InlineData(10000.0)]
    [InlineData(5000.0, 10000.0)]
    [InlineData(8000.0, 16000.0)]
    [InlineData(4000.0, 8000.0, 12000.0)]
    public void Fit_TonesWithCommonCycle_SaysOpenAndTakesNearestToNone(params double[] tones)
    {
        var common = 1e6 / tones[0];
        var fit = SkewFit.Of([.. tones.Select(f => new TonePhase(f, Wrap(-360 * f * 1e-6 * (common + 3)), 0.1))], 1000);
        Assert.False(fit.Resolved);
        Assert.Equal(3, fit.Microseconds, 0.2);
        Assert.NotNull(fit.RivalMicroseconds);
    }

    [Fact]
    public void Fit_ReversedPolarity_SaysSoAndKeepsDelay()
    {
        for (var seed = 0; seed < 300; seed++)
        {
            var r = new Random(seed);
            var skew = 600 * (r.NextDouble() - 0.5);
            double[] tones = [125, 400, 1000, 6300, 10000, 16000];
            var fit = SkewFit.Of(
                [.. tones.Select(f => new TonePhase(f, Wrap(180 - (360 * f * skew * 1e-6) + (1.5 * Normal(r))), 0.1))],
                1000
            );
            Assert.True(fit.PolarityReversed && fit.Resolved);
            Assert.Equal(skew, fit.Microseconds, 2.0);
        }
    }

    [Fact]
    public void Fit_PositiveDelay_IsRightLaterAndEachToneSaysIt()
    {
        // x_R(t) = x_L(t − τ): 25 µs late is −90° at 10 kHz (design 9).
        var fit = SkewFit.Of([new TonePhase(1000, -9, 0.1), new TonePhase(10000, -90, 0.1)], 600);
        Assert.True(fit.Resolved);
        Assert.Equal(25, fit.Microseconds, 1e-6);
        Assert.All(fit.Delays, d => Assert.Equal(25, d, 1e-6));
        Assert.Equal(1, fit.Weights.Sum(), 1e-12);
    }

    [Fact]
    public void Fit_NoiseAlone_HoldsTruthInItsUncertainty()
    {
        var coverage = new Coverage();
        var pulled = new Coverage();
        for (var seed = 0; seed < 4000; seed++)
        {
            var r = new Random(seed);
            double[] tones = [400, 1000, 4000, 10000, 15000];
            const double Skew = 12.5;
            var fit = SkewFit.Of(
                [.. tones.Select((f, i) => new TonePhase(f, Wrap((-360 * f * Skew * 1e-6) + (0.1 * (i + 1) * Normal(r))), 0.2 * (i + 1)))],
                1000
            );
            coverage.Add(fit.Microseconds - Skew, fit.UncertaintyMicroseconds);
            var worse = SkewFit.Of([.. tones.Select(f => new TonePhase(f, Wrap((-360 * f * Skew * 1e-6) + (1.5 * Normal(r))), 0.2))], 1000);
            pulled.Add(worse.Microseconds - Skew, worse.UncertaintyMicroseconds);
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"noise {coverage}; electronics of 1.5° {pulled}");
        coverage.Check("noise alone");
        Assert.True(pulled.Share > 0.9, $"electronics: {pulled}");
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    public void Fit_NoReach_Refuses(double reach) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => SkewFit.Of([new TonePhase(1000, 0, 0.1)], reach));

    [Fact]
    public void Fit_NoPhases_Refuses() => Assert.Throws<ArgumentException>(() => SkewFit.Of([], 1000));

    private static double RivalCost(double[] tones, double skew)
    {
        var least = double.PositiveInfinity;
        for (var rival = -600.0; rival <= 600; rival += 0.5)
        {
            if (Math.Abs(rival - skew) * 1e-6 * tones[^1] > 0.5)
            {
                least = Math.Min(least, tones.Sum(f => Math.Pow(Wrap(360 * f * (rival - skew) * 1e-6) / 3, 2)));
            }
        }

        return least;
    }

    private static double Wrap(double degrees) => Math.IEEERemainder(degrees, 360);

    private static double Normal(Random r) => Math.Sqrt(-2 * Math.Log(1 - r.NextDouble())) * Math.Cos(2 * Math.PI * r.NextDouble());
}
