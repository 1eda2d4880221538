using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Standards;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Live;

/// <summary>The playback head's own skew in one direction at one speed.</summary>
/// <param name="Microseconds">Positive: right later, µs.</param>
/// <param name="UncertaintyMicroseconds">k = 2, µs; null: not known.</param>
public sealed record PlaybackSkew(double Microseconds, double? UncertaintyMicroseconds);

/// <summary>What is known beside the sound: the deck, how it runs, the tape that plays.</summary>
public sealed record LiveContext
{
    /// <summary>The deck's kind; null: not known, then there are no limits, angle or rings.</summary>
    public DeckProfile? Profile { get; init; }

    public Condition? Condition { get; init; }

    public TestTape? TestTape { get; init; }

    /// <summary>What the bench sends to the deck's input meanwhile; null: nothing, then a tape plays.</summary>
    public SentSignal? Sent { get; init; }

    /// <summary>Skew of the playback head alone, as a test tape showed it; null: not known, then the record head's cannot be told from
    /// it.</summary>
    public PlaybackSkew? PlaybackSkew { get; init; }

    /// <summary>What a tone at reference level reads at the interface, dBFS; null: not known, then level has no target.</summary>
    public double? ReferenceDb { get; init; }

    /// <summary>Present radii of the reels; reels turn a ring once they are known.</summary>
    public ReelRadii? Radii { get; init; }

    /// <summary>Whether the sound is made by this program: nothing can be lost of it, but a turned knob joins two passes of a tape, which
    /// jump.</summary>
    public bool IsMadeHere { get; init; }

    /// <summary>Nominal frequency of the tone that others are held against, Hz.</summary>
    public double ReferenceHz =>
        Sent is null ? TestTape?.Tones.FirstOrDefault(t => t.Role == ToneRole.Reference)?.FrequencyHz ?? 1000 : 1000;

    /// <summary>Nominal frequency of the speed tone where it is none of the usual ones, Hz.</summary>
    public double? NominalHz { get; init; }

    /// <summary>How far flutter figures look back, s.</summary>
    public double FlutterSeconds { get; init; } = 20;

    /// <summary>How far level and skew look back, s.</summary>
    public double ToneSeconds { get; init; } = 0.25;

    /// <summary>Distance of the tracks along the head, mm, signed; null: not known.</summary>
    internal double? TrackOffsetMm =>
        Condition is { } c && Profile?.Tracks.FirstOrDefault(t => t.Direction == c.Direction) is { } tracks
            ? AzimuthGeometry.TrackOffsetMm(tracks)
            : null;

    // The tape's own tones before the usual ones, the nearest within what a deck's speed may be off.
    internal double Nominal(double hz)
    {
        var known = Sent is { } sent ? sent.Tones.Select(t => t.FrequencyHz) : TestTape?.Tones.Select(t => t.FrequencyHz) ?? [];
        var nearest = known.Concat(FlutterPractice.Nominals).Concat(Usual).MinBy(n => Math.Abs(Math.Log(hz / n)));
        return Math.Abs((hz / nearest) - 1) < 0.03 ? nearest : Math.Round(hz);
    }

    private static readonly double[] Usual = [31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 14000, 15000, 18000, 20000];
}
