using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Scenario;

/// <summary>One pass of a test tape in a job.</summary>
/// <param name="FileName">A name for its capture, without folder, ending in .wav.</param>
/// <param name="AsLeft">False: as found; true: as left.</param>
/// <param name="Direction">Which way the tape runs.</param>
/// <param name="SpeedCmPerS">Nominal speed.</param>
/// <param name="Tape">The test tape.</param>
/// <param name="TapeFileName">Name for its leaflet's file, without folder, ending in .json.</param>
/// <param name="IsSpeedTape">True: a tape for speed and flutter; false: for level, response and azimuth.</param>
/// <param name="Deck">The deck as it is at that time.</param>
/// <param name="Options">How it is played.</param>
public sealed record JobPass(
    string FileName,
    bool AsLeft,
    TapeDirection Direction,
    double SpeedCmPerS,
    PracticeTape Tape,
    string TapeFileName,
    bool IsSpeedTape,
    PracticeDeck Deck,
    PlayOptions Options)
{
    /// <summary>Plays it.</summary>
    public PlaySession Play() => Deck.Play(Tape, Options);
}

/// <summary>The job of the demonstration: the invented auto-reverse deck, as found and as left, both ways at both speeds.</summary>
public static class AutoReverseJob
{
    /// <summary>Leaflets of the four test tapes: file name and JSON text.</summary>
    public static IReadOnlyDictionary<string, string> Leaflets { get; } = new[] { 9.525, 19.05 }
        .SelectMany(v => new[] { RestorersTapes.Speed(v), RestorersTapes.Levels(v) })
        .ToDictionary(FileOf, t => TestTapeLeaflet.ToJson(t), StringComparer.Ordinal);

    /// <summary>
    /// The sixteen passes in the order of the bench: as found then as left, slow then fast, forward then reverse, speed tape then level tape. In reverse the
    /// tape is not turned over, so the program comes from its end. Every pass starts a little into the tape's leader or program, as at a bench.
    /// </summary>
    /// <param name="sampleRateHz">Sample rate, Hz.</param>
    /// <param name="speedSeconds">Length of the passes of speed tapes, s.</param>
    public static IReadOnlyList<JobPass> Passes(int sampleRateHz = 96000, double speedSeconds = 35)
    {
        var passes = new List<JobPass>();
        foreach (var asLeft in new[] { false, true })
        {
            foreach (var speed in new[] { 9.525, 19.05 })
            {
                foreach (var direction in new[] { TapeDirection.Forward, TapeDirection.Reverse })
                {
                    passes.Add(Pass(asLeft, speed, direction, RestorersTapes.Speed(speed), speedTape: true, sampleRateHz, speedSeconds, passes.Count));
                    var levels = RestorersTapes.Levels(speed);
                    passes.Add(Pass(asLeft, speed, direction, levels, speedTape: false, sampleRateHz, Math.Ceiling(levels.Seconds * 1.01) + 2, passes.Count));
                }
            }
        }

        return passes;
    }

    private static JobPass Pass(
        bool asLeft, double speed, TapeDirection direction, PracticeTape tape, bool speedTape, int sampleRateHz, double seconds, int number)
    {
        var word = speed > 15 ? "19" : "9.5";
        var name = $"{(asLeft ? "as-left" : "as-found")}-{word}-{(direction == TapeDirection.Forward ? "forward" : "reverse")}-{(speedTape ? "speed" : "levels")}.wav";
        var options = new PlayOptions
        {
            Direction = direction,
            SpeedCmPerS = speed,
            Backward = direction == TapeDirection.Reverse,
            StartSeconds = speedTape ? 30 + (7 * number) : 0,
            LeadInSeconds = speedTape ? 0 : 0.8,
            DurationSeconds = seconds,
            SampleRateHz = sampleRateHz,
            Seed = 1000 + number,
            ReferenceDbfs = -10,
            InterfaceClockPpm = 4,
        };
        return new JobPass(
            name, asLeft, direction, speed, tape, FileOf(tape), speedTape, asLeft ? AutoReverseDeck.AsLeft : AutoReverseDeck.AsFound, options);
    }

    private static string FileOf(PracticeTape tape) => tape.Name.ToLowerInvariant().Replace(' ', '-') + ".json";
}
