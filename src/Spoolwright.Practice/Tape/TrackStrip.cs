using Spoolwright.Practice.Deck;

namespace Spoolwright.Practice.Tape;

/// <summary>A strip along the tape, mm from its upper edge (facing the head, supply reel left).</summary>
public sealed record TrackStrip(double FromMm, double ToMm)
{
    /// <summary>Width, mm.</summary>
    public double WidthMm => ToMm - FromMm;

    /// <summary>Centre, mm from the upper edge.</summary>
    public double CentreMm => (FromMm + ToMm) / 2;

    /// <summary>The same strip moved down the tape by so many mm.</summary>
    public TrackStrip Moved(double downMm) => new(FromMm + downMm, ToMm + downMm);

    internal void Check(string name)
    {
        Faults.InRange(name, FromMm, -10, 100);
        Faults.InRange(name, WidthMm, 0.01, 100);
    }
}
