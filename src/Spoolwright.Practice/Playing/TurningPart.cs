using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Playing;

/// <summary>A part in one pass: how far it has turned with so much tape run, and what it adds to the speed there.</summary>
internal sealed class TurningPart
{
    private readonly double _turnsPerMetre;
    private readonly double _turnsPerSecond;
    private readonly double _startTurn;
    private readonly Func<double, double>? _reelTurns;
    private readonly double[] _sine;
    private readonly double[] _cosine;

    public TurningPart(PracticePart part, PracticeTransport transport, PracticeTape tape, PlayOptions options, double startMetres)
    {
        Part = part;
        Waves = [.. part.Waves()];

        // Where a part happens to stand when the tape starts is different in each pass.
        _startTurn = new NoiseStream(options.Seed, "start " + part.Name).NextUniform();
        if (part.Kind is PracticePartKind.SupplyReel or PracticePartKind.TakeUpReel)
            _reelTurns = ReelTurns(part.Kind, tape.Reel, options.Backward, startMetres);
        else
            (_turnsPerMetre, _turnsPerSecond) = Rates(part, transport, 0);

        var count = Waves.Count == 0 ? 0 : Waves.Max(w => w.Number);
        (_sine, _cosine) = (new double[count], new double[count]);
        foreach (var wave in Waves)
        {
            var phase = wave.PhaseDegrees * Math.PI / 180;
            _sine[wave.Number - 1] += wave.PercentPeak / 100 * Math.Cos(phase);
            _cosine[wave.Number - 1] += wave.PercentPeak / 100 * Math.Sin(phase);
        }
    }

    public PracticePart Part { get; }

    public IReadOnlyList<PartHarmonic> Waves { get; }

    /// <summary>Turns since the start of the pass.</summary>
    public double Turns(double metres, double seconds) =>
        _reelTurns is { } reel ? reel(metres) : (metres * _turnsPerMetre) + (seconds * _turnsPerSecond);

    /// <summary>What it adds to the speed, as a fraction of it.</summary>
    public double SpeedChange(double metres, double seconds)
    {
        if (_sine.Length == 0)
            return 0;
        var turns = Turns(metres, seconds) + _startTurn;
        var (s1, c1) = Math.SinCos(2 * Math.PI * (turns - Math.Floor(turns)));
        var (s, c, sum) = (s1, c1, 0.0);
        for (var k = 0; k < _sine.Length; k++)
        {
            sum += (_sine[k] * s) + (_cosine[k] * c);
            (s, c) = ((s * c1) + (c * s1), (c * c1) - (s * s1));
        }

        return sum;
    }

    // Turns for a metre of tape and turns for a second; one of them is 0.
    private static (double PerMetre, double PerSecond) Rates(PracticePart part, PracticeTransport transport, int depth)
    {
        if (depth > 8)
            throw new ArgumentException($"The parts around '{part.Name}' drive each other in a ring.", nameof(part));
        switch (part)
        {
            case { Kind: PracticePartKind.Motor, RateHz: { } rate }:
                return (0, rate);
            case { Kind: PracticePartKind.Motor, TurnsPerCapstanTurn: { } ratio }:
                var capstan = transport.Parts.FirstOrDefault(p => p.Kind == PracticePartKind.Capstan)
                    ?? throw new ArgumentException($"'{part.Name}' turns with a capstan, and the deck has none.", nameof(part));
                return (ratio * Rates(capstan, transport, depth + 1).PerMetre, 0);
            case { Kind: PracticePartKind.Belt, BeltLengthMm: { } length, PulleyDiameterMm: { } pulley, PulleyOn: { } name }:
                var driver =
                    transport.Parts.FirstOrDefault(p => string.Equals(p.Name, name, StringComparison.Ordinal))
                    ?? throw new ArgumentException(
                        $"The belt '{part.Name}' runs on '{name}', and the deck has no such part.",
                        nameof(part)
                    );
                var (perMetre, perSecond) = Rates(driver, transport, depth + 1);
                return (Math.PI * pulley / length * perMetre, Math.PI * pulley / length * perSecond);
            default:
                // [WINDING] f = v/(πD) of anything that the tape's surface turns or is driven by.
                return part.DiameterMm is { } diameter
                    ? (1000 / (Math.PI * diameter), 0)
                    : throw new ArgumentException($"The dimensions that say how fast '{part.Name}' turns are missing.", nameof(part));
        }
    }

    private static Func<double, double> ReelTurns(PracticePartKind kind, PracticeReel reel, bool backward, double startMetres)
    {
        // What has passed the heads since the tape's beginning lies on the take-up reel, or, played backward, is still on the supply reel.
        var passedFirst = (kind == PracticePartKind.TakeUpReel) != backward;
        var sign = kind == PracticePartKind.TakeUpReel ? 1 : -1;
        double At(double metres)
        {
            var passed = backward ? startMetres - metres : startMetres + metres;
            return sign * reel.Turns(passedFirst ? passed : reel.LengthM - passed);
        }

        var atStart = At(0);
        return metres => At(metres) - atStart;
    }
}
