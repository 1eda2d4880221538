using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Controls;

/// <summary>
/// Everything on a deck that a screwdriver reaches. The deck given is as it stands with every control where the board starts; turning moves
/// it from there. How much a turn does differs from one specimen to the next by up to 15 %, and bias pulls the other channel's down a
/// little, as coils on one oscillator do.
/// </summary>
public sealed class ControlBoard
{
    // Bias of one channel pulls the other's, dB per dB.
    private const double BiasPull = -0.06;

    private readonly PracticeDeck _start;
    private readonly Dictionary<string, (ControlPlace Place, double PerTurn, double StartTurns)> _places = new(StringComparer.Ordinal);
    private readonly Dictionary<string, PracticeControl> _controls = new(StringComparer.Ordinal);

    /// <param name="deck">The deck as it stands.</param>
    public ControlBoard(PracticeDeck deck)
    {
        ArgumentNullException.ThrowIfNull(deck);
        _start = deck;
        foreach (var place in Places(deck))
        {
            // Screws have a few turns, trimmers three quarters of one; each stands somewhere about its middle.
            var draw = new NoiseStream(deck.Seed, "control " + place.Name);
            var reach = place.IsTrimmer ? 0.375 : 2.5;
            var backlash = place.IsTrimmer ? 0.006 : 0.03;
            var stands = Math.Round(draw.NextBetween(-0.25, 0.25) * reach, 3);
            var perTurn = place.PerTurn * draw.NextBetween(0.85, 1.15);
            var lag = Math.Round(draw.NextBetween(-0.5, 0.5) * backlash, 6);
            _places.Add(place.Name, (place, perTurn, stands + lag));
            _controls.Add(place.Name, new PracticeControl(place.Name, place.Meaning, -reach, reach, backlash, stands, stands + lag));
        }
    }

    /// <summary>The controls in the order of the deck: speed, then forward and reverse, replay before record.</summary>
    public IReadOnlyList<PracticeControl> Controls => [.. _places.Keys.Select(n => _controls[n])];

    /// <summary>The deck as its controls stand now.</summary>
    public PracticeDeck Deck
    {
        get
        {
            var deck = _start;
            foreach (var (name, (place, perTurn, startTurns)) in _places)
            {
                var change = (_controls[name].WiperTurns - startTurns) * perTurn;
                if (change != 0)
                    deck = Apply(deck, place, change);
            }

            return deck;
        }
    }

    /// <summary>Turns a control.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="turns">How far, clockwise above 0.</param>
    /// <exception cref="ArgumentException">There is no control of that name; the nearest is named.</exception>
    public TurnResult Turn(string name, double turns)
    {
        var before = Control(name);
        var after = before.Turned(turns);
        _controls[name] = after;
        var moved = after.ShaftTurns - before.ShaftTurns;
        return new TurnResult(after, moved, Math.Abs(moved - turns) > 1e-9);
    }

    /// <summary>A control by its name.</summary>
    /// <exception cref="ArgumentException">There is none of that name.</exception>
    public PracticeControl Control(string name) => _controls.TryGetValue(name, out var control)
        ? control
        : throw new ArgumentException($"There is no control \"{name}\".", nameof(name));

    /// <summary>Puts a control where it was left at another time.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="shaftTurns">Where the shaft stands.</param>
    /// <param name="wiperTurns">Where what it moves stands.</param>
    public void Restore(string name, double shaftTurns, double wiperTurns)
    {
        var control = Control(name);
        Faults.InRange(name, shaftTurns, control.LeastTurns, control.MostTurns);
        Faults.InRange(name, wiperTurns, shaftTurns - (control.BacklashTurns * 0.51), shaftTurns + (control.BacklashTurns * 0.51));
        _controls[name] = control with { ShaftTurns = shaftTurns, WiperTurns = wiperTurns };
    }

    private static IEnumerable<ControlPlace> Places(PracticeDeck deck)
    {
        yield return new ControlPlace(ControlKind.Speed, TapeDirection.Forward, PracticeSide.Left, "");
        foreach (var direction in new[] { TapeDirection.Forward, TapeDirection.Reverse })
        {
            yield return new ControlPlace(ControlKind.PlayAzimuth, direction, PracticeSide.Left, "");
            foreach (var side in new[] { PracticeSide.Left, PracticeSide.Right })
            {
                yield return new ControlPlace(ControlKind.PlayLevel, direction, side, "");
                yield return new ControlPlace(ControlKind.PlayTreble, direction, side, "");
            }

            if (deck.Recorder is not { } recorder)
                continue;
            yield return new ControlPlace(ControlKind.RecordAzimuth, direction, PracticeSide.Left, "");
            foreach (var setting in recorder.Settings)
            {
                foreach (var side in new[] { PracticeSide.Left, PracticeSide.Right })
                {
                    yield return new ControlPlace(ControlKind.Bias, direction, side, setting.Name);
                    yield return new ControlPlace(ControlKind.RecordLevel, direction, side, setting.Name);
                    yield return new ControlPlace(ControlKind.RecordTreble, direction, side, setting.Name);
                }
            }
        }
    }

    private static PracticeDeck Apply(PracticeDeck deck, ControlPlace place, double change) =>
        place.Kind switch
        {
            ControlKind.Speed => deck with
            {
                Speeds = [.. deck.Speeds.Select(v => v with { ErrorPercent = Math.Clamp(v.ErrorPercent + change, -30, 30) })],
            },
            ControlKind.PlayLevel => Played(
                deck,
                place.Direction,
                h => h.With(place.Side, c => c with { LevelTrimDb = Math.Clamp(c.LevelTrimDb + change, -40, 20) })
            ),
            ControlKind.PlayTreble => Played(
                deck,
                place.Direction,
                h => h.With(place.Side, c => c with { TrebleTrimPercent = Math.Clamp(c.TrebleTrimPercent + change, -90, 400) })
            ),
            ControlKind.PlayAzimuth => Played(deck, place.Direction, h => h with { AzimuthArcmin = h.AzimuthArcmin + change }),
            ControlKind.RecordAzimuth => Recorded(deck, place.Direction, h => h with { AzimuthArcmin = h.AzimuthArcmin + change }),
            ControlKind.RecordLevel => Trimmed(deck, place, place.Side, t => t with { LevelDb = Math.Clamp(t.LevelDb + change, -40, 20) }),
            ControlKind.RecordTreble => Trimmed(
                deck,
                place,
                place.Side,
                t => t with { TrebleDb = Math.Clamp(t.TrebleDb + change, -20, 20) }
            ),
            _ => Trimmed(
                Trimmed(deck, place, place.Side, t => t with { BiasDb = Math.Clamp(t.BiasDb + change, -20, 12) }),
                place,
                place.Side == PracticeSide.Left ? PracticeSide.Right : PracticeSide.Left,
                t => t with { BiasDb = Math.Clamp(t.BiasDb + (BiasPull * change), -20, 12) }
            ),
        };

    private static PracticeDeck Trimmed(PracticeDeck deck, ControlPlace place, PracticeSide side, Func<RecordTrims, RecordTrims> change) =>
        Recorded(deck, place.Direction, h => h.With(side, c => c.With(place.Setting, change)));

    private static PracticeDeck Played(PracticeDeck deck, TapeDirection direction, Func<PracticeHead, PracticeHead> change) =>
        direction == TapeDirection.Forward ? deck with { Forward = change(deck.Forward) } : deck with { Reverse = change(deck.Reverse) };

    private static PracticeDeck Recorded(PracticeDeck deck, TapeDirection direction, Func<RecordHead, RecordHead> change) =>
        deck with { Recorder = deck.Recorder!.With(direction, change) };
}
