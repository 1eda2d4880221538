using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Physics;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Tape;

namespace Spoolwright.App.Tests.Turning;

/// <summary>What a perfect measurement of the practice deck would read, from the laws that make its sound, without the sound.</summary>
internal static class DeckTruth
{
    private const double InputDb = -20;

    /// <summary>A value for each quantity of the job.</summary>
    public static double[] Of(PracticeDeck deck, DeckPass pass, TurnJob job) =>
        job.OfRecord ? Recorded(deck, pass, job) : [.. job.Quantities.Select(q => Played(deck, pass, q.Quantity))];

    private static double[] Recorded(PracticeDeck deck, DeckPass pass, TurnJob job)
    {
        var options = new RecordOptions
        {
            Direction = pass.Direction,
            SpeedCmPerS = pass.SpeedCmPerS,
            Setting = pass.Setting,
            SampleRateHz = 48000,
        };
        var truth = new RecordTruth(deck, RecordedTape.Blank(pass.Stock, pass.SpeedCmPerS, options.SampleRateHz), options);
        return [.. job.Quantities.Select(q => q.Quantity switch
        {
            "tone-level" => truth.LevelDbfs(pass.Side, 1000, InputDb),
            "response" => truth.ResponseDb(pass.Side, pass.ResponseHz(true), InputDb),
            "overbias" => truth.BiasDropDb(pass.Side, pass.TrebleHz, InputDb) * (truth.ToBiasPeakDb(pass.Side, pass.TrebleHz) > 0 ? -1 : 1),
            _ => throw new ArgumentOutOfRangeException(nameof(job), q.Quantity, "not read from a recording"),
        })];
    }

    private static double Played(PracticeDeck deck, DeckPass pass, string quantity)
    {
        var tape = Tape(pass.SpeedCmPerS);
        var options = new PlayOptions { Direction = pass.Direction, SpeedCmPerS = pass.SpeedCmPerS, DurationSeconds = 1 };
        double Level(double hertz) => 20 * Math.Log10(new ReplayPath(deck, tape, options, pass.Side).Response(hertz, 1).Magnitude);
        return quantity switch
        {
            "tone-level" => Level(1000) + InputDb,
            "response" => Level(pass.ResponseHz(false)) - Level(1000),
            _ => Skew(deck, tape, options),
        };
    }

    // Geometry: the right gap lies this far downstream, and the tape takes so long to get there (design, section 9, signs).
    private static double Skew(PracticeDeck deck, PracticeTape tape, PlayOptions options)
    {
        var head = deck.Head(options.Direction);
        var apart = (head.Right.Track.CentreMm - head.Left.Track.CentreMm) * 1000;
        var later = head.GapStaggerUm - (apart * HeadLosses.TangentOf(ReplayPath.AskewArcmin(deck, tape, options)));
        return later / (options.SpeedCmPerS * 1e4) * 1e6;
    }

    /// <summary>A tape whose tones and azimuth are exactly what its leaflet says.</summary>
    public static PracticeTape Tape(double speedCmPerS)
    {
        var tape = Spoolwright.Practice.Scenario.RestorersTapes.Levels(speedCmPerS);
        var treble = speedCmPerS > 15 ? 10000 : 5000;
        return tape with
        {
            AzimuthArcmin = 0,
            Dropouts = new TapeDropouts(0),
            Tones =
            [
                new PracticeTone(1000, -20, 2, PracticeToneRole.Reference, GapSeconds: 0.3),
                new PracticeTone(treble, -20, 2, PracticeToneRole.Azimuth, GapSeconds: 0.3),
                new PracticeTone(2000, -20, 1.5, GapSeconds: 0.3),
                new PracticeTone(4000, -20, 1.5, GapSeconds: 0.3),
                new PracticeTone(treble, -20, 1.5, GapSeconds: 0.3),
            ],
        };
    }
}
