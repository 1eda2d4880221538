using Spoolwright.Signal.Filters;
using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Flutter;

/// <summary>
/// Everything that is gathered from the speed signal, in flat memory: its phase record, spectra of it and of the channels' difference at
/// the full rate (scrape, noise) and at a lower one (lines), and the detectors.
/// </summary>
internal sealed class SpeedStatistics : ISpeedSink
{
    /// <summary>Left out at either end: where the mirror bends the signal, what lies above the flutter band shows in it.</summary>
    public const double TrimSeconds = 0.005;

    private const int Chunk = 1024;
    private readonly DecimatingFilter _firstCommon;
    private readonly DecimatingFilter _firstDifference;
    private readonly MirroredFilter _sharp;
    private readonly double[] _stopTaps;
    private readonly double[] _common = new double[Chunk];
    private readonly double[] _difference = new double[Chunk];
    private readonly double[] _reduced = new double[Chunk + 2];
    private readonly double[] _reducedDifference = new double[Chunk + 2];
    private readonly double[] _stopped;
    private readonly int _ratio;
    private int _filled;
    private long _taken;
    private long _emitted;
    private long _uncountedUntil;
    private double _lastCommon;
    private double _lastDifference;
    private double _differencePower;
    private double _crossPower;

    /// <param name="settings">The standards' numbers.</param>
    /// <param name="sampleRateHz">Rate of the speed signal.</param>
    /// <param name="passHz">Half width of the band demodulated.</param>
    /// <param name="expectedSeconds">Length of the capture where known, for the choice of the spectrum's resolution.</param>
    public SpeedStatistics(FlutterSettings settings, double sampleRateHz, double passHz, double? expectedSeconds)
    {
        RateHz = sampleRateHz;
        PassHz = passHz;
        HighestHz = Math.Min(settings.HighestHz, passHz);
        _ratio = Math.Max(1, (int)(sampleRateHz / 2000));
        LowRateHz = sampleRateHz / _ratio;
        var edge = 1.2 * HighestHz;
        var first = Undrooped(KaiserLowPass.Design(edge, LowRateHz - edge, 100, sampleRateHz));
        _firstCommon = new DecimatingFilter(first, _ratio);
        _firstDifference = new DecimatingFilter(first, _ratio);
        _stopTaps = KaiserLowPass.Design(HighestHz, edge, 80, LowRateHz);
        _sharp = new MirroredFilter(_stopTaps);
        _stopped = new double[Math.Max(Chunk + 2, _sharp.Lag)];
        Detectors = new WeightedStatistics(settings, LowRateHz);
        Phase = new PhaseRecord(sampleRateHz);
        Wide = new WelchSpectrum(4096, sampleRateHz);
        WideDifference = new WelchSpectrum(4096, sampleRateHz);

        // About 15 s a segment, so that lines 0.1 Hz apart stand apart; shorter where the capture is.
        var longest = (expectedSeconds ?? 8) * LowRateHz * 0.98;
        var length = 1 << Math.Clamp((int)Math.Log2(Math.Max(longest, 2)), 10, 15);
        Narrow = new WelchSpectrum(length, LowRateHz);
        NarrowDifference = new WelchSpectrum(length, LowRateHz);
    }

    public double RateHz { get; }

    public double LowRateHz { get; }

    public double PassHz { get; }

    public double HighestHz { get; }

    public WeightedStatistics Detectors { get; }

    public PhaseRecord Phase { get; }

    public WelchSpectrum Wide { get; }

    public WelchSpectrum WideDifference { get; }

    public WelchSpectrum Narrow { get; }

    public WelchSpectrum NarrowDifference { get; }

    /// <summary>
    /// How much of the difference's noise is in the common signal too, as a regression of one on the other where noise rules (both
    /// differenced, which lifts the noise and drowns the deck): 0 for the best weights.
    /// </summary>
    public double DifferenceInCommon => _differencePower > 0 ? _crossPower / _differencePower : 0;

    /// <summary>Gain of the filter that stops the flutter band, bin by bin up to where it has stopped it.</summary>
    public double[] StopGain(double binHz, int bins)
    {
        var gain = new double[Math.Min(bins, (int)(1.2 * HighestHz / binHz) + 1)];
        for (var k = 0; k < gain.Length; k++)
        {
            if (k * binHz <= HighestHz)
            {
                gain[k] = 1;
                continue;
            }

            var w = 2 * Math.PI * k * binHz / LowRateHz;
            var half = _stopTaps.Length / 2;
            gain[k] = _stopTaps[half];
            for (var i = 1; i <= half; i++)
            {
                gain[k] += 2 * _stopTaps[half + i] * Math.Cos(w * i);
            }
        }

        return gain;
    }

    public void Next(double common, double difference, bool counts)
    {
        Phase.Next(common, counts);
        _taken++;
        if (!counts)
        {
            // Outputs whose window reaches over this sample, and the fifth of a second after it, count for nothing.
            var reach = (_firstCommon.Length / 2 / _ratio) + _sharp.Lag + (0.2 * LowRateHz);
            _uncountedUntil = (long)((_taken / _ratio) + reach);
        }

        _common[_filled] = common;
        _difference[_filled++] = difference;
        if (_filled == Chunk)
        {
            Flush();
        }
    }

    public void Break()
    {
        Flush();
        EndStretch();
        Phase.Break();
        Wide.Break();
        WideDifference.Break();
        Narrow.Break();
        NarrowDifference.Break();
        _firstCommon.Reset();
        _firstDifference.Reset();
        _taken = 0;
        _emitted = 0;
        _uncountedUntil = 0;
    }

    /// <summary>The end: what is held back is measured.</summary>
    public void Finish()
    {
        Flush();
        EndStretch();
    }

    // Differencing the phase over one sample averages the speed over that sample: sin(x)/x, x = πf/rate. Three taps make that good to x⁴.
    private static double[] Undrooped(double[] taps)
    {
        var longer = new double[taps.Length + 2];
        for (var i = 0; i < taps.Length; i++)
        {
            longer[i] -= taps[i] / 24;
            longer[i + 1] += taps[i] * 13 / 12;
            longer[i + 2] -= taps[i] / 24;
        }

        return longer;
    }

    private void EndStretch()
    {
        Detect(_sharp.End(_stopped) - (int)(TrimSeconds * LowRateHz));
        Detectors.Break();
    }

    private void Flush()
    {
        var common = _common.AsSpan(0, _filled);
        var difference = _difference.AsSpan(0, _filled);
        _filled = 0;
        WelchSpectrum.AddPair(Wide, common, WideDifference, difference);
        Correlate(common, difference);
        var n = _firstDifference.Add(difference, _reducedDifference);
        _firstCommon.Add(common, _reduced);
        WelchSpectrum.AddPair(Narrow, _reduced.AsSpan(0, n), NarrowDifference, _reducedDifference.AsSpan(0, n));
        Detect(_sharp.Add(_reduced.AsSpan(0, n), _stopped));
    }

    private void Detect(int count)
    {
        var trim = (int)(TrimSeconds * LowRateHz);
        for (var i = 0; i < count; i++, _emitted++)
        {
            if (_emitted >= trim)
            {
                Detectors.Next(_stopped[i], _emitted >= _uncountedUntil);
            }
        }
    }

    private void Correlate(ReadOnlySpan<double> common, ReadOnlySpan<double> difference)
    {
        double lastCommon = _lastCommon, lastDifference = _lastDifference, power = 0, cross = 0;
        for (var i = 0; i < common.Length; i++)
        {
            double c = common[i] - lastCommon, d = difference[i] - lastDifference;
            lastCommon = common[i];
            lastDifference = difference[i];
            power += d * d;
            cross += c * d;
        }

        _lastCommon = lastCommon;
        _lastDifference = lastDifference;
        _differencePower += power;
        _crossPower += cross;
    }
}
