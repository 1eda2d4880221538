namespace Spoolwright.Bench.Controls;

/// <summary>A guess at one control's backlash, and at how much of it lay open as found.</summary>
/// <param name="Play">What a change of direction loses, in the control's unit.</param>
/// <param name="Open">Part of it, 0 to 1, that a first turn clockwise (up) loses; a first turn the other way loses the rest.</param>
internal readonly record struct BacklashGuess(double Play, double Open);

/// <summary>What the screw does while its head is turned: it follows only once the play is taken up.</summary>
internal static class BacklashPath
{
    private static readonly double[] Plays = [0, 0.08, 0.2, 0.4, 0.7, 1];
    private static readonly double[] Openings = [0, 0.5, 1];

    /// <summary>Guesses that cover what is allowed for.</summary>
    public static IReadOnlyList<BacklashGuess> Guesses(Control control, bool coarse)
    {
        if (control.AllowedBacklash <= 0)
            return [new BacklashGuess(0, 0)];
        var guesses = new List<BacklashGuess>();
        foreach (var play in coarse ? Plays.Where((_, i) => i is not (1 or 3)) : Plays)
        {
            if (play == 0)
                guesses.Add(new BacklashGuess(0, 0));
            else
                guesses.AddRange(Openings.Select(o => new BacklashGuess(play * control.AllowedBacklash, o)));
        }

        return guesses;
    }

    /// <summary>Where the driven part stood at each round of readings, in the control's unit, by that guess.</summary>
    public static double[] Places(Adjustment adjustment, int control, BacklashGuess guess)
    {
        var places = new double[adjustment.Moves.Count + 1];
        var dial = adjustment.Controls[control].Start;
        // Going up, the part is dragged at the dial less the play; open 1 has it at the dial itself, so that all of the play is lost first.
        var place = dial - guess.Play * (1 - guess.Open);
        places[0] = place;
        for (var move = 0; move < adjustment.Moves.Count; move++)
        {
            foreach (var leg in adjustment.Moves[move].Legs[control])
            {
                dial += leg;
                place = Follow(place, dial, guess.Play);
            }

            places[move + 1] = place;
        }

        return places;
    }

    /// <summary>The driven part's new place: dragged along at either end of the play.</summary>
    public static double Follow(double place, double dial, double play) => Math.Clamp(place, dial - play, dial);

    /// <summary>
    /// Which end of the play the part is known to lie at, at each round of readings: 1 after turning clockwise (up), −1 after the other
    /// way, 0 where the last turns were too short to say.
    /// </summary>
    public static int[] Sides(Adjustment adjustment, int control)
    {
        var most = adjustment.Controls[control].AllowedBacklash;
        var sides = new int[adjustment.Moves.Count + 1];
        var (run, side) = (0.0, 0);
        for (var move = 0; move < adjustment.Moves.Count; move++)
        {
            foreach (var leg in adjustment.Moves[move].Legs[control])
            {
                if (leg == 0)
                    continue;
                var way = Math.Sign(leg);
                run = Math.Sign(run) == way ? run + leg : leg;
                if (Math.Abs(run) >= most * (1 - 1e-9))
                    side = way;
                else if (side != way)
                    side = 0;
            }

            sides[move + 1] = side;
        }

        return sides;
    }
}
