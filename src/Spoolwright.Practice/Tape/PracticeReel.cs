using Spoolwright.Practice.Deck;

namespace Spoolwright.Practice.Tape;

/// <summary>Tape wound on a reel: how thick the pack is with so much tape on it, and how far the reel has turned. [WINDING]</summary>
public sealed record PracticeReel
{
    /// <summary>Radius of the bare hub, mm.</summary>
    public double HubRadiusMm { get; init; } = 30;

    /// <summary>Thickness of a layer as wound, air and all, µm.</summary>
    public double LayerUm { get; init; } = 50;

    /// <summary>Length of the whole tape, m.</summary>
    public double LengthM { get; init; } = 366;

    /// <summary>Outer radius, mm, with so many metres wound on it: √(r² + L·t/π).</summary>
    public double RadiusMm(double woundM) =>
        Math.Sqrt((HubRadiusMm * HubRadiusMm) + (Math.Max(woundM, 0) * LayerUm / Math.PI));

    /// <summary>Turns that lie on the hub with so many metres wound: (R − r)/t.</summary>
    public double Turns(double woundM) => (RadiusMm(woundM) - HubRadiusMm) * 1000 / LayerUm;

    internal void Check()
    {
        Faults.Positive(nameof(HubRadiusMm), HubRadiusMm);
        Faults.Positive(nameof(LayerUm), LayerUm);
        Faults.Positive(nameof(LengthM), LengthM);
    }
}
