using System.Globalization;

namespace Spoolwright.Bench.Controls;

/// <summary>The unit that a control's turning is told in. Only a label, except that the units of an angle can be told in one
/// another.</summary>
/// <param name="Label">As printed: <c>turn</c>, <c>°</c>, <c>hour</c> (of a clock face), <c>mm</c>, or the person's own word.</param>
/// <param name="PerTurn">How many make a whole turn; null where it is no angle.</param>
public sealed record TurnUnit(string Label, double? PerTurn)
{
    /// <summary>Whole turns of a screw.</summary>
    public static readonly TurnUnit Turn = new("turn", 1);

    /// <summary>Degrees of angle.</summary>
    public static readonly TurnUnit Degree = new("°", 360);

    /// <summary>Hours of a clock face, for a trimmer read like a clock: 12 o'clock is 0, 9 o'clock is −3.</summary>
    public static readonly TurnUnit Clock = new("hour", 12);

    private const int LongestLabel = 20;

    /// <summary>The unit that a word means. A word of its own is a unit without an angle.</summary>
    /// <exception cref="ArgumentException">The word is blank or longer than 20 characters.</exception>
    public static TurnUnit Of(string word)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(word);
        var known = Known(word.Trim().ToLowerInvariant());
        if (known is null && word.Trim().Length > LongestLabel)
            throw new ArgumentException($"the unit \"{word}\" is longer than {LongestLabel} characters", nameof(word));
        return known ?? new TurnUnit(word.Trim(), null);
    }

    /// <summary>The unit of an angle that a word means, or null.</summary>
    internal static TurnUnit? Known(string word) => word switch
    {
        "turn" or "turns" or "rev" or "revs" or "revolution" or "revolutions" => Turn,
        "°" or "deg" or "degree" or "degrees" => Degree,
        "clock" or "hour" or "hours" or "o'clock" or "o’clock" => Clock,
        _ => null,
    };

    /// <summary>An amount and its way, for a person: <c>0.13 turn clockwise</c>, <c>47° anticlockwise</c>, <c>+0.25 mm</c>.</summary>
    /// <param name="amount">Positive: clockwise, or up where the unit is no angle.</param>
    public string Say(double amount)
    {
        var size = Figure(Math.Abs(amount));
        if (PerTurn is null)
            return $"{(amount < 0 ? "−" : "+")}{size} {Label}";
        return $"{size}{Spelled(size)} {(amount < 0 ? "anticlockwise" : "clockwise")}";
    }

    /// <summary>A place of the dial: <c>2.5 o'clock</c>, <c>−0.31 turn</c>.</summary>
    public string SayPlace(double place)
    {
        if (this != Clock)
        {
            var sign = place < 0 ? "−" : "";
            var figure = Figure(Math.Abs(place));
            return $"{(figure == "0" ? "" : sign)}{figure}{(PerTurn is null ? " " + Label : Spelled(figure))}";
        }

        var hour = place <= 0 ? place + 12 : place;
        var minutes = (int)Math.Round(hour * 60, MidpointRounding.AwayFromZero);
        return string.Create(CultureInfo.InvariantCulture, $"{(minutes < 60 ? 12 : minutes / 60)}:{minutes % 60:00} o'clock");
    }

    private string Spelled(string figure) => this == Degree ? "°" : this == Clock ? (figure == "1" ? " hour" : " hours") : " " + Label;

    // A hand sets a control to about a hundredth of a turn: more digits would boast.
    private string Figure(double size) => this == Degree
        ? Math.Round(size, size < 10 ? 1 : 0).ToString(CultureInfo.InvariantCulture)
        : Math.Round(size, size < 0.1 ? 3 : 2).ToString(CultureInfo.InvariantCulture);
}
