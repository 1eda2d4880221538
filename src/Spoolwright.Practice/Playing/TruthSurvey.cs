using System.Numerics;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Physics;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Playing;

/// <summary>Runs a pass without sound and writes down what is true of it.</summary>
internal sealed class TruthSurvey
{
    private const int ChunkSteps = 1024;

    private readonly PracticeDeck _deck;
    private readonly PracticeTape _tape;
    private readonly PlayOptions _options;
    private readonly TransportMotion _motion;
    private readonly TapeProgram _program;
    private readonly ProgramItem[] _toneItems;
    private readonly double _step;
    private readonly double _lead;
    private readonly double _nominal;
    private readonly List<double> _ratios = [];
    private readonly List<ToneTally> _tallies = [];
    private readonly List<TrueDropout> _dropouts = [];
    private readonly DropoutSchedule _schedule;
    private double _msPlace;
    private long _slot;

    private TruthSurvey(PracticeDeck deck, PracticeTape tape, PlayOptions options)
    {
        (_deck, _tape, _options) = (deck, tape, options);
        _step = (double)PracticeSound.FramesPerStep(options.SampleRateHz) / options.SampleRateHz;
        _motion = new TransportMotion(deck, tape, options, _step);
        _program = new TapeProgram(deck, tape, options, _motion.NominalRate);
        _toneItems = [.. _program.Items.Where(i => i.Tone is not null)];
        _lead = (double)PracticeSound.LeadFrames(options) / options.SampleRateHz;
        _nominal = deck.Speed(options.SpeedCmPerS).CmPerS / tape.SpeedCmPerS;
        _schedule = new DropoutSchedule(tape);
    }

    public static PracticeTruth Take(PracticeDeck deck, PracticeTape tape, PlayOptions options) =>
        new TruthSurvey(deck, tape, options).Run();

    private PracticeTruth Run()
    {
        var contact = new ContactMotion(_deck, _tape, _options, _step);
        var direction = _options.Backward ? -1.0 : 1;
        var duration = ((double)PracticeSound.TotalFrames(_options) / _options.SampleRateHz) - _lead;
        var places = new double[ChunkSteps + 1];
        var rates = new double[ChunkSteps + 1];
        var ratios = new double[ChunkSteps + 1];
        var points = new ContactMotion.Point[ChunkSteps + 1];
        var (startPlace, endPlace, deckSum, steps) = (0.0, 0.0, 0.0, 0L);
        var startHz = LineRates();
        var total = (long)Math.Floor((duration / _step) + 1e-9);
        for (var done = 0L; done < total;)
        {
            var count = (int)Math.Min(ChunkSteps, total - done);
            _motion.Run(places.AsSpan(0, count + 1), rates.AsSpan(0, count + 1), ratios.AsSpan(0, count + 1));
            contact.Run(places.AsSpan(0, count + 1), points.AsSpan(0, count + 1));
            if (done == 0)
                _msPlace = startPlace = places[0];
            TakeMilliseconds(places.AsSpan(0, count + 1), rates, done, direction);
            for (var k = 0; k < count; k++)
            {
                deckSum += 0.5 * (ratios[k] + ratios[k + 1]);
                MeetDropouts(places[k], done + k == 0, _lead + ((done + k) * _step), direction * rates[k]);
                Tally(places[k], direction * rates[k], points[k], _lead + ((done + k) * _step));
            }

            (done, steps, endPlace) = (done + count, steps + count, places[count]);
        }

        var run = steps * _step;
        var askew = ReplayPath.AskewArcmin(_deck, _tape, _options);
        var head = _deck.Head(_options.Direction);
        var apart = (head.Right.Track.CentreMm - head.Left.Track.CentreMm) * 1000;
        var laterUm = head.GapStaggerUm - (apart * HeadLosses.TangentOf(askew));
        var mean = run > 0 ? direction * (endPlace - startPlace) / run : _motion.NominalRate;
        return new PracticeTruth
        {
            SpeedErrorPercent = 100 * ((mean / _nominal) - 1),
            DeckSpeedErrorPercent = steps > 0 ? 100 * ((deckSum / steps) - 1) : 0,
            DriftPercent = 100 * SlopeTimesLength(_ratios),
            SpeedRatios = _ratios,
            RunsFromSeconds = _lead,
            Lines = Lines(startHz, run),
            Tones = [.. _tallies.Select(t => t.Finish(_lead + duration, _program))],
            Dropouts = [.. _dropouts.Where(d => d.StartSeconds < _lead + duration).OrderBy(d => d.StartSeconds)],
            AskewArcmin = askew,
            ApparentAzimuthArcmin = Math.Atan(-laterUm / apart) * 180 * 60 / Math.PI,
            GapSkewMicroseconds = laterUm / (_tape.SpeedCmPerS * 1e4) / mean * 1e6,
        };
    }

    private void TakeMilliseconds(ReadOnlySpan<double> places, double[] rates, long firstStep, double direction)
    {
        for (; ; )
        {
            var at = ((_ratios.Count + 1) * 1e-3 / _step) - firstStep;
            if (at > places.Length - 1)
                return;
            var k = Math.Min((int)at, places.Length - 2);
            var t = (at - k) * _step;
            var place = places[k] + ((rates[k] + (0.5 * (rates[k + 1] - rates[k]) / _step * t)) * t);
            _ratios.Add(direction * (place - _msPlace) / 1e-3 / _nominal);
            _msPlace = place;
        }
    }

    private void MeetDropouts(double place, bool first, double seconds, double rate)
    {
        var slot = (long)Math.Floor(place);
        if (_tape.Dropouts.PerMinute <= 0 || (!first && slot == _slot))
            return;
        _slot = slot;
        foreach (var d in _schedule.Slot(slot))
        {
            var edge = _options.Backward ? place - (d.Place + d.Seconds) : d.Place - place;
            if (edge + d.Seconds > 0)
                _dropouts.Add(new TrueDropout(seconds + (edge / rate), d.Seconds / rate * 1000, d.DepthDb, d.Left, d.Right));
        }
    }

    private void Tally(double place, double rate, in ContactMotion.Point point, double seconds)
    {
        var current = _tallies.Count > 0 ? _tallies[^1] : null;
        if (current is null || place < current.Item.Start || place > current.Item.End)
        {
            var item = Array.Find(_toneItems, i => i.Start <= place && place <= i.End);
            if (item is null)
                return;
            current = new ToneTally(item, _motion.NominalRate, PracticeSound.Leaks(_deck, _options), _options.Backward);
            _tallies.Add(current);
        }

        current.Add(place, rate, point, seconds);
    }

    private List<double> LineRates()
    {
        // Turns in the next hundredth of a second's tape, at the present radius.
        var metres = _motion.Metres;
        var seconds = _motion.Seconds;
        var speed = _deck.Speed(_options.SpeedCmPerS);
        var span = speed.CmPerS / 100 * (1 + (speed.ErrorPercent / 100)) * 0.01;
        return [.. _motion.Parts.Select(p => (p.Turns(metres + span, seconds + 0.01) - p.Turns(metres, seconds)) / 0.01)];
    }

    private List<TrueLine> Lines(List<double> startHz, double run)
    {
        var endHz = LineRates();
        var lines = new List<TrueLine>();
        for (var i = 0; i < _motion.Parts.Count; i++)
        {
            var part = _motion.Parts[i];
            var mean = run > 0 ? part.Turns(_motion.Metres, _motion.Seconds) / run : startHz[i];
            foreach (var group in part.Waves.GroupBy(w => w.Number))
            {
                var sum = group.Aggregate(
                    Complex.Zero,
                    (z, w) => z + Complex.FromPolarCoordinates(w.PercentPeak, w.PhaseDegrees * Math.PI / 180)
                );
                if (sum.Magnitude > 0)
                    lines.Add(
                        new TrueLine(
                            part.Part.Name,
                            group.Key,
                            group.Key * startHz[i],
                            group.Key * endHz[i],
                            group.Key * mean,
                            sum.Magnitude
                        )
                    );
            }
        }

        return lines;
    }

    private static double SlopeTimesLength(List<double> values)
    {
        if (values.Count < 2)
            return 0;
        var middle = (values.Count - 1) / 2.0;
        var (top, bottom) = (0.0, 0.0);
        for (var i = 0; i < values.Count; i++)
        {
            top += (i - middle) * values[i];
            bottom += (i - middle) * (i - middle);
        }

        return top / bottom * values.Count;
    }
}
