using Spoolwright.Bench.Instruments;

namespace Spoolwright.Bench.Standards;

/// <summary>A track as a format lays it on the tape.</summary>
/// <param name="Number">Track number, 1 at the upper edge, facing the head with the supply reel left.</param>
/// <param name="Band">Where it lies.</param>
public sealed record FormatTrack(int Number, TrackBand Band);

/// <summary>A track format of quarter-inch tape.</summary>
/// <param name="Id">Kebab-case word.</param>
/// <param name="Name">Plain name.</param>
/// <param name="Tracks">Its tracks from the upper edge down.</param>
/// <param name="Citation">The document and how far it was seen.</param>
public sealed record TrackFormat(string Id, string Name, IReadOnlyList<FormatTrack> Tracks, Citation Citation);

/// <summary>Track formats of quarter-inch tape as nominal strips; every deck's own figures stand in its profile.</summary>
public static class TrackFormats
{
    /// <summary>Nominal tape width by which the strips are laid, mm; from a calibration-tape leaflet after [DIN45513].</summary>
    public const double TapeMm = 6.25;

    /// <summary>Widest tape that a strip may lie on, mm: 6.30 by [IEC60094-1:1981] (remembered), and room for rounding.</summary>
    public const double WidestTapeMm = 6.35;

    /// <summary>The formats.</summary>
    public static IReadOnlyList<TrackFormat> All { get; } =
    [
        new("full", "Full track", Strips((0, TapeMm)), new("DIN45513", Basis.Published)),
        // 0.082 in wide; centres 0.156 in apart are remembered.
        new("two-track", "Two-track stereo", Strips((0.10, 2.18), (4.07, 6.15)), new("NAB:1965", Basis.Memory)),
        // 2.75 mm wide with 0.75 mm between, as quoted in the trade's reference notes.
        new("two-track-wide", "Two-track stereo, wide", Strips((0, 2.75), (3.5, 6.25)), new("IEC60094-1:1981", Basis.Memory)),
        // Four strips of 1 mm with 0.75 mm between, the positions that the fringing figures of [FRINGING-1972] were worked with.
        new(
            "quarter-track",
            "Quarter-track",
            Strips((0, 1), (1.75, 2.75), (3.5, 4.5), (5.25, 6.25)),
            new("FRINGING-1972", Basis.Published)
        ),
    ];

    /// <summary>The format of that id, or null.</summary>
    public static TrackFormat? Find(string id) => All.FirstOrDefault(f => f.Id == id);

    private static List<FormatTrack> Strips(params (double From, double To)[] strips) =>
        [.. strips.Select((s, i) => new FormatTrack(i + 1, new TrackBand(s.From, s.To)))];
}
