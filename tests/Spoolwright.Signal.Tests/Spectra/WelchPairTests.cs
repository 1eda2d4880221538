using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Tests.Spectra;

public class WelchPairTests
{
    [Fact]
    public void Pair_FedInStep_GivesWhatTwoSpectraGiveApart()
    {
        var random = new Random(7);
        var x = Enumerable.Range(0, 5000).Select(i => Math.Sin(0.3 * i) + (0.01 * i) + random.NextDouble()).ToArray();
        var y = Enumerable.Range(0, 5000).Select(i => 1e-4 * (random.NextDouble() - 0.5)).ToArray();
        WelchSpectrum apartX = new(512, 1000), apartY = new(512, 1000), pairX = new(512, 1000), pairY = new(512, 1000);
        apartX.Add(x);
        apartY.Add(y);
        for (var i = 0; i < x.Length; i += 700)
        {
            var n = Math.Min(700, x.Length - i);
            WelchSpectrum.AddPair(pairX, x.AsSpan(i, n), pairY, y.AsSpan(i, n));
        }

        Assert.Equal(apartX.Segments, pairX.Segments);
        Assert.Equal(apartY.Segments, pairY.Segments);

        // Rounding of the larger signal may reach the smaller one: 1e-16 of its amplitude, squared in density.
        foreach (var (a, b) in apartX.Density().Zip(pairX.Density()))
            Assert.Equal(a, b, 1e-12 * Math.Max(a, 1));
        foreach (var (a, b) in apartY.Density().Zip(pairY.Density()))
            Assert.Equal(a, b, 1e-9 * apartY.Density().Max());
    }

    [Fact]
    public void Pair_OutOfStep_IsRefused()
    {
        WelchSpectrum a = new(512, 1000), b = new(512, 1000);
        a.Add(new double[10]);
        Assert.Throws<ArgumentException>(() => WelchSpectrum.AddPair(a, new double[5], b, new double[5]));
    }
}
