using System.Numerics;
using System.Runtime.CompilerServices;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Signal.Flutter;

/// <summary>
/// Turns the sound of a steady tone into its instantaneous frequency: each channel is brought to 0 Hz, its phase differenced, and the two
/// weighed by their signal to noise and by how much of the tone each has at that moment.
/// </summary>
internal sealed class CarrierTracker
{
    private const int ChunkFrames = 1 << 14;
    private readonly Carrier _carrier;
    private readonly ToneDownconverter _left;
    private readonly ToneDownconverter? _right;
    private readonly GapBridge _bridge;
    private readonly double[] _lr;
    private readonly double[] _li;
    private readonly double[] _rr;
    private readonly double[] _ri;
    private readonly double _toHz;
    private readonly double _follow;
    private readonly double _threshold;
    private readonly double _largest;
    private double _meanLeft;
    private double _meanRight;
    private double _lastPower;
    private double _lastSpeed;
    private double _envelopePower;
    private double _envelopeSteps;
    private double _speedSteps;
    private double _crossSteps;
    private long _good;
    private readonly double[] _leftHz;
    private readonly double[] _rightHz;
    private Complex _previousLeft;
    private Complex _previousRight;
    private bool _primed;
    private readonly double _sampleRate;

    public CarrierTracker(Carrier carrier, double sampleRateHz, bool stereo, ISpeedSink sink)
    {
        _carrier = carrier;
        var f0 = carrier.FrequencyHz;
        (PassHz, var stop) = BandOf(f0, sampleRateHz);
        _sampleRate = sampleRateHz;
        var decimation = Decimation(f0, sampleRateHz);
        _left = new ToneDownconverter(f0, PassHz, stop, decimation, sampleRateHz);
        _right = stereo ? new ToneDownconverter(f0, PassHz, stop, decimation, sampleRateHz) : null;
        OutputRateHz = _left.OutputRateHz;
        _toHz = OutputRateHz / (2 * Math.PI);
        _follow = 1 - Math.Exp(-1 / (3 * OutputRateHz));
        _meanLeft = Math.Max(carrier.AmplitudeLeft * carrier.AmplitudeLeft, 1e-30);
        _meanRight = Math.Max(carrier.AmplitudeRight * carrier.AmplitudeRight, 1e-30);
        _largest = 0.3 * f0;

        // Lost: 20 dB down, or less where the noise itself comes near that.
        var noise = Math.Pow(10, -carrier.SnrDb / 10) * OutputRateHz / 20000;
        _threshold = Math.Clamp(6 * noise, 0.01, 0.25);
        var guard = (int)((0.01 * OutputRateHz) + (2.0 * _left.FirstOutputFrame / decimation)) + 2;
        _bridge = new GapBridge(sink, guard, (int)(0.5 * OutputRateHz));
        var outputs = _left.MaximumOutputs(ChunkFrames);
        _lr = new double[outputs];
        _li = new double[outputs];
        _rr = new double[outputs];
        _ri = new double[outputs];
        _leftHz = new double[outputs];
        _rightHz = new double[outputs];
    }

    /// <summary>Half width of the band demodulated, Hz.</summary>
    public double PassHz { get; }

    /// <summary>Rate of the speed signal, Hz.</summary>
    public double OutputRateHz { get; }

    public GapBridge Bridge => _bridge;

    /// <summary>Length of tone that the filter hides at either end, s.</summary>
    public double EdgeSeconds => _left.FirstOutputFrame / _sampleRate;

    /// <summary>
    /// Half width of the band demodulated around a carrier, and where everything is stopped, Hz: short of 0 Hz on one side, and of the
    /// carrier's image beyond half the sample rate on the other.
    /// </summary>
    public static (double Pass, double Stop) BandOf(double carrierHz, double sampleRateHz)
    {
        var stop = Math.Min(0.95 * carrierHz, 0.9 * (sampleRateHz - (2 * carrierHz)));
        return (0.4 * stop, stop);
    }

    /// <summary>Input frames for one sample of the speed signal: its rate is at least 4.2 kHz and holds the band between its filter's
    /// edges.</summary>
    public static int Decimation(double carrierHz, double sampleRateHz)
    {
        var (pass, stop) = BandOf(carrierHz, sampleRateHz);
        return Math.Max(1, (int)(sampleRateHz / Math.Max(4200, 1.01 * (pass + stop))));
    }

    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        while (left.Length > 0)
        {
            var take = Math.Min(left.Length, ChunkFrames);
            var n = _left.Add(left[..take], _lr, _li);
            left = left[take..];
            if (_right is not null)
            {
                _right.Add(right[..take], _rr, _ri);
                right = right[take..];
            }

            Demodulate(n);
        }
    }

    /// <summary>
    /// True where a second tone stands beside the first: it makes the level and the speed swing together, as one sideband does; flutter
    /// leaves the level alone, and noise and dropouts move the two apart.
    /// </summary>
    public bool TwoTones =>
        _good > 0 && _envelopePower / _good > 0.02
        && _crossSteps * _crossSteps > 0.16 * _envelopeSteps * _speedSteps;

    public void Finish() => _bridge.Finish();

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Demodulate(int count)
    {
        var stereo = _right is not null;
        var carriedRight = stereo && _carrier.WeightLeft < 0.5;
        Steps(_lr.AsSpan(0, count), _li.AsSpan(0, count), ref _previousLeft, _leftHz);
        if (stereo)
        {
            Steps(_rr.AsSpan(0, count), _ri.AsSpan(0, count), ref _previousRight, _rightHz);
        }

        for (var i = 0; i < count; i++)
        {
            double lr = _lr[i], li = _li[i];
            var powerLeft = (lr * lr) + (li * li);
            var yLeft = _leftHz[i];
            var soundLeft = Sound(powerLeft, _meanLeft);
            var partLeft = soundLeft * _carrier.WeightLeft;
            double common, difference = 0, quality, powerRight = 0;
            if (stereo)
            {
                double rr = _rr[i], ri = _ri[i];
                powerRight = (rr * rr) + (ri * ri);
                var yRight = _rightHz[i];
                var soundRight = Sound(powerRight, _meanRight);
                var partRight = soundRight * (1 - _carrier.WeightLeft);
                quality = partLeft + partRight;
                common = quality > 0 ? ((partLeft * yLeft) + (partRight * yRight)) / quality : 0;

                // Where one channel drops out, its noise leaves the common signal with it.
                difference = (yLeft - yRight) * Math.Min(soundLeft, soundRight);
                if (quality > _threshold)
                {
                    _meanRight += _follow * (powerRight - _meanRight);
                }
            }
            else
            {
                quality = partLeft;
                common = yLeft;
            }

            if (quality > _threshold)
            {
                _meanLeft += _follow * (powerLeft - _meanLeft);
            }

            if (!_primed)
            {
                _primed = true; // the first phase has none before it to be differenced from
                continue;
            }

            if (quality > _threshold)
            {
                // Steps of the level's logarithm, (p − p')/(p + p') nearly, against steps of the speed.
                var power = carriedRight ? powerRight : powerLeft;
                double level = (power / (carriedRight ? _meanRight : _meanLeft)) - 1,
                    step = (power - _lastPower) / (power + _lastPower),
                    speedStep = common - _lastSpeed;
                _envelopePower += level * level;
                _envelopeSteps += step * step;
                _speedSteps += speedStep * speedStep;
                _crossSteps += step * speedStep;
                (_lastPower, _lastSpeed) = (power, common);
                _good++;
            }

            _bridge.Next(common, difference, quality > _threshold && Math.Abs(common) < _largest);
        }
    }

    // How far a channel still has the tone: 1 down to 3 dB under its usual level, then in proportion to its power. Flat at the top, because
    // weights that follow the noise of the level would turn the noise of the speed into a wandering phase.
    private static double Sound(double power, double usual) => Math.Min(1, 2 * power / usual);

    private void Steps(ReadOnlySpan<double> re, ReadOnlySpan<double> im, ref Complex previous, Span<double> hz)
    {
        PhaseSteps.Between(re, im, previous, _toHz, hz);
        previous = re.Length > 0 ? new Complex(re[^1], im[^1]) : previous;
    }
}
