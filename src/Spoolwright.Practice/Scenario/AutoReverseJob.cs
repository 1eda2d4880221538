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
    /// <summary>What a sine at reference level reads at the interface, dBFS: low enough that a tape driven 12 dB over it does not
    /// clip.</summary>
    public const double ReferenceDbfs = -16;

    /// <summary>How much too fast the interface's clock runs, parts in a million.</summary>
    public const double ClockPpm = 4;

    /// <summary>Leaflets of the four test tapes: file name and JSON text.</summary>
    public static IReadOnlyDictionary<string, string> Leaflets { get; } = new[] { 9.525, 19.05 }
        .SelectMany(v => new[] { RestorersTapes.Speed(v), RestorersTapes.Levels(v) })
        .ToDictionary(FileOf, t => TestTapeLeaflet.ToJson(t), StringComparer.Ordinal);

    /// <summary>
    /// The sixteen passes in the order of the bench: as found then as left, slow then fast, forward then reverse, speed tape then level
    /// tape. In reverse the tape is not turned over, so the program comes from its end. Every pass starts a little into the tape's leader
    /// or program, as at a bench.
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
                    passes.Add(
                        Pass(
                            asLeft,
                            speed,
                            direction,
                            RestorersTapes.Speed(speed),
                            speedTape: true,
                            sampleRateHz,
                            speedSeconds,
                            passes.Count
                        )
                    );
                    var levels = RestorersTapes.Levels(speed);
                    passes.Add(
                        Pass(
                            asLeft,
                            speed,
                            direction,
                            levels,
                            speedTape: false,
                            sampleRateHz,
                            Math.Ceiling(levels.Seconds * 1.01) + 2,
                            passes.Count
                        )
                    );
                }
            }
        }

        return passes;
    }

    /// <summary>
    /// The passes of the deck's own recordings: as found in the one tape setting that such decks are mostly used in, as left in both; slow
    /// then fast, forward then reverse. Saturation is run on the deck as left alone: it is a matter of the tape, and says little while bias
    /// is wrong. The pair of channels is tried in one setting: its leak is the heads' and the wiring's.
    /// </summary>
    /// <param name="sampleRateHz">Sample rate, Hz.</param>
    public static IReadOnlyList<OwnPass> OwnPasses(int sampleRateHz = 96000)
    {
        var passes = new List<OwnPass>();
        foreach (
            var (asLeft, setting) in new[]
            {
                (false, AutoReverseRecorder.Normal),
                (true, AutoReverseRecorder.Normal),
                (true, AutoReverseRecorder.High),
            }
        )
        {
            foreach (var speed in new[] { 9.525, 19.05 })
            {
                foreach (var direction in new[] { TapeDirection.Forward, TapeDirection.Reverse })
                {
                    // The tone and its erasure are one tape: the same seed.
                    var seed = 2000 + (10 * passes.Count);
                    passes.AddRange(
                        Enum.GetValues<OwnCapture>()
                            .Where(k =>
                                (asLeft || k != OwnCapture.Saturation) && (setting == AutoReverseRecorder.Normal || k != OwnCapture.Pair)
                            )
                            .Select(k => new OwnPass(
                                $"{Name(asLeft, speed, direction)}-{setting}-{Word(k)}.wav",
                                asLeft,
                                direction,
                                speed,
                                setting,
                                k,
                                sampleRateHz,
                                k is OwnCapture.Tone or OwnCapture.Erased ? seed : seed + 100 + (int)k
                            ))
                    );
                }
            }
        }

        return passes;
    }

    private static string Name(bool asLeft, double speed, TapeDirection direction) =>
        $"{(asLeft ? "as-left" : "as-found")}-{(speed > 15 ? "19" : "9.5")}-{(direction == TapeDirection.Forward ? "forward" : "reverse")}";

    private static string Word(OwnCapture kind) =>
        kind == OwnCapture.OtherDirection ? "other-direction" : kind.ToString().ToLowerInvariant();

    private static JobPass Pass(
        bool asLeft, double speed, TapeDirection direction, PracticeTape tape, bool speedTape, int sampleRateHz, double seconds, int number)
    {
        var name = $"{Name(asLeft, speed, direction)}-{(speedTape ? "speed" : "levels")}.wav";
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
            ReferenceDbfs = ReferenceDbfs,
            InterfaceNoiseDbfs = BenchInterface.NoiseDbfs,
            InterfaceClockPpm = ClockPpm,
        };
        return new JobPass(
            name,
            asLeft,
            direction,
            speed,
            tape,
            FileOf(tape),
            speedTape,
            asLeft ? AutoReverseDeck.AsLeft : AutoReverseDeck.AsFound,
            options
        );
    }

    private static string FileOf(PracticeTape tape) => tape.Name.ToLowerInvariant().Replace(' ', '-') + ".json";
}
