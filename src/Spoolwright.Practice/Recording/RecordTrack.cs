using Spoolwright.Practice.Physics;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Recording;

/// <summary>One track being recorded: fed samples in, flux out, in record time. The flux comes <see cref="Latency"/> samples
/// late.</summary>
internal sealed class RecordTrack
{
    private const int HalfTaps = 64;

    /// <summary>Half the lift's taps, half the interpolator's, and half the losses' at twice the rate.</summary>
    public const int Latency = ((RecordPath.LiftTaps - 1) / 2) + (HalfTaps / 2) + ((RecordPath.LossTaps - 1) / 4);

    /// <summary>Samples of every call.</summary>
    public const int Block = 1024;

    private readonly RecordPath _path;
    private readonly float[] _lift;
    private readonly float[] _half;
    private readonly ShortFilter _lifter = new(RecordPath.LiftTaps);
    private readonly ShortFilter _between = new(HalfTaps);
    private readonly ShortFilter _lossEven = new((RecordPath.LossTaps + 1) / 2);
    private readonly ShortFilter _lossOdd = new(RecordPath.LossTaps / 2);
    private readonly float[] _past = new float[HalfTaps / 2];
    private readonly float[] _wave = new float[Block];
    private readonly float[] _even = new float[Block];
    private readonly float[] _odd = new float[Block + 1];
    private readonly float[] _sum = new float[Block];
    private readonly float[] _work = new float[Block];
    private readonly float[] _taps = new float[RecordPath.LossTaps];
    private readonly double _bassGain;
    private readonly double _bassPole;
    private float[][] _loss;
    private double _biasDb;
    private double _bass;

    public RecordTrack(RecordPath path, double inputGain, double biasOffsetDb)
    {
        _path = path;
        _lift = [.. path.Lift.Select(t => (float)(t * inputGain))];

        // The wave between two samples, up to where an interface's filter ends.
        _half = Between(path.RateHz);
        var (from, to) = path.BassCorners;
        (_bassGain, _bassPole) = (2 * Math.PI * (from - to) / path.RateHz, Math.Exp(-2 * Math.PI * to / path.RateHz));
        _biasDb = path.BiasDb + biasOffsetDb;
        _loss = Split(_biasDb);
    }

    /// <summary>Bias where the last block ended, dB against the tape's working point.</summary>
    public double BiasDb => _biasDb;

    /// <summary>Records a whole block; bias moves to its new place over it.</summary>
    public void Run(ReadOnlySpan<float> fed, double biasOffsetDb, Span<float> flux)
    {
        var wave = _wave.AsSpan(0, fed.Length);
        _lifter.Run(fed, _lift, wave);
        for (var i = 0; i < wave.Length; i++)
        {
            // Lift of the bass: what the replay amplifier takes away below its corner.
            // The half sample keeps the treble as it is.
            _bass = (_bassPole * _bass) + wave[i];
            wave[i] += (float)(_bassGain * (_bass - (0.5 * wave[i])));
        }

        var even = _even.AsSpan(0, fed.Length);
        var odd = _odd.AsSpan(1, fed.Length);
        _between.Run(wave, _half, odd);
        _past.CopyTo(even);
        wave[..^_past.Length].CopyTo(even[_past.Length..]);
        wave[^_past.Length..].CopyTo(_past);

        var bias = _path.BiasDb + biasOffsetDb;
        var ceiling = (float)_path.Ceiling(0.5 * (bias + _biasDb));
        TapeCeiling.Bend(even, ceiling);
        TapeCeiling.Bend(odd, ceiling);

        // Losses at twice the rate, of which every second value is wanted: the odd samples lie one behind.
        var sum = _sum.AsSpan(0, fed.Length);
        var late = _odd.AsSpan(0, fed.Length);
        if (bias == _biasDb)
        {
            _lossEven.Run(even, _loss[0], flux);
            _lossOdd.Run(late, _loss[1], sum);
        }
        else
        {
            var next = Split(bias);
            _lossEven.Run(even, _loss[0], next[0], flux, _work);
            _lossOdd.Run(late, _loss[1], next[1], sum, _work);
            (_loss, _biasDb) = (next, bias);
        }

        for (var i = 0; i < sum.Length; i++)
            flux[i] += sum[i];
        _odd[0] = _odd[fed.Length];
    }

    private float[][] Split(double biasDb)
    {
        _path.LossAt(biasDb, _taps);
        return [[.. _taps.Where((_, i) => (i & 1) == 0)], [.. _taps.Where((_, i) => (i & 1) == 1)]];
    }

    private static float[] Between(double rateHz)
    {
        var reader = new PlaceReader(rateHz);
        var taps = new float[HalfTaps];
        var line = new float[HalfTaps];
        for (var i = 0; i < HalfTaps; i++)
        {
            line[i] = 1;
            taps[i] = reader.At(line, (HalfTaps / 2) - 1 + 0.5);
            line[i] = 0;
        }

        return taps;
    }
}
