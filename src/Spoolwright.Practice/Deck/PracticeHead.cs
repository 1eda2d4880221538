using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Deck;

/// <summary>A replay head with two gaps, and the two channels it feeds, for one direction.</summary>
public sealed record PracticeHead
{
    public required PracticeChannel Left { get; init; }

    public required PracticeChannel Right { get; init; }

    /// <summary>Optical length of the gaps, µm.</summary>
    public double GapUm { get; init; } = 1.8;

    /// <summary>Magnetic gap over optical gap; null: drawn from 1.11 to 1.14 by the deck's seed.</summary>
    public double? GapFactor { get; init; }

    /// <summary>Tilt of the gaps, arc minutes; above 0 the upper end meets the tape later in this direction.</summary>
    public double AzimuthArcmin { get; init; }

    /// <summary>How far the right gap stands downstream of the left one, µm; the right channel comes later by it.</summary>
    public double GapStaggerUm { get; init; }

    /// <summary>How far the head stands too low against the tape, mm.</summary>
    public double HeightErrorMm { get; init; }

    /// <summary>The swing in the bass.</summary>
    public HeadBump Bump { get; init; } = new(1.2, 7, HeadBumpShape.Single);

    /// <summary>What is gathered from beside the track against the plain formula; null: drawn from 0.92 to 1.08 by the deck's
    /// seed.</summary>
    public double? FringingFactor { get; init; }

    /// <summary>
    /// A healthy quarter-track head: forward tracks 1 and 3, reverse tracks 4 and 2, 1 mm wide with 0.75 mm between.
    /// </summary>
    public static PracticeHead QuarterTrack(TapeDirection direction)
    {
        var (left, right) = direction == TapeDirection.Forward ? (1, 3) : (4, 2);
        return new PracticeHead
        {
            Left = new PracticeChannel { Track = QuarterTrackStrip(left) },
            Right = new PracticeChannel { Track = QuarterTrackStrip(right) },
        };
    }

    /// <summary>The strip of a quarter track, counted from the upper edge, 1 to 4.</summary>
    public static TrackStrip QuarterTrackStrip(int number)
    {
        Faults.InRange(nameof(number), number, 1, 4);
        return new TrackStrip(1.75 * (number - 1), (1.75 * (number - 1)) + 1);
    }

    /// <summary>The channel on a side.</summary>
    public PracticeChannel Channel(PracticeSide side) => side == PracticeSide.Left ? Left : Right;

    /// <summary>The same head with one channel changed.</summary>
    public PracticeHead With(PracticeSide side, Func<PracticeChannel, PracticeChannel> change)
    {
        ArgumentNullException.ThrowIfNull(change);
        return side == PracticeSide.Left ? this with { Left = change(Left) } : this with { Right = change(Right) };
    }

    internal void Check()
    {
        Left.Check();
        Right.Check();
        Bump.Check();
        Faults.InRange(nameof(GapUm), GapUm, 0, 50);
        if (GapFactor is { } gap)
            Faults.InRange(nameof(GapFactor), gap, 0.5, 2);
        if (FringingFactor is { } fringing)
            Faults.InRange(nameof(FringingFactor), fringing, 0, 2);
        Faults.InRange(nameof(AzimuthArcmin), AzimuthArcmin, -300, 300);
        Faults.InRange(nameof(GapStaggerUm), GapStaggerUm, -100, 100);
        Faults.InRange(nameof(HeightErrorMm), HeightErrorMm, -3, 3);
    }
}

/// <summary>Left or right.</summary>
public enum PracticeSide
{
    Left,
    Right,
}
