using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Physics;
using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Playing;

/// <summary>How the tape lies on the head from point to point: level, lift from the gaps, and how much later the right gap hears.</summary>
internal sealed class ContactMotion
{
    private readonly BandNoise? _levelLeft;
    private readonly BandNoise? _levelRight;
    private readonly BandNoise? _liftLeft;
    private readonly BandNoise? _liftRight;
    private readonly BandNoise? _weave;
    private readonly DropoutSchedule _dropouts;
    private readonly double _restLeft;
    private readonly double _restRight;
    private readonly double _laterPerTangent;
    private readonly double _stagger;
    private readonly double _askewArcmin;
    private Point? _last;

    public ContactMotion(PracticeDeck deck, PracticeTape tape, PlayOptions options, double stepSeconds)
    {
        var head = deck.Head(options.Direction);
        BandNoise? Noise(string name, double fromHz, double toHz, double rms) =>
            rms > 0 ? new BandNoise(fromHz, toHz, rms, 1 / stepSeconds, new NoiseStream(options.Seed, name)) : null;
        _levelLeft = Noise("level left", 0.3, 8, tape.LevelWanderDbRms);
        _levelRight = Noise("level right", 0.3, 8, tape.LevelWanderDbRms);
        _liftLeft = Noise("lift left", 0.5, 15, head.Left.SpacingWanderUmRms);
        _liftRight = Noise("lift right", 0.5, 15, head.Right.SpacingWanderUmRms);
        _weave = Noise("weave", 0.2, deck.Transport.WeaveToHz, deck.Transport.WeaveArcminRms);
        _dropouts = new DropoutSchedule(tape);
        _restLeft = head.Left.SpacingUm;
        _restRight = head.Right.SpacingUm;

        // Tape seconds by which the right channel comes later, for a tilt: the upper track meets the tape later when the tilt is above 0.
        var umPerSecond = tape.SpeedCmPerS * 1e4;
        _laterPerTangent = -(head.Right.Track.CentreMm - head.Left.Track.CentreMm) * 1000 / umPerSecond;
        _stagger = head.GapStaggerUm / umPerSecond;
        _askewArcmin = ReplayPath.AskewArcmin(deck, tape, options);
    }

    /// <summary>The contact at one point of the grid.</summary>
    /// <param name="GainLeft">Level factor of the left channel, dropouts in it.</param>
    /// <param name="GainRight">Level factor of the right channel, dropouts in it.</param>
    /// <param name="LiftLeftUm">Lift from the left gap beyond its resting distance, µm.</param>
    /// <param name="LiftRightUm">Lift from the right gap beyond its resting distance, µm.</param>
    /// <param name="RightLater">How much later the right gap hears, s at the tape's own speed.</param>
    /// <param name="InDropout">Whether a dropout is passing.</param>
    internal readonly record struct Point(
        double GainLeft,
        double GainRight,
        double LiftLeftUm,
        double LiftRightUm,
        double RightLater,
        bool InDropout
    );

    /// <summary>The contact at each place; the first point is the last of the call before.</summary>
    public void Run(ReadOnlySpan<double> places, Span<Point> points)
    {
        points[0] = _last ?? Next(places[0]);
        for (var i = 1; i < places.Length; i++)
            points[i] = Next(places[i]);
        _last = points[^1];
    }

    private Point Next(double place)
    {
        var (fallLeft, fallRight) = _dropouts.FallDb(place);
        return new Point(
            Gain((_levelLeft?.Next() ?? 0) - fallLeft),
            Gain((_levelRight?.Next() ?? 0) - fallRight),
            Math.Max(_liftLeft?.Next() ?? 0, -_restLeft),
            Math.Max(_liftRight?.Next() ?? 0, -_restRight),
            _stagger + (_laterPerTangent * HeadLosses.TangentOf(_askewArcmin + (_weave?.Next() ?? 0))),
            fallLeft > 0 || fallRight > 0);
    }

    private static double Gain(double db) => db == 0 ? 1 : Math.Exp(db * (Math.Log(10) / 20));
}
