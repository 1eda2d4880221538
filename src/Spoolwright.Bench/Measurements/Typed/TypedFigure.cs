using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Units;

namespace Spoolwright.Bench.Measurements.Typed;

/// <summary>One figure that came from a row of the sheet: in gf, g·cm or s, with the parts of its uncertainty.</summary>
/// <param name="Value">The value in <paramref name="Unit"/>.</param>
/// <param name="Unit">gf, g·cm or s.</param>
/// <param name="Parts">Expanded (k = 2), in <paramref name="Unit"/>.</param>
/// <param name="How">How it was had, for the method's line.</param>
internal sealed record TypedFigure(double Value, Unit Unit, IReadOnlyList<UncertaintyPart> Parts, string How)
{
    /// <summary>The name of the part that stands for a gauge without a curve.</summary>
    public const string GaugePart = "gauge";

    /// <summary>The gauge's own figure, where one was used; its value times <see cref="Scale"/> is <see cref="Value"/>.</summary>
    public GaugeFigure? Gauge { get; init; }

    /// <summary>From the gauge's unit to <see cref="Unit"/>, radius included.</summary>
    public double Scale { get; init; } = 1;

    /// <summary>The radius that entered, where a force became a torque or the reverse.</summary>
    public TypedRadius? Radius { get; init; }

    /// <summary>Unit as the person typed it.</summary>
    public Unit? TypedUnit { get; init; }

    /// <summary>Expanded uncertainty; null where the gauge's own is not known: what is left would be a small part of the truth.</summary>
    public double? Uncertainty => IsKnown(Parts) ? GaugeFigure.Total(Parts) : null;

    /// <summary>Whether the main parts are known.</summary>
    public static bool IsKnown(IReadOnlyList<UncertaintyPart> parts) => parts.Count > 0 && parts.All(p => p.Expanded is not null);

    /// <summary>The torque that this force makes at a radius, M = T·r; or, with <paramref name="toForce"/>, the force that this torque
    /// makes there.</summary>
    public TypedFigure Through(TypedRadius radius, bool toForce)
    {
        var cm = radius.Mm / 10;
        var by = toForce ? 1 / cm : cm;
        var value = Value * by;
        List<UncertaintyPart> parts = [.. Parts.Select(p => p with { Expanded = p.Expanded * by })];
        parts.Add(new UncertaintyPart("radius", Math.Abs(value) * radius.UncertaintyMm / radius.Mm));
        return this with
        {
            Value = value,
            Unit = toForce ? Unit.GramForce : Unit.GramForceCentimetre,
            Parts = parts,
            Scale = Scale * by,
            Radius = radius,
            How = $"{How}; {(toForce ? "tension = torque / radius" : "torque = force × radius")} ({radius.Described}) [WINDING]",
        };
    }

    /// <summary>
    /// Parts of the uncertainty of own × this + others × <paramref name="other"/>: through the curve where one gauge read both, so that
    /// what it errs in both alike falls out. A radius that is the same for both is one part, and so falls out of a ratio.
    /// </summary>
    public IReadOnlyList<UncertaintyPart> With(double own, TypedFigure other, double others, bool sameRadius = false)
    {
        var radius = new List<UncertaintyPart>();
        double mine = own * RadiusPart, its = others * other.RadiusPart;
        if (RadiusPart > 0 || other.RadiusPart > 0)
            radius.Add(new("radius", sameRadius ? Math.Abs(mine + its) : Math.Sqrt(mine * mine + its * its)));
        if (Gauge is { } a && other.Gauge is { } b && ReferenceEquals(a.Curve, b.Curve))
            return [.. a.PartsWith(own * Scale, b, others * other.Scale), .. radius];
        var first = Uncertainty is { } u ? Math.Sqrt(Math.Max(0, u * u - RadiusPart * RadiusPart)) * own : (double?)null;
        var second = other.Uncertainty is { } w
            ? Math.Sqrt(Math.Max(0, w * w - other.RadiusPart * other.RadiusPart)) * others
            : (double?)null;
        return [new("first", first is { } f ? Math.Abs(f) : null), new("second", second is { } s ? Math.Abs(s) : null), .. radius];
    }

    private double RadiusPart => Parts.FirstOrDefault(p => p.Name == "radius")?.Expanded ?? 0;
}

/// <summary>A radius with how far it may be off.</summary>
/// <param name="Mm">Radius, mm.</param>
/// <param name="UncertaintyMm">Expanded (k = 2), mm.</param>
/// <param name="FromFill">Taken from the reels by how full the reel was said to be.</param>
internal sealed record TypedRadius(double Mm, double UncertaintyMm, bool FromFill = false)
{
    /// <summary>A ruler at a standing reel, mm (k = 2): common practice, no source.</summary>
    public const double RulerMm = 0.5;

    /// <summary>A fill told by eye, mm (k = 2): common practice, no source.</summary>
    public const double ByEyeMm = 2;

    public string Described =>
        FormattableString.Invariant($"radius ±{UncertaintyMm:0.##} mm{(FromFill ? " by how full the reel was" : "")}");
}
