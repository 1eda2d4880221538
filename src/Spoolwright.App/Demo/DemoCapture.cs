using Spoolwright.Bench;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Scenario;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Demo;

/// <summary>One capture of the demonstration: how its sound is made, and what is measured in it.</summary>
/// <param name="FileName">Name without folder, ending in .wav.</param>
/// <param name="Condition">Direction, speed, tape setting.</param>
/// <param name="Mark">As found or as left.</param>
/// <param name="Play">Makes the sound as the interface delivers it.</param>
/// <param name="Measurements">Ids of the catalogue.</param>
internal sealed record DemoCapture(
    string FileName,
    Condition Condition,
    Mark Mark,
    Func<SoundSource> Play,
    IReadOnlyList<string> Measurements
)
{
    /// <summary>Sample rate of all of them: 48 kHz carries every tone of these tapes and programs, and keeps the folder under a
    /// gigabyte.</summary>
    public const int SampleRateHz = 48_000;

    /// <summary>The test tape played; null: one of our own programs, recorded by the deck.</summary>
    public JobPass? TestTape { get; init; }

    /// <summary>File name of the capture whose readings this one's take the place of; null: none. The tape was threaded again, to see how
    /// well measuring repeats.</summary>
    public string? Again { get; init; }

    /// <summary>The deck's own recording; null: a test tape.</summary>
    public OwnPass? Own { get; init; }

    /// <summary>The interface's loopback, taken once before anything is played.</summary>
    public static DemoCapture Loopback(Condition condition) =>
        new(
            "loopback.wav",
            condition,
            Mark.AsFound,
            () => BenchInterface.Loopback(new ProgramSound(ProgramList.Make(ProgramList.Find("response")!), SampleRateHz, -6), seed: 31),
            ["loopback"]
        );

    /// <summary>Every pass of the job, test tapes first: what is recorded leans on what was played.</summary>
    public static IReadOnlyList<DemoCapture> All() =>
        [
            .. AutoReverseJob
                .Passes(SampleRateHz)
                .SelectMany(Tries)
                .Select(p => new DemoCapture(
                    p.Pass.FileName,
                    new Condition(Way(p.Pass.Direction), p.Pass.SpeedCmPerS),
                    MarkOf(p.Pass.AsLeft),
                    () => BenchInterface.Hearing(p.Pass.Play().Sound),
                    p.Pass.IsSpeedTape ? ["speed"] : ["playback", "azimuth"]
                )
                {
                    TestTape = p.Pass,
                    Again = p.Again,
                }),
            .. AutoReverseJob
                .OwnPasses(SampleRateHz)
                .Select(p => new DemoCapture(
                    p.FileName,
                    new Condition(Way(p.Direction), p.SpeedCmPerS, p.Setting),
                    MarkOf(p.AsLeft),
                    () => BenchInterface.Hearing(p.Play()),
                    Of(p.Kind)
                )
                {
                    Own = p,
                }),
        ];

    // One pass as left is played three times, threaded anew each time: the same deck, tape, condition and day.
    private static IEnumerable<(JobPass Pass, string? Again)> Tries(JobPass pass)
    {
        string? before = null;
        if (pass is { AsLeft: true, IsSpeedTape: true, Direction: TapeDirection.Forward, SpeedCmPerS: > 15 })
        {
            for (var n = 1; n <= 2; n++)
            {
                var name = pass.FileName.Replace(".wav", $"-try-{n}.wav", StringComparison.Ordinal);
                yield return (
                    pass with
                    {
                        FileName = name,
                        Options = pass.Options with
                        {
                            Seed = pass.Options.Seed + 500 + n,
                            StartSeconds = pass.Options.StartSeconds + 40 * n,
                        },
                    },
                    before
                );
                before = name;
            }
        }

        yield return (pass, before);
    }

    private static string[] Of(OwnCapture kind) => kind switch
    {
        OwnCapture.Multitone => ["record"],
        OwnCapture.Bias => ["bias"],
        OwnCapture.Ramp or OwnCapture.Saturation => ["distortion"],
        OwnCapture.Blank => ["noise"],
        OwnCapture.Tone => ["dropouts"],
        OwnCapture.Erased => ["erase"],
        _ => ["crosstalk"],
    };

    private static Direction Way(TapeDirection direction) => direction == TapeDirection.Forward ? Direction.Forward : Direction.Reverse;

    private static Mark MarkOf(bool asLeft) => asLeft ? Mark.AsLeft : Mark.AsFound;
}
