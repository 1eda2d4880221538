using CsCheck;
using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Tests.Spectra;

/// <summary>The transform against its definition, and the averaged spectrum against what is put in [computed].</summary>
public class FftTests
{
    [Theory]
    [InlineData(2)]
    [InlineData(4)]
    [InlineData(8)]
    [InlineData(16)]
    [InlineData(32)]
    [InlineData(64)]
    [InlineData(512)]
    [InlineData(1024)]
    public void Forward_OfAnySignal_IsItsSumOfProducts(int length)
    {
        var random = new Random(length);
        var re = Enumerable.Range(0, length).Select(_ => random.NextDouble() - 0.5).ToArray();
        var im = Enumerable.Range(0, length).Select(_ => random.NextDouble() - 0.5).ToArray();
        double[] outRe = [.. re], outIm = [.. im];
        new Fft(length).Forward(outRe, outIm);
        for (var k = 0; k < length; k += Math.Max(1, length / 37))
        {
            double sumRe = 0, sumIm = 0;
            for (var n = 0; n < length; n++)
            {
                var (sin, cos) = Math.SinCos(-2 * Math.PI * k * (double)n / length);
                sumRe += (re[n] * cos) - (im[n] * sin);
                sumIm += (re[n] * sin) + (im[n] * cos);
            }

            Assert.Equal(sumRe, outRe[k], 1e-12 * length);
            Assert.Equal(sumIm, outIm[k], 1e-12 * length);
        }
    }

    [Theory]
    [InlineData(4)]
    [InlineData(8)]
    [InlineData(64)]
    [InlineData(2048)]
    public void RealForward_OfASignalTimesItsWindow_IsTheComplexOnes(int length)
    {
        var random = new Random(length);
        var signal = Enumerable.Range(0, length).Select(_ => random.NextDouble() - 0.5).ToArray();
        var window = Enumerable.Range(0, length).Select(_ => random.NextDouble()).ToArray();
        double[] re = [.. signal.Zip(window, (x, w) => x * w)], im = new double[length];
        new Fft(length).Forward(re, im);
        double[] gotRe = new double[(length / 2) + 1], gotIm = new double[(length / 2) + 1];
        new RealFft(length).Forward(signal, window, gotRe, gotIm);
        for (var k = 0; k <= length / 2; k++)
        {
            Assert.Equal(re[k], gotRe[k], 1e-13 * length);
            Assert.Equal(im[k], gotIm[k], 1e-13 * length);
        }
    }

    [Fact]
    public void Forward_OfDrawnSignals_KeepsTheirEnergy()
    {
        // Parseval: Σ|X|² = N·Σ|x|².
        Gen.Select(Gen.Int[1, 14], Gen.Int).Sample((power, seed) =>
        {
            var n = 1 << power;
            var random = new Random(seed);
            var re = Enumerable.Range(0, n).Select(_ => random.NextDouble() - 0.5).ToArray();
            var im = Enumerable.Range(0, n).Select(_ => random.NextDouble() - 0.5).ToArray();
            var before = re.Sum(x => x * x) + im.Sum(x => x * x);
            new Fft(n).Forward(re, im);
            var after = re.Sum(x => x * x) + im.Sum(x => x * x);
            return Math.Abs(after - (n * before)) < 1e-10 * n * before;
        }, iter: 100);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(3)]
    [InlineData(1000)]
    public void Length_ThatIsNoPowerOfTwo_IsTheCallersMistake(int length) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new Fft(length));

    [Fact]
    public void Welch_OfWhiteNoise_HoldsItsDensityAndPower()
    {
        // Uniform noise of variance 1/12 at 1 kHz: one-sided density 1/12/500.
        var random = new Random(2);
        var spectrum = new WelchSpectrum(256, 1000);
        spectrum.Add(Enumerable.Range(0, 200_000).Select(_ => random.NextDouble() - 0.5).ToArray());
        var density = spectrum.Density();
        Assert.Equal(1 / 12.0 / 500, density.Skip(3).Take(120).Average(), 1 / 12.0 / 500 * 0.02);
    }

    [Fact]
    public void Welch_OfASine_HoldsHalfItsSquaredPeakInFiveBins()
    {
        var spectrum = new WelchSpectrum(1024, 1000);
        var steady = new WelchSpectrum(1024, 1000);
        spectrum.Add(Enumerable.Range(0, 8192).Select(i => (0.3 * Math.Sin(2 * Math.PI * 100.3 * i / 1000)) + (0.001 * i)).ToArray());
        steady.Add(Enumerable.Range(0, 8192).Select(i => 0.3 * Math.Sin(2 * Math.PI * 100.3 * i / 1000)).ToArray());
        var density = spectrum.Density();
        var plain = steady.Density();
        var k = Array.IndexOf(density, density.Max());
        Assert.Equal(0.045, Enumerable.Range(k - 2, 5).Sum(i => density[i]) * spectrum.BinHz, 0.045 * 0.002);
        Assert.All(Enumerable.Range(0, density.Length), i => Assert.Equal(plain[i], density[i], density[k] * 1e-12)); // the drift leaks nowhere
    }
}
