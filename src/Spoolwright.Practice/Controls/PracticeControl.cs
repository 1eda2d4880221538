using Spoolwright.Practice.Deck;

namespace Spoolwright.Practice.Controls;

/// <summary>A screw or trimmer: what it does, how far it goes, where it stands. Turned clockwise is above 0.</summary>
/// <param name="Name">Its name: direction, side, setting and what it is, joined by dots.</param>
/// <param name="Meaning">What it does, for a reader.</param>
/// <param name="LeastTurns">Where its lower stop is, turns.</param>
/// <param name="MostTurns">Where its upper stop is, turns.</param>
/// <param name="BacklashTurns">How far it turns without effect when the direction changes, turns.</param>
/// <param name="ShaftTurns">Where the screwdriver left it, turns.</param>
/// <param name="WiperTurns">Where what it moves stands, turns; behind the shaft by half the backlash at most.</param>
public sealed record PracticeControl(
    string Name, string Meaning, double LeastTurns, double MostTurns, double BacklashTurns, double ShaftTurns, double WiperTurns)
{
    /// <summary>Turns it by so much, as far as the stops let it.</summary>
    public PracticeControl Turned(double turns)
    {
        if (!double.IsFinite(turns))
            throw new ArgumentOutOfRangeException(nameof(turns), turns, "An amount to turn must be a number.");
        var shaft = Math.Clamp(ShaftTurns + turns, LeastTurns, MostTurns);
        return this with
        {
            ShaftTurns = shaft,
            WiperTurns = Math.Clamp(WiperTurns, shaft - (BacklashTurns / 2), shaft + (BacklashTurns / 2)),
        };
    }
}

/// <summary>What turning a control really did.</summary>
/// <param name="Control">The control afterwards.</param>
/// <param name="MovedTurns">How far the shaft went.</param>
/// <param name="AtStop">Whether it stands at a stop that kept it from going further.</param>
public sealed record TurnResult(PracticeControl Control, double MovedTurns, bool AtStop);

/// <summary>What a control acts on in a deck.</summary>
internal enum ControlKind
{
    PlayLevel,
    PlayTreble,
    PlayAzimuth,
    RecordAzimuth,
    RecordLevel,
    RecordTreble,
    Bias,
    Speed,
}

/// <summary>The place of a control in a deck.</summary>
internal sealed record ControlPlace(ControlKind Kind, TapeDirection Direction, PracticeSide Side, string Setting)
{
    public bool IsTrimmer => Kind is not (ControlKind.PlayAzimuth or ControlKind.RecordAzimuth);

    public string Name => string.Join('.', Words());

    /// <summary>How much of its quantity a turn makes: dB, or % for treble of replay and for speed, or arc minutes.</summary>
    public double PerTurn => Kind switch
    {
        ControlKind.PlayLevel => 16,
        ControlKind.PlayTreble => 110,
        ControlKind.PlayAzimuth or ControlKind.RecordAzimuth => 14,
        ControlKind.RecordLevel => 14,
        ControlKind.RecordTreble => 16,
        ControlKind.Speed => 4,
        _ => 15,
    };

    public string Meaning => Kind switch
    {
        ControlKind.PlayLevel => "replay level; clockwise louder",
        ControlKind.PlayTreble => "replay equalization; clockwise brighter",
        ControlKind.PlayAzimuth => "azimuth screw of the replay head; clockwise tilts its upper end later",
        ControlKind.RecordAzimuth => "azimuth screw of the record head; clockwise tilts its upper end later",
        ControlKind.RecordLevel => "record level; clockwise louder",
        ControlKind.RecordTreble => "record equalization; clockwise brighter",
        ControlKind.Speed => "speed of the capstan motor, every tape speed and both directions; clockwise faster",
        _ => "bias; clockwise more",
    };

    private IEnumerable<string> Words()
    {
        if (Kind == ControlKind.Speed)
        {
            yield return "speed";
            yield break;
        }

        yield return Direction == TapeDirection.Forward ? "forward" : "reverse";
        if (IsTrimmer)
            yield return Side == PracticeSide.Left ? "left" : "right";
        if (Setting.Length > 0)
            yield return Setting;
        yield return Kind switch
        {
            ControlKind.PlayLevel => "play-level",
            ControlKind.PlayTreble => "play-eq",
            ControlKind.PlayAzimuth => "play-azimuth",
            ControlKind.RecordAzimuth => "record-azimuth",
            ControlKind.RecordLevel => "record-level",
            ControlKind.RecordTreble => "record-eq",
            _ => "bias",
        };
    }
}
