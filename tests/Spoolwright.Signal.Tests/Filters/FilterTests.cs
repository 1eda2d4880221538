using Spoolwright.Signal.Filters;

namespace Spoolwright.Signal.Tests.Filters;

/// <summary>Filters against their definitions [computed].</summary>
public class FilterTests
{
    [Theory]
    [InlineData(200, 240, 80, 2205)]
    [InlineData(1197, 2992, 100, 96000)]
    public void KaiserLowPass_OverTheBand_PassesAndStopsAsAsked(double pass, double stop, double attenuation, double rate)
    {
        var taps = KaiserLowPass.Design(pass, stop, attenuation, rate);
        double Gain(double hz) => Math.Abs(taps.Select((t, i) => t * Math.Cos(2 * Math.PI * hz / rate * (i - (taps.Length / 2)))).Sum());
        var ripple = 2 * Math.Pow(10, -attenuation / 20); // the usual estimate of the length holds to about 5 dB
        for (var i = 0; i <= 50; i++)
        {
            Assert.Equal(1, Gain(pass * i / 50), ripple);
            Assert.InRange(Gain(stop + (((rate / 2) - stop) * i / 50)), 0, ripple);
        }
    }

    [Theory]
    [InlineData(1)]
    [InlineData(7)]
    [InlineData(1000)]
    public void DecimatingFilter_InAnyBlocks_IsTheSumOfProducts(int block)
    {
        var taps = KaiserLowPass.Design(100, 200, 60, 1000);
        var random = new Random(1);
        var x = Enumerable.Range(0, 3000).Select(_ => random.NextDouble() - 0.5).ToArray();
        var filter = new DecimatingFilter(taps, 3);
        var y = new List<double>();
        var output = new double[block + 2];
        for (var i = 0; i < x.Length; i += block)
        {
            var n = filter.Add(x.AsSpan(i, Math.Min(block, x.Length - i)), output);
            y.AddRange(output.Take(n));
        }

        Assert.Equal(((x.Length - taps.Length) / 3) + 1, y.Count);
        for (var k = 0; k < y.Count; k += 31)
        {
            Assert.Equal(taps.Select((t, i) => t * x[(3 * k) + i]).Sum(), y[k], 1e-12);
        }
    }

    [Theory]
    [InlineData(1)]
    [InlineData(19)]
    [InlineData(5000)]
    public void MirroredFilter_InAnyBlocks_GivesAsManySamplesAsItTakes(int block)
    {
        var taps = KaiserLowPass.Design(20, 40, 60, 1000);
        int half = taps.Length / 2, count = 2000;
        var x = Enumerable.Range(0, count).Select(i => Math.Cos(0.03 * i) + (0.0002 * i)).ToArray();
        var filter = new MirroredFilter(taps);
        var y = new List<double>();
        var output = new double[Math.Max(block, half) + 2];
        for (var i = 0; i < count; i += block)
        {
            y.AddRange(output.Take(filter.Add(x.AsSpan(i, Math.Min(block, count - i)), output)));
        }

        y.AddRange(output.Take(filter.End(output)));
        Assert.Equal(count, y.Count);
        double At(int i) => x[i < 0 ? -i : i >= count ? (2 * count) - 2 - i : i];
        for (var k = 0; k < count; k += k < 200 || k > count - 200 ? 1 : 97)
        {
            Assert.Equal(taps.Select((t, i) => t * At(k + i - half)).Sum(), y[k], 1e-12);
        }
    }

    [Fact]
    public void MirroredFilter_OnLessThanHalfItsLength_GivesNothing()
    {
        var filter = new MirroredFilter(KaiserLowPass.Design(20, 40, 60, 1000));
        var output = new double[2000];
        Assert.Equal(0, filter.Add(new double[filter.Lag], output));
        Assert.Equal(0, filter.End(output));
        Assert.Throws<ArgumentException>(() => new MirroredFilter(new double[4]));
    }

    [Theory]
    [InlineData(1, 0.70711)]
    [InlineData(2, 0.70711)]
    [InlineData(5, 0.70711)]
    public void Butterworth_AtItsEdge_IsThreeDecibelsDown(int order, double gain)
    {
        Assert.Equal(gain, Butterworth.LowPass(order, 10).At(10).Magnitude, 1e-5);
        Assert.Equal(gain, Butterworth.HighPass(order, 10).At(10).Magnitude, 1e-5);
        Assert.Equal(1, Butterworth.LowPass(order, 10).At(1e-6).Magnitude, 1e-9);
        Assert.Equal(1, Butterworth.HighPass(order, 10).At(1e7).Magnitude, 1e-9);
    }

    [Fact]
    public void Matched_OfASlope_KeepsItToATenthOfTheRate()
    {
        var analogue = Butterworth.LowPass(1, 3);
        var filter = SecondOrderSections.Matched(analogue, 2000, 1);
        for (var hz = 1.0; hz <= 200; hz *= 1.3)
        {
            Assert.Equal(0, 20 * Math.Log10(filter.At(hz, 2000).Magnitude / analogue.At(hz).Magnitude), 0.004);
        }
    }

    [Fact]
    public void Sections_OnASine_GiveTheirOwnGain()
    {
        var filter = SecondOrderSections.Bilinear(Butterworth.HighPass(2, 5), 1000, 100);
        double peak = 0;
        for (var i = 0; i < 20000; i++)
        {
            var y = filter.Next(Math.Sin(2 * Math.PI * 7 * i / 1000));
            peak = i > 10000 ? Math.Max(peak, Math.Abs(y)) : 0;
        }

        Assert.Equal(filter.At(7, 1000).Magnitude, peak, 0.0005);
    }
}
