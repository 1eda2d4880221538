using Spoolwright.Signal.Filters;

namespace Spoolwright.Signal.Flutter;

/// <summary>
/// The detectors: weighting, quasi-peak, two-sigma and the rms of each band, on the speed signal as it stops at the highest flutter rate.
/// The first second or so is filtered backwards in time, the rest forwards, and both come out of the signal's mirror image: so nothing
/// starts from rest, and the whole span counts free of transients. Power behind a filter does not ask for the direction.
/// </summary>
internal sealed class WeightedStatistics
{
    private const double PrimingSeconds = 10;

    // Filtered backwards for this long: what a mirror's kink stirs up has died away by then, behind the weighting and behind the lowest
    // edge.
    private const double WeightedBackSeconds = 1;
    private const double BandsBackSeconds = 3;
    private readonly SecondOrderSections _weighting;
    private readonly SecondOrderSections _lowest;
    private readonly SecondOrderSections _wow;
    private readonly SecondOrderSections _flutter;
    private readonly QuasiPeakDetector _detector;
    private readonly double[] _first;
    private readonly bool[] _firstCounts;
    private readonly long _settling;
    private int _held;
    private long _sinceStart;
    private bool _primed;
    private double _origin;
    private readonly double _rate;

    public WeightedStatistics(FlutterSettings settings, double sampleRateHz)
    {
        _rate = sampleRateHz;
        _weighting = SecondOrderSections.Matched(settings.Weighting, sampleRateHz, settings.WeightingReferenceHz);
        _lowest = SecondOrderSections.Bilinear(Butterworth.HighPass(2, settings.LowestHz), sampleRateHz, settings.HighestHz / 4);
        _wow = SecondOrderSections.Bilinear(Butterworth.LowPass(2, settings.WowFlutterHz), sampleRateHz, settings.LowestHz);
        _flutter = SecondOrderSections.Bilinear(Butterworth.HighPass(2, settings.WowFlutterHz), sampleRateHz, settings.HighestHz);
        _detector = new QuasiPeakDetector(settings.QuasiPeak, sampleRateHz);
        _settling = (long)(settings.QuasiPeakSettlingSeconds * sampleRateHz);
        _first = new double[(int)(PrimingSeconds * sampleRateHz)];
        _firstCounts = new bool[_first.Length];
    }

    public LogHistogram Weighted { get; } = new();

    public LogHistogram QuasiPeak { get; } = new();

    public double WeightedPower { get; private set; }

    public double UnweightedPower { get; private set; }

    public double WowPower { get; private set; }

    public double FlutterPower { get; private set; }

    public long Counted { get; private set; }

    public void Next(double deviation, bool counts)
    {
        if (_primed)
        {
            Forward(deviation, counts, weightedSettled: true, bandsSettled: true);
            return;
        }

        _first[_held] = deviation;
        _firstCounts[_held++] = counts;
        if (_held == _first.Length)
        {
            Prime();
        }
    }

    /// <summary>The signal ends here, or breaks.</summary>
    public void Break()
    {
        if (!_primed && _held > 0)
        {
            Prime();
        }

        _held = 0;
        _sinceStart = 0;
        _primed = false;
        Rest();
    }

    private void Prime()
    {
        _primed = true;
        double sum = 0;
        for (var i = 0; i < _held; i++)
        {
            sum += _first[i];
        }

        _origin = sum / _held;
        var half = _held / 2;
        int weightedBack = Math.Min(half, (int)(WeightedBackSeconds * _rate)), bandsBack = Math.Min(half, (int)(BandsBackSeconds * _rate));
        Rest();
        for (var i = half; i < _held; i++)
        {
            Filter(_first[i] - _origin, out _, out _, out _, out _);
        }

        for (var i = _held - 1; i >= 0; i--)
        {
            Filter(_first[i] - _origin, out var weighted, out var unweighted, out var wow, out var flutter);
            if (_firstCounts[i])
            {
                Count(weighted, i < weightedBack, unweighted, wow, flutter, i < bandsBack);
            }
        }

        for (var i = 0; i < _held; i++)
        {
            Forward(_first[i], _firstCounts[i], i >= weightedBack, i >= bandsBack);
        }
    }

    private void Rest()
    {
        _weighting.Reset();
        _lowest.Reset();
        _wow.Reset();
        _flutter.Reset();
        _detector.Reset();
    }

    private void Filter(double x, out double weighted, out double unweighted, out double wow, out double flutter)
    {
        weighted = _weighting.Next(x);
        unweighted = _lowest.Next(x);
        wow = _wow.Next(unweighted);
        flutter = _flutter.Next(unweighted);
    }

    private void Forward(double deviation, bool counts, bool weightedSettled, bool bandsSettled)
    {
        Filter(deviation - _origin, out var weighted, out var unweighted, out var wow, out var flutter);
        var indication = _detector.Next(weighted);
        _sinceStart++;
        if (!counts)
        {
            return;
        }

        Count(weighted, weightedSettled, unweighted, wow, flutter, bandsSettled);
        if (_sinceStart > _settling)
        {
            QuasiPeak.Add(indication);
        }
    }

    private void Count(double weighted, bool countWeighted, double unweighted, double wow, double flutter, bool countBands)
    {
        if (countWeighted)
        {
            Weighted.Add(Math.Abs(weighted));
            WeightedPower += weighted * weighted;
        }

        if (countBands)
        {
            Counted++;
            UnweightedPower += unweighted * unweighted;
            WowPower += wow * wow;
            FlutterPower += flutter * flutter;
        }
    }
}
