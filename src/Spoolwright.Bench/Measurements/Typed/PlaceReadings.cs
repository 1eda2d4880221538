using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Units;

namespace Spoolwright.Bench.Measurements.Typed;

/// <summary>Makes readings of typed figures, each with its place, and beside each the same in the person's unit.</summary>
internal static class PlaceReadings
{
    /// <summary>
    /// The reading, and after it the same in another unit: the one asked for, else the one typed, else N or mN·m. The first alone, in the
    /// quantity's own unit, is held against limits.
    /// </summary>
    public static IEnumerable<Reading> Of(Quantity quantity, TypedFigure figure, string place, Direction? direction, Unit? asked)
    {
        var own = new Reading
        {
            Quantity = quantity.Id,
            Value = figure.Value,
            Unit = quantity.Unit,
            Uncertainty = figure.Uncertainty,
            Parts = figure.Parts,
            Method = figure.How,
            Place = place,
            Direction = direction,
        };
        yield return own;
        if (Other(figure.Unit, asked, figure.TypedUnit) is not { } unit)
            yield break;
        var by = figure.Unit.Si / unit.Si;
        yield return own with
        {
            Value = own.Value * by,
            Unit = unit.Symbol,
            Uncertainty = own.Uncertainty * by,
            Parts = [.. own.Parts.Select(p => p with { Expanded = p.Expanded * by })],
        };
    }

    /// <summary>A reading of something that is made of several figures.</summary>
    public static Reading Made(
        Quantity quantity,
        double value,
        IReadOnlyList<UncertaintyPart> parts,
        string method,
        string place,
        Direction? direction
    ) =>
        new()
        {
            Quantity = quantity.Id,
            Value = value,
            Unit = quantity.Unit,
            Uncertainty = TypedFigure.IsKnown(parts) ? Instruments.GaugeFigure.Total(parts) : null,
            Parts = parts,
            Method = method,
            Place = place,
            Direction = direction,
        };

    /// <summary>Such as <c>supply, full, forward</c>; what is not stated is left out.</summary>
    public static string Place(params ReadOnlySpan<string?> words)
    {
        var said = new List<string>();
        foreach (var word in words)
        {
            if (!string.IsNullOrEmpty(word))
                said.Add(word);
        }

        return string.Join(", ", said);
    }

    public static string Word(ReelRole role) => BenchSheetFile.Reels[(int)role];

    public static string Word(ReelSide side) => BenchSheetFile.Sides[(int)side];

    public static string Word(BrakeTurn turn) => turn == BrakeTurn.Unwind ? "unwinding" : "winding";

    public static string? Word(ReelFill? fill) => fill is { } f ? BenchSheetFile.Fills[(int)f] : null;

    public static string? Word(Direction? direction) => direction is { } d ? DeckWords.Word(d) : null;

    // A person who types ounces reads torques in ounce-inches.
    private static Unit? Other(Unit own, Unit? asked, Unit? typed)
    {
        if (own.Dimension is not (Dimension.Force or Dimension.Torque))
            return null;
        foreach (var wished in new[] { asked, typed })
        {
            if (wished is null || wished == own)
                continue;
            if (wished.Dimension == own.Dimension)
                return wished;
            if (wished == Unit.OunceForce || wished == Unit.PoundForce)
                return Unit.OunceForceInch;
            if (wished == Unit.OunceForceInch)
                return Unit.OunceForce;
        }

        return own.Dimension == Dimension.Force ? Unit.Newton : Unit.MillinewtonMetre;
    }
}
