using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;

namespace Spoolwright.App.Web;

/// <summary>What the practice deck has threaded, by the words of the pages. Loops are tapes as a restorer makes them to align by.</summary>
internal static class PracticeTapes
{
    /// <summary>Blank tape that is recorded on and heard at the same time.</summary>
    public const string Record = "record";

    private const double HoldSeconds = 8;
    private const double GapSeconds = 0.1;

    /// <summary>The tape of that word; any other word is the azimuth loop.</summary>
    public static PracticeTape Of(string word, double speedCmPerS) =>
        word switch
        {
            "speed" => RestorersTapes.Speed(speedCmPerS),
            "levels" => RestorersTapes.Levels(speedCmPerS),
            "level" => Loop(
                "Fellgate level loop",
                speedCmPerS,
                [new(1000, 0, HoldSeconds, PracticeToneRole.Reference, GapSeconds: GapSeconds)]
            ),
            _ => AzimuthLoop(speedCmPerS),
        };

    // Low tones that name the cycle, then the high one at length; a round is shorter than a kept capture.
    private static PracticeTape AzimuthLoop(double speed)
    {
        var high = speed > 15 ? 10_000.0 : 8000.0;
        return Loop("Fellgate azimuth loop", speed, [
            new(1000, -10, 1.6, PracticeToneRole.Reference, GapSeconds: GapSeconds),
            new(4000, -10, 1.6, PracticeToneRole.Azimuth, GapSeconds: GapSeconds),
            new(high, -10, HoldSeconds, PracticeToneRole.Azimuth, GapSeconds: GapSeconds),
        ]);
    }

    private static PracticeTape Loop(string name, double speed, PracticeTone[] round) =>
        RestorersTapes.Levels(speed) with { Name = name, Tones = [.. Enumerable.Repeat(round, 40).SelectMany(r => r)] };
}
