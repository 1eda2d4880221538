using Spoolwright.Bench.Files;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Standards;

namespace Spoolwright.Bench.Decks;

/// <summary>Reads strips across the tape: a deck's tracks, a test tape's recorded bands.</summary>
internal static class TrackFields
{
    private static readonly NumberRange AcrossTape = new(0, TrackFormats.WidestTapeMm, "mm from the tape's upper edge");

    /// <summary>A strip {"fromMm", "toMm"}, or null with its problems.</summary>
    public static TrackBand? Band(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a strip {\"fromMm\": …, \"toMm\": …}") is not { } fields)
            return null;
        var from = fields.Number("fromMm", AcrossTape, required: true);
        var to = fields.Number("toMm", AcrossTape, required: true);
        fields.ReportUnknown();
        if (from >= to)
            problems.Error(
                part,
                $"the strip runs from {Quoted.Number(from.Value)} to {Quoted.Number(to.Value)} mm; expected fromMm below toMm"
            );
        return from < to ? new TrackBand(from.Value, to.Value) : null;
    }

    /// <summary>Whether two strips share part of the tape; strips may touch.</summary>
    public static bool Overlap(TrackBand a, TrackBand b) => a.FromMm < b.ToMm && b.FromMm < a.ToMm;

    /// <summary>The tracks of one direction, or null with their problems.</summary>
    public static DirectionTracks? Read(JsonPart part, DeckScope deck, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "tracks {\"direction\": …, \"left\": {…}, \"right\": {…}}") is not { } fields)
            return null;
        var direction = deck.DirectionWord(fields, "direction", required: true);
        var left = fields.Any("left", required: true) is { } l ? Band(l, problems) : null;
        var right = fields.Any("right", required: true) is { } r ? Band(r, problems) : null;
        fields.ReportUnknown();
        if (left is not null && right is not null && Overlap(left, right))
            problems.Error(part, "the left and right track overlap");
        return direction is null || left is null || right is null ? null : new DirectionTracks(direction.Value, left, right);
    }

    /// <summary>Each direction once; tracks of two directions either the same strips or apart.</summary>
    public static void CheckTogether(IReadOnlyList<(JsonPart Part, DirectionTracks? Tracks)> all, ProblemList problems)
    {
        var seen = new List<DirectionTracks>();
        foreach (var (part, tracks) in all)
        {
            if (tracks is null)
                continue;
            if (seen.Exists(s => s.Direction == tracks.Direction))
            {
                problems.Error(part, $"the tracks of {DeckWords.Word(tracks.Direction)} stand twice");
                continue;
            }

            foreach (var other in seen)
            {
                TrackBand[] here = [tracks.Left, tracks.Right];
                TrackBand[] there = [other.Left, other.Right];
                if (here.Any(h => there.Any(t => h != t && Overlap(h, t))))
                    problems.Warning(
                        part,
                        $"a track of {DeckWords.Word(tracks.Direction)} overlaps one of {DeckWords.Word(other.Direction)} in part"
                    );
            }

            seen.Add(tracks);
        }
    }
}
