using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Playing;

/// <summary>Turns places on the tape into samples of both channels.</summary>
internal sealed class ToneVoices
{
    private readonly IReadOnlyList<ProgramItem> _items;
    private readonly double _nominalRate;
    private readonly double _direction;
    private readonly double _step;
    private readonly int _perStep;
    private readonly double[] _left = new double[PracticeSound.ChunkFrames];
    private readonly double[] _right = new double[PracticeSound.ChunkFrames];
    private readonly double[] _levelLeft = new double[PracticeSound.ChunkFrames];
    private readonly double[] _levelRight = new double[PracticeSound.ChunkFrames];
    private readonly double[] _turns = new double[PracticeSound.ChunkFrames];
    private readonly double[] _scaled = new double[PracticeSound.ChunkFrames];

    /// <param name="program">What is recorded.</param>
    /// <param name="nominalRate">Mean rate over the tape's own speed.</param>
    /// <param name="backward">Whether the tape is played from its end.</param>
    /// <param name="step">Seconds from point to point of the motion.</param>
    /// <param name="perStep">Frames from point to point.</param>
    public ToneVoices(TapeProgram program, double nominalRate, bool backward, double step, int perStep)
    {
        _items = program.Items;
        _nominalRate = nominalRate;
        _direction = backward ? -1 : 1;
        _step = step;
        _perStep = perStep;
    }

    /// <summary>Level of both channels at one point, against that of an item at rest.</summary>
    public static (double Left, double Right) Level(ProgramItem item, in ContactMotion.Point point, double rateOverNominal)
    {
        var left = point.GainLeft * (1 + (item.SlopeLeft * (rateOverNominal - 1)));
        var right = point.GainRight * (1 + (item.SlopeRight * (rateOverNominal - 1)));

        // [SPACING-1951] for what the contact adds to or takes from its resting distance.
        if (point.LiftLeftUm != 0)
            left *= Math.Exp(-2 * Math.PI * point.LiftLeftUm / item.WavelengthUm);
        if (point.LiftRightUm != 0)
            right *= Math.Exp(-2 * Math.PI * point.LiftRightUm / item.WavelengthUm);
        return (left, right);
    }

    /// <summary>Adds the stretch between the first and the last point to both channels.</summary>
    public void AddTo(
        ReadOnlySpan<double> places,
        ReadOnlySpan<double> rates,
        ReadOnlySpan<ContactMotion.Point> points,
        Span<double> left,
        Span<double> right
    )
    {
        var from = Math.Min(places[0], places[^1]);
        var to = Math.Max(places[0], places[^1]);
        var located = false;
        for (var i = FirstEndingAfter(from); i < _items.Count && _items[i].Start < to; i++)
        {
            if (!located)
                Locate(places, rates, points);
            located = true;
            Add(_items[i], places, rates, points, left, right);
        }
    }

    private int FirstEndingAfter(double place)
    {
        var (low, high) = (0, _items.Count);
        while (low < high)
        {
            var middle = (low + high) / 2;
            if (_items[middle].End > place)
                high = middle;
            else
                low = middle + 1;
        }

        return low;
    }

    // The place that each gap hears at each frame: the exact integral of a speed that runs straight from point to point.
    private void Locate(ReadOnlySpan<double> places, ReadOnlySpan<double> rates, ReadOnlySpan<ContactMotion.Point> points)
    {
        var dt = _step / _perStep;
        for (var k = 0; k < places.Length - 1; k++)
        {
            var later = points[k].RightLater * _direction;
            var laterStep = ((points[k + 1].RightLater * _direction) - later) / _perStep;
            var bend = 0.5 * (rates[k + 1] - rates[k]) / _step;
            for (var j = 0; j < _perStep; j++)
            {
                var t = j * dt;
                var place = places[k] + ((rates[k] + (bend * t)) * t);
                _left[(k * _perStep) + j] = place;
                _right[(k * _perStep) + j] = place - (later + (laterStep * j));
            }
        }
    }

    private void Add(
        ProgramItem item,
        ReadOnlySpan<double> places,
        ReadOnlySpan<double> rates,
        ReadOnlySpan<ContactMotion.Point> points,
        Span<double> left,
        Span<double> right)
    {
        FillLevels(item, places, rates, points);
        AddChannel(item, _left, _levelLeft, left, isRight: false);
        AddChannel(item, _right, _levelRight, right, isRight: true);
    }

    private void FillLevels(
        ProgramItem item,
        ReadOnlySpan<double> places,
        ReadOnlySpan<double> rates,
        ReadOnlySpan<ContactMotion.Point> points
    )
    {
        var (left, right) = Swollen(item, places[0], rates[0], points[0]);
        for (var k = 0; k < places.Length - 1; k++)
        {
            var (nextLeft, nextRight) = Swollen(item, places[k + 1], rates[k + 1], points[k + 1]);
            var riseLeft = (nextLeft - left) / _perStep;
            var riseRight = (nextRight - right) / _perStep;
            for (var j = 0; j < _perStep; j++)
            {
                _levelLeft[(k * _perStep) + j] = left + (riseLeft * j);
                _levelRight[(k * _perStep) + j] = right + (riseRight * j);
            }

            (left, right) = (nextLeft, nextRight);
        }
    }

    private (double Left, double Right) Swollen(ProgramItem item, double place, double rate, in ContactMotion.Point point)
    {
        var envelope = item.Envelope(place);
        if (envelope == 0)
            return (0, 0);
        var (left, right) = Level(item, point, rate * _direction / _nominalRate);
        return (envelope * left, envelope * right);
    }

    private void AddChannel(ProgramItem item, double[] heard, double[] levels, Span<double> target, bool isRight)
    {
        foreach (var partial in item.Partials)
        {
            // Electronics turn the phase in the capture's time, whichever way the tape runs.
            var phase = _direction * (isRight ? partial.RightTurns : partial.LeftTurns);
            var amplitude = isRight ? partial.Right : partial.Left;
            for (var i = 0; i < target.Length; i++)
            {
                var into = heard[i] - item.Start;
                _turns[i] = (partial.Multiple * (item.Hertz + (0.5 * item.GlideHzPerSecond * into)) * into) + phase;
                _scaled[i] = amplitude * levels[i];
            }

            TurnSine.AddScaled(_turns.AsSpan(0, target.Length), _scaled.AsSpan(0, target.Length), target);
        }
    }
}
