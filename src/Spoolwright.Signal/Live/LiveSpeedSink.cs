using Spoolwright.Signal.Filters;
using Spoolwright.Signal.Flutter;

namespace Spoolwright.Signal.Live;

/// <summary>Takes the speed signal of one stretch of tone and keeps what the last seconds say of it.</summary>
internal sealed class LiveSpeedSink : ISpeedSink
{
    // Behind the lowest edge of 0.2 Hz a step has died away to a thousandth after this long; computed.
    private const double BandSettlingSeconds = 4;
    private const double WeightedSettlingSeconds = 1.5;
    private const double NowSeconds = 1;
    private const int Chunk = 64;
    private readonly LiveSpeed _owner;
    private readonly Carrier _carrier;
    private readonly DecimatingFilter _first, _firstNoise, _stop, _stopNoise;
    private readonly SecondOrderSections _weighting, _lowest, _wow, _flutter, _weightingNoise, _lowestNoise;
    private readonly QuasiPeakDetector _detector;
    private readonly SlidingQuantile _weighted,
        _unweighted,
        _wowBand,
        _flutterBand,
        _indications,
        _noiseWeighted,
        _noiseUnweighted;
    private readonly double[] _in = new double[Chunk],
        _inNoise = new double[Chunk],
        _low = new double[Chunk + 2],
        _lowNoise = new double[Chunk + 2];
    private readonly double[] _out = new double[Chunk + 2],
        _outNoise = new double[Chunk + 2];
    private readonly double[] _kept, _keptNoise;
    private readonly double _rate;
    private readonly double _quasiPeakSettling;
    private int _filled;
    private long _low0;
    private long _stopped;
    private long _heldOff;
    private double _origin, _originSum, _indication;

    public LiveSpeedSink(
        FlutterSettings settings,
        Carrier carrier,
        double sampleRateHz,
        double passHz,
        double windowSeconds,
        LiveSpeed owner
    )
    {
        (_carrier, _owner, _rate) = (carrier, owner, sampleRateHz);
        var ratio = Math.Max(1, (int)(sampleRateHz / 2000));
        LowRateHz = sampleRateHz / ratio;
        var highest = Math.Min(settings.HighestHz, passHz);
        var edge = 1.2 * highest;
        var taps = KaiserLowPass.Design(edge, LowRateHz - edge, 80, sampleRateHz);
        var stopTaps = KaiserLowPass.Design(highest, edge, 80, LowRateHz);
        (_first, _firstNoise) = (new DecimatingFilter(taps, ratio), new DecimatingFilter(taps, ratio));
        (_stop, _stopNoise) = (new DecimatingFilter(stopTaps, 1), new DecimatingFilter(stopTaps, 1));
        SecondOrderSections Weighting() => SecondOrderSections.Matched(settings.Weighting, LowRateHz, settings.WeightingReferenceHz);
        SecondOrderSections Lowest() =>
            SecondOrderSections.Bilinear(Butterworth.HighPass(2, settings.LowestHz), LowRateHz, settings.HighestHz / 4);
        (_weighting, _weightingNoise, _lowest, _lowestNoise) = (Weighting(), Weighting(), Lowest(), Lowest());
        _wow = SecondOrderSections.Bilinear(Butterworth.LowPass(2, settings.WowFlutterHz), LowRateHz, settings.LowestHz);
        _flutter = SecondOrderSections.Bilinear(Butterworth.HighPass(2, settings.WowFlutterHz), LowRateHz, settings.HighestHz);
        _detector = new QuasiPeakDetector(settings.QuasiPeak, LowRateHz);
        _quasiPeakSettling = settings.QuasiPeakSettlingSeconds;
        SlidingQuantile Window() => new((int)(windowSeconds * LowRateHz));
        (_weighted, _unweighted, _wowBand, _flutterBand) = (Window(), Window(), Window(), Window());
        (_indications, _noiseWeighted, _noiseUnweighted) = (Window(), Window(), Window());
        (_kept, _keptNoise) = (new double[(int)(windowSeconds * LowRateHz)], new double[(int)(windowSeconds * LowRateHz)]);
        Quantile = settings.Quantile;
    }

    public double LowRateHz { get; }

    /// <summary>Samples taken so far, bridged ones among them.</summary>
    public long Taken { get; private set; }

    private double Quantile { get; }

    public void Next(double common, double difference, bool counts)
    {
        Taken++;
        if (!counts)
        {
            _heldOff = _stopped + (long)(0.2 * LowRateHz) + _stop.Length;
        }

        _in[_filled] = common;
        _inNoise[_filled++] = 0.5 * difference;
        if (_filled < Chunk)
        {
            return;
        }

        _filled = 0;
        var n = _first.Add(_in, _low);
        _firstNoise.Add(_inNoise, _lowNoise);
        for (var i = 0; i < n; i++)
        {
            Keep(_low[i], _lowNoise[i]);
        }

        var m = _stop.Add(_low.AsSpan(0, n), _out);
        _stopNoise.Add(_lowNoise.AsSpan(0, n), _outNoise);
        for (var i = 0; i < m; i++)
        {
            Detect(_out[i], _outNoise[i]);
        }
    }

    /// <summary>The tone was away for longer than can be bridged: everything settles anew.</summary>
    public void Break()
    {
        _filled = 0;
        _first.Reset();
        _firstNoise.Reset();
        _stop.Reset();
        _stopNoise.Reset();
        foreach (var filter in (ReadOnlySpan<SecondOrderSections>)[_weighting, _weightingNoise, _lowest, _lowestNoise, _wow, _flutter])
        {
            filter.Reset();
        }

        foreach (
            var window in (ReadOnlySpan<SlidingQuantile>)
                [_weighted, _unweighted, _wowBand, _flutterBand, _indications, _noiseWeighted, _noiseUnweighted]
        )
        {
            window.Reset();
        }

        _detector.Reset();
        (_low0, _stopped, _heldOff, _originSum) = (0, 0, 0, 0);
    }

    public LiveSpeedReading Read()
    {
        var held = (int)Math.Min(_low0, _kept.Length);
        var mean = _carrier.FrequencyHz + Mean(held);
        var scale = 100 / mean;
        var noise = Math.Sqrt(_noiseUnweighted.MeanSquare);
        return new LiveSpeedReading
        {
            NowHz = _carrier.FrequencyHz + Mean((int)Math.Min(held, NowSeconds * LowRateHz)),
            MeanHz = mean,
            MeanNoiseHz = held == 0 ? 0 : 2 * RootMeanSquare(_keptNoise.AsSpan(0, held)) / held,
            NominalHz = _carrier.NominalHz,
            Seconds = _unweighted.Count / LowRateHz,
            QuasiPeak = scale * _indications.Quantile(Quantile),
            QuasiPeakNow = scale * _indication,
            TwoSigma = scale * _weighted.Quantile(Quantile),
            WeightedRms = scale * Math.Sqrt(_weighted.MeanSquare),
            UnweightedRms = scale * Math.Sqrt(_unweighted.MeanSquare),
            WowRms = scale * Math.Sqrt(_wowBand.MeanSquare),
            FlutterRms = scale * Math.Sqrt(_flutterBand.MeanSquare),
            WeightedNoise = scale * Math.Sqrt(_noiseWeighted.MeanSquare),
            UnweightedNoise = scale * noise,
        };
    }

    // Between its ends the tone's phase is off by the noise of two phases, whatever the length: so is it from one sample to the next, phases
    // in white noise being as good as unlike. What a sample is off by, over their number, is what the mean is off by.
    private static double RootMeanSquare(ReadOnlySpan<double> x)
    {
        double sum = 0;
        foreach (var value in x)
        {
            sum += value * value;
        }

        return Math.Sqrt(sum / x.Length);
    }

    private double Mean(int samples)
    {
        double sum = 0;
        for (var i = 1; i <= samples; i++)
        {
            sum += _kept[(int)((_low0 - i) % _kept.Length)];
        }

        return samples == 0 ? 0 : sum / samples;
    }

    private void Keep(double hz, double noise)
    {
        var slot = (int)(_low0++ % _kept.Length);
        (_kept[slot], _keptNoise[slot]) = (hz, noise);
    }

    private void Detect(double hz, double noise)
    {
        // The mean of the first tenth of a second is taken off, so that the filters start near rest.
        var first = (int)(0.1 * LowRateHz);
        if (_stopped < first)
        {
            _originSum += hz;
            _origin = _originSum / ++_stopped;
            return;
        }

        var at = ++_stopped / LowRateHz;
        var x = hz - _origin;
        double weighted = _weighting.Next(x),
            unweighted = _lowest.Next(x),
            wow = _wow.Next(unweighted),
            flutter = _flutter.Next(unweighted);
        double noiseWeighted = _weightingNoise.Next(noise),
            noiseUnweighted = _lowestNoise.Next(noise);
        _indication = _detector.Next(weighted);
        _owner.Deviation?.Invoke(100 * unweighted / _carrier.FrequencyHz);
        if (_stopped < _heldOff)
        {
            return;
        }

        if (at > WeightedSettlingSeconds)
        {
            _weighted.Add(Math.Abs(weighted));
            _noiseWeighted.Add(Math.Abs(noiseWeighted));
        }

        if (at > BandSettlingSeconds)
        {
            _unweighted.Add(Math.Abs(unweighted));
            _wowBand.Add(Math.Abs(wow));
            _flutterBand.Add(Math.Abs(flutter));
            _noiseUnweighted.Add(Math.Abs(noiseUnweighted));
        }

        if (at > _quasiPeakSettling)
        {
            _indications.Add(_indication);
        }
    }
}
