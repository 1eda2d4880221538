using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Recording;

/// <summary>Flux as two gaps hear it while the tape runs past them: places from the motion, level and skew from the contact.</summary>
internal sealed class FluxReading
{
    private readonly TransportMotion _motion;
    private readonly ContactMotion _contact;
    private readonly PlaceReader _reader;
    private readonly FluxStore? _flux;
    private readonly FluxStore? _other;
    private readonly double _lengthSamples;
    private readonly double _rate;
    private readonly double _behindSamples;
    private readonly double _staggerSamples;
    private readonly int _perStep;
    private readonly double _bendPerSecond;
    private readonly double[] _places;
    private readonly double[] _rates;
    private readonly double[] _ratios;
    private readonly ContactMotion.Point[] _points;
    private float[] _left = [];
    private float[] _right = [];

    public FluxReading(
        PracticeDeck deck,
        PracticeTape body,
        PlayOptions options,
        RecordedTape tape,
        RecordedSide? side,
        double behindMm,
        int mostFrames
    )
    {
        _perStep = PracticeSound.FramesPerStep(options.SampleRateHz);
        var step = (double)_perStep / options.SampleRateHz;
        _bendPerSecond = 0.5 / step;
        _motion = new TransportMotion(deck, body, options, step);
        _contact = new ContactMotion(deck, body, options, step);
        _reader = new PlaceReader(tape.SampleRateHz);
        _flux = side?.Flux;
        _other = tape.Side(options.Direction == TapeDirection.Forward ? TapeDirection.Reverse : TapeDirection.Forward)?.Flux;
        _rate = tape.SampleRateHz;
        _lengthSamples = tape.LengthSeconds * _rate;
        _behindSamples = behindMm / (tape.SpeedCmPerS * 10) * _rate;
        _staggerSamples = (side?.GapStaggerUm ?? 0) / (tape.SpeedCmPerS * 1e4) * _rate;
        var points = (mostFrames / _perStep) + 1;
        (_places, _rates, _ratios, _points) = (new double[points], new double[points], new double[points], new ContactMotion.Point[points]);
    }

    /// <summary>Frames of one call that end on a point of the motion.</summary>
    public int WholeFrames(int most) => most / _perStep * _perStep;

    public double NominalRate => _motion.NominalRate;

    /// <summary>Called with the last sample of flux that is about to be read, so that it can be recorded first; then with the first still
    /// needed.</summary>
    public Action<long, long>? Needs { get; init; }

    /// <summary>Reads on; frames must be as <see cref="WholeFrames"/> says.</summary>
    public void Run(Span<float> left, Span<float> right, Span<float> otherLeft, Span<float> otherRight)
    {
        var points = (left.Length / _perStep) + 1;
        var places = _places.AsSpan(0, points);
        var rates = _rates.AsSpan(0, points);
        _motion.Run(places, rates, _ratios.AsSpan(0, points));
        _contact.Run(places, _points.AsSpan(0, points));
        if (_flux is not null)
            Hear(_flux, places, rates, left, right, backwards: false);
        if (_other is not null)
            Hear(_other, places, rates, otherLeft, otherRight, backwards: true);
    }

    private void Hear(
        FluxStore flux,
        ReadOnlySpan<double> places,
        ReadOnlySpan<double> rates,
        Span<float> left,
        Span<float> right,
        bool backwards
    )
    {
        var offset = backwards ? 0 : _behindSamples;
        double At(double place) => backwards ? _lengthSamples - (place * _rate) : (place * _rate) - offset;
        var (one, two) = (At(places[0]), At(places[^1]));

        // Skew and stagger are far below a millisecond.
        var margin = _reader.Taps + (int)(_rate / 500);
        var first = (long)Math.Floor(Math.Min(one, two)) - margin;
        var count = (int)((long)Math.Ceiling(Math.Max(one, two)) + margin - first);
        if (!backwards)
            Needs?.Invoke(first + count, first);
        if (_left.Length < count)
            (_left, _right) = (new float[count], new float[count]);
        flux.Read(first, _left.AsSpan(0, count), _right.AsSpan(0, count));
        var lineLeft = _left.AsSpan(0, count);
        var lineRight = _right.AsSpan(0, count);
        var sign = backwards ? -1 : 1;
        for (var k = 0; k < places.Length - 1; k++)
        {
            var start = At(places[k]) - first;
            var speed = sign * rates[k] * _rate;
            var bend = sign * (rates[k + 1] - rates[k]) * _bendPerSecond * _rate;
            var later = (_points[k].RightLater * _rate) - _staggerSamples;
            var laterStep = (_points[k + 1].RightLater - _points[k].RightLater) * _rate / _perStep;
            var (gainLeft, gainRight) = (_points[k].GainLeft, _points[k].GainRight);
            var (riseLeft, riseRight) = (
                (_points[k + 1].GainLeft - gainLeft) / _perStep,
                (_points[k + 1].GainRight - gainRight) / _perStep
            );
            for (var j = 0; j < _perStep; j++)
            {
                var t = j * (1 / (2 * _bendPerSecond * _perStep));
                var place = start + ((speed + (bend * t)) * t);
                var frame = (k * _perStep) + j;
                left[frame] = (float)(gainLeft + (riseLeft * j)) * _reader.At(lineLeft, place);
                right[frame] = (float)(gainRight + (riseRight * j)) * _reader.At(lineRight, place - (sign * (later + (laterStep * j))));
            }
        }
    }
}
