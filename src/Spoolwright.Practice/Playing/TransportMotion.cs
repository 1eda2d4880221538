using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Playing;

/// <summary>
/// The tape's run past the heads, on a grid of about 12,000 points a second. Between points the speed is a straight line, by definition;
/// places on the tape are its exact integral, so speed and phase agree to rounding. Two motions of the same pass run alike.
/// </summary>
internal sealed class TransportMotion
{
    private readonly double _step;
    private readonly double _direction;
    private readonly double _deckMetresPerSecond;
    private readonly double _placesPerDeckSpeed;
    private readonly double _error;
    private readonly double _driftPerSecond;
    private readonly TurningPart[] _parts;
    private readonly BandNoise[] _noises;
    private readonly BandNoise[] _tapeNoises;
    private double _seconds;
    private double _metres;
    private double _place;
    private double _placeRounding;
    private double _deckRatio;
    private double _rate;

    public TransportMotion(PracticeDeck deck, PracticeTape tape, PlayOptions options, double stepSeconds)
    {
        var speed = deck.Speed(options.SpeedCmPerS);
        var clock = 1 + (options.InterfaceClockPpm * 1e-6);

        // Everything is counted in the interface's seconds, which are shorter than true ones when its clock runs fast.
        _step = stepSeconds;
        _direction = options.Backward ? -1 : 1;
        _error = speed.ErrorPercent / 100;
        _deckMetresPerSecond = speed.CmPerS / 100 / clock;
        _placesPerDeckSpeed = speed.CmPerS / tape.SpeedCmPerS * (1 + (tape.SpeedErrorPercent / 100)) / clock;
        NominalRate = _placesPerDeckSpeed * (1 + _error);
        _driftPerSecond = deck.Transport.DriftPercentPerMinute / 6000;

        _place = options.Backward ? tape.Seconds - options.StartSeconds : options.StartSeconds;
        var startMetres = tape.LeaderM + (_place * tape.SpeedCmPerS / 100);
        _parts = [.. deck.Transport.Parts
            .Where(p => p.Direction is null || p.Direction == options.Direction)
            .Select(p => new TurningPart(p, deck.Transport, tape, options, startMetres))];
        var grid = 1 / stepSeconds;
        _noises =
        [
            .. deck
                .Transport.Noises.Where(n => n.RmsPercent > 0)
                .Select(n => new BandNoise(n.FromHz, n.ToHz, n.RmsPercent / 100, grid, new NoiseStream(options.Seed, "speed " + n.Name))),
        ];
        _tapeNoises =
        [
            .. tape
                .OwnFlutter.Where(n => n.RmsPercent > 0)
                .Select(n => new BandNoise(
                    n.FromHz,
                    n.ToHz,
                    n.RmsPercent / 100,
                    grid,
                    new NoiseStream(tape.Seed + options.Seed, "tape " + n.Name)
                )),
        ];
        SetSpeed();
    }

    /// <summary>Rate of the program without any unsteadiness: tape seconds per second of the capture, never negative.</summary>
    public double NominalRate { get; }

    /// <summary>Parts at work in this direction.</summary>
    public IReadOnlyList<TurningPart> Parts => _parts;

    /// <summary>Tape run so far, m.</summary>
    public double Metres => _metres;

    /// <summary>Seconds run so far.</summary>
    public double Seconds => _seconds;

    /// <summary>Runs on by one step less than there are points; the first point is the last of the call before.</summary>
    /// <param name="places">Place on the tape at each point, in s of the tape's own speed.</param>
    /// <param name="rates">Its rate, negative when the tape is played backward.</param>
    /// <param name="deckRatios">Speed of the deck over nominal.</param>
    public void Run(Span<double> places, Span<double> rates, Span<double> deckRatios)
    {
        (places[0], rates[0], deckRatios[0]) = (_place, _rate, _deckRatio);
        for (var i = 1; i < places.Length; i++)
        {
            var (rate, ratio) = (_rate, _deckRatio);
            _seconds += _step;

            // The parts' angles at the next point, from the speed at this one: the speed changes by parts in 1e6 meanwhile.
            _metres += _deckMetresPerSecond * ratio * _step;
            SetSpeed();
            Advance(0.5 * (rate + _rate) * _step);
            (places[i], rates[i], deckRatios[i]) = (_place, _rate, _deckRatio);
        }
    }

    // A sum that carries its own rounding along: far into a tape the plain one would shift the tone by a part in 1e9.
    private void Advance(double seconds)
    {
        var step = seconds - _placeRounding;
        var next = _place + step;
        _placeRounding = next - _place - step;
        _place = next;
    }

    private void SetSpeed()
    {
        var unsteady = 0.0;
        foreach (var part in _parts)
            unsteady += part.SpeedChange(_metres, _seconds);
        foreach (var noise in _noises)
            unsteady += noise.Next();
        var own = 0.0;
        foreach (var noise in _tapeNoises)
            own += noise.Next();
        _deckRatio = (1 + _error + (_driftPerSecond * _seconds)) * (1 + unsteady);
        _rate = _direction * _placesPerDeckSpeed * _deckRatio * (1 + own);
    }
}
