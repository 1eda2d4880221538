using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Standards;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Live;

/// <summary>What is known beside the sound: the deck, how it runs, the tape that plays.</summary>
public sealed record LiveContext
{
    /// <summary>The deck's kind; null: not known, then there are no limits, angle or rings.</summary>
    public DeckProfile? Profile { get; init; }

    public Condition? Condition { get; init; }

    public TestTape? TestTape { get; init; }

    /// <summary>Nominal frequency of the speed tone where it is none of the usual ones, Hz.</summary>
    public double? NominalHz { get; init; }

    /// <summary>How far flutter figures look back, s.</summary>
    public double FlutterSeconds { get; init; } = 20;

    /// <summary>How far level and skew look back, s.</summary>
    public double ToneSeconds { get; init; } = 0.25;

    /// <summary>Distance of the tracks along the head, mm, signed; null: not known.</summary>
    internal double? TrackOffsetMm =>
        Condition is { } c && Profile?.Tracks.FirstOrDefault(t => t.Direction == c.Direction) is { } tracks ? AzimuthGeometry.TrackOffsetMm(tracks) : null;

    // The tape's own tones before the usual ones, the nearest within what a deck's speed may be off.
    internal double Nominal(double hz)
    {
        var known = TestTape?.Tones.Select(t => t.FrequencyHz) ?? [];
        var nearest = known.Concat(FlutterPractice.Nominals).Concat(Usual).MinBy(n => Math.Abs(Math.Log(hz / n)));
        return Math.Abs((hz / nearest) - 1) < 0.03 ? nearest : Math.Round(hz);
    }

    private static readonly double[] Usual = [31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 14000, 15000, 18000, 20000];
}
