using Spoolwright.Signal.Tones;

namespace Spoolwright.Signal.Tests.Tones;

/// <summary>Whether level, phase and frequency of a tone reach the bound that white noise sets. Bounds after [IEEE1057:2017] and the
/// Cramér-Rao inequality.</summary>
public sealed class ToneBoundTests
{
    private const int Seeds = 200;

    // 200 seeds: a variance is known to 10 %; the limit of 1.5 is the design's (section 6).
    [Theory]
    [InlineData(48000, 1000, 1, 40, 0, false)]
    [InlineData(48000, 1000, 1, 40, 0.001, false)]
    [InlineData(48000, 10000, 1, 40, 0.001, false)]
    [InlineData(48000, 20000, 1, 30, 0.001, false)]
    [InlineData(32000, 15000, 1, 40, 0.001, false)]
    [InlineData(44100, 63, 1, 40, 0.001, true)]
    [InlineData(32000, 31.5, 1, 40, 0.001, true)]
    [InlineData(32000, 20, 2, 40, 0.001, false)]
    [InlineData(32000, 40, 2, 40, 0.001, true)]
    [InlineData(32000, 125, 1, 40, 0.001, true)]
    [InlineData(32000, 315, 1.5, 20, 0.001, true)]
    [InlineData(96000, 10000, 1, 60, 0.001, true)]
    [InlineData(32000, 3150, 3, 20, 0.001, false)]
    [InlineData(32000, 402, 1.5, 40, 0.001, true)]
    public void Probe_NoisyTone_ReachesBoundOfLevelAndPhase(double rate, double hz, double seconds, double snr, double flutter, bool hum)
    {
        const double Delay = 4e-6;
        double level = 0, phase = 0;
        Parallel.For(0, Seeds, seed =>
        {
            var signal = new ToneSignal
            {
                RateHz = rate,
                FrequencyHz = hz,
                Seconds = seconds,
                SnrDb = snr,
                Flutter = flutter,
                DelaySeconds = Delay,
                LevelRightDb = -10,
                HumDb = hum ? -40 : null,
                MainsHz = seed % 2 == 0 ? 50 : 60,
            };
            var figures = Probe(signal, (ulong)seed);
            var l = Math.Pow(figures.Left.LevelDb - signal.TrueLeftDb, 2);
            var p = Math.Pow(Math.IEEERemainder(figures.Phase!.Value.Value - signal.TruePhase, 360), 2);
            lock (Gate)
            {
                level += l / Seeds;
                phase += p / Seeds;
            }
        });

        // var(A)/A² = σ²·2/(N·A²) with A²/2/σ²' = S/N in 20 kHz: 1/(2·snr·20000·T) per quadrature.
        var relative = 1 / (2 * Math.Pow(10, snr / 10) * 20000 * seconds);
        var levelRatio = level / (relative * Math.Pow(20 / Math.Log(10), 2));
        var phaseRatio = phase / (2 * relative * Math.Pow(180 / Math.PI, 2));
        TestContext.Current.TestOutputHelper?.WriteLine($"{rate} {hz} {seconds}: level {levelRatio:0.00}, phase {phaseRatio:0.00}");
        Assert.True(levelRatio < 1.5 && phaseRatio < 1.5, $"level {levelRatio:0.00}, phase {phaseRatio:0.00} of the bound");
    }

    // var(f) ≥ 6·σ²/(A²·N)·.../(2π)²/T²: 12/((2π)²·T²) times the variance of phase at the middle.
    [Theory]
    [InlineData(32000, 1000, 1, 40)]
    [InlineData(48000, 10000, 10, 30)]
    [InlineData(32000, 315, 3, 20)]
    [InlineData(32000, 63, 4, 40)]
    public void Probe_SteadyTone_ReachesBoundOfFrequency(double rate, double hz, double seconds, double snr)
    {
        double sum = 0;
        const int Few = 150;
        Parallel.For(0, Few, seed =>
        {
            var figures = Probe(new ToneSignal { RateHz = rate, FrequencyHz = hz, Seconds = seconds, SnrDb = snr, LevelRightDb = -100 }, (ulong)seed, hz * 1.0007);
            lock (Gate)
            {
                sum += Math.Pow(figures.FrequencyHz - hz, 2) / Few;
            }
        });
        var bound = 12 / Math.Pow(2 * Math.PI * seconds, 2) / (2 * Math.Pow(10, snr / 10) * 20000 * seconds);
        TestContext.Current.TestOutputHelper?.WriteLine($"{hz} {seconds}: frequency {sum / bound:0.00}");
        Assert.True(sum / bound < 1.5, $"{sum / bound:0.00} of the bound");
    }

    private static readonly Lock Gate = new();

    internal static ToneFigures Probe(ToneSignal signal, ulong seed, double? seen = null)
    {
        var (left, right) = signal.Make(seed);
        var probe = new ToneProbe(seen ?? signal.FrequencyHz, signal.Seconds, signal.RateHz, 2);
        probe.Add(left, right);
        var figures = probe.Finish();
        Assert.NotNull(figures);
        return figures;
    }
}
