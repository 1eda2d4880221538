using Spoolwright.Signal.Filters;
using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Flutter;

/// <summary>
/// Everything that is gathered from the speed signal, in flat memory: its phase record, spectra of it and of the channels' difference at the
/// full rate (scrape, noise) and at a lower one (lines), and the detectors.
/// </summary>
internal sealed class SpeedStatistics : ISpeedSink
{
    private const int Chunk = 1024;
    private readonly DecimatingFilter _firstCommon;
    private readonly DecimatingFilter _firstDifference;
    private readonly DecimatingFilter _sharp;
    private readonly double[] _common = new double[Chunk];
    private readonly double[] _difference = new double[Chunk];
    private readonly double[] _reduced = new double[Chunk + 2];
    private readonly double[] _stopped = new double[Chunk + 2];
    private readonly int _ratio;
    private int _filled;
    private long _taken;
    private long _emitted;
    private long _uncountedUntil;

    /// <param name="settings">The standards' numbers.</param>
    /// <param name="sampleRateHz">Rate of the speed signal.</param>
    /// <param name="passHz">Half width of the band demodulated.</param>
    /// <param name="expectedSeconds">Length of the capture where known, for the choice of the spectrum's resolution.</param>
    public SpeedStatistics(FlutterSettings settings, double sampleRateHz, double passHz, double? expectedSeconds)
    {
        RateHz = sampleRateHz;
        HighestHz = Math.Min(settings.HighestHz, passHz);
        _ratio = Math.Max(1, (int)(sampleRateHz / 2000));
        LowRateHz = sampleRateHz / _ratio;
        var edge = 1.2 * HighestHz;
        var first = KaiserLowPass.Design(edge, LowRateHz - edge, 100, sampleRateHz);
        _firstCommon = new DecimatingFilter(first, _ratio);
        _firstDifference = new DecimatingFilter(first, _ratio);
        _sharp = new DecimatingFilter(KaiserLowPass.Design(HighestHz, edge, 80, LowRateHz), 1);
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

    public double HighestHz { get; }

    public WeightedStatistics Detectors { get; }

    public PhaseRecord Phase { get; }

    public WelchSpectrum Wide { get; }

    public WelchSpectrum WideDifference { get; }

    public WelchSpectrum Narrow { get; }

    public WelchSpectrum NarrowDifference { get; }

    public void Next(double common, double difference, bool counts)
    {
        Phase.Next(common, counts);
        _taken++;
        if (!counts)
        {
            // Outputs whose window reaches over this sample, and the fifth of a second after it, count for nothing.
            var reach = (_firstCommon.Length / 2 / _ratio) + (_sharp.Length / 2) + (0.2 * LowRateHz);
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
        Phase.Break();
        Detectors.Break();
        Wide.Break();
        WideDifference.Break();
        Narrow.Break();
        NarrowDifference.Break();
        _firstCommon.Reset();
        _firstDifference.Reset();
        _sharp.Reset();
        _taken = 0;
        _emitted = 0;
        _uncountedUntil = 0;
    }

    /// <summary>The end: what is held back is measured.</summary>
    public void Finish()
    {
        Flush();
        Detectors.Break();
    }

    private void Flush()
    {
        var common = _common.AsSpan(0, _filled);
        var difference = _difference.AsSpan(0, _filled);
        _filled = 0;
        Wide.Add(common);
        WideDifference.Add(difference);
        var n = _firstDifference.Add(difference, _reduced);
        NarrowDifference.Add(_reduced.AsSpan(0, n));
        n = _firstCommon.Add(common, _reduced);
        Narrow.Add(_reduced.AsSpan(0, n));
        n = _sharp.Add(_reduced.AsSpan(0, n), _stopped);
        for (var i = 0; i < n; i++)
        {
            Detectors.Next(_stopped[i], _emitted++ + (_sharp.Length / 2) >= _uncountedUntil);
        }
    }
}
