using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Physics;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Tests;

/// <summary>Decks and tapes without a single fault or noise, to be given one.</summary>
internal static class Decks
{
    public static readonly ReplayCurve Slow = new(90, 3180);
    public static readonly ReplayCurve Fast = new(50, 3180);

    /// <summary>A head with nothing lost: gap 0, no bump, no leak, no noise. Tracks as given.</summary>
    public static PracticeHead Head(TrackStrip left, TrackStrip right) => new()
    {
        Left = Channel(left),
        Right = Channel(right),
        GapUm = 0,
        GapFactor = 1.136,
        FringingFactor = 1,
        Bump = HeadBump.None,
    };

    public static PracticeChannel Channel(TrackStrip track) => new() { Track = track, NoiseDb = -300, CrosstalkDb = -300 };

    /// <summary>A perfect quarter-track deck.</summary>
    public static PracticeDeck Perfect() => new()
    {
        Name = "perfect",
        Speeds = [new PracticeSpeed(9.525, Slow), new PracticeSpeed(19.05, Fast), new PracticeSpeed(38.1, Fast)],
        Forward = Head(PracticeHead.QuarterTrackStrip(1), PracticeHead.QuarterTrackStrip(3)),
        Reverse = Head(PracticeHead.QuarterTrackStrip(4), PracticeHead.QuarterTrackStrip(2)),
    };

    /// <summary>The perfect deck with its forward head changed.</summary>
    public static PracticeDeck With(Func<PracticeHead, PracticeHead> change)
    {
        var deck = Perfect();
        return deck with { Forward = change(deck.Forward) };
    }

    /// <summary>The perfect deck with this turning in it.</summary>
    public static PracticeDeck With(params PracticePart[] parts)
    {
        var deck = Perfect();
        return deck with { Transport = new PracticeTransport { Parts = parts } };
    }

    /// <summary>A noiseless tape of one long tone, recorded exactly on the tracks of the perfect deck, both directions.</summary>
    public static PracticeTape Tone(double hertz, double speed = 19.05, double seconds = 600) =>
        PracticeTape.SpeedTape("tone", speed, hertz, seconds, speed > 15 ? Fast : Slow) with
        {
            Strips = [.. Enumerable.Range(1, 4).Select(PracticeHead.QuarterTrackStrip)],
            HissDb = -300,
            LevelWanderDbRms = 0,
            ThirdHarmonicPercent = 0,
            LeaderM = 0,
        };

    /// <summary>The same on the whole width: no strip beside a track is blank, so the bass is gathered from beside.</summary>
    public static PracticeTape FullTrack(double hertz, double speed = 19.05) => Tone(hertz, speed) with { Strips = [] };

    /// <summary>A tape on whose tracks nothing lies beside the two forward ones within reach: for figures without fringing.</summary>
    public static PracticeTape ForwardTracksOnly(double hertz, double speed = 19.05) =>
        Tone(hertz, speed) with { Strips = [PracticeHead.QuarterTrackStrip(1), PracticeHead.QuarterTrackStrip(3)] };

    public static PlayOptions Options(double speed = 19.05, double seconds = 2, int rate = 96000) => new()
    {
        SpeedCmPerS = speed,
        DurationSeconds = seconds,
        StartSeconds = 1,
        SampleRateHz = rate,
        InterfaceNoiseDbfs = -400,
    };

    /// <summary>Level of the tone in dB against reference level, left and right, and phase right minus left in degrees.</summary>
    public static (double Left, double Right, double Phase) Hear(
        PracticeDeck deck,
        PracticeTape tape,
        PlayOptions options,
        double? hertz = null
    )
    {
        var (left, right) = Listening.Record(deck.Play(tape, options));
        var f = hertz ?? (tape.Tones[0].FrequencyHz * options.SpeedCmPerS / tape.SpeedCmPerS);
        var (l, r) = (Listening.Tone(left, f, options.SampleRateHz), Listening.Tone(right, f, options.SampleRateHz));
        return (
            Listening.Decibels(l.Magnitude) - options.ReferenceDbfs,
            Listening.Decibels(r.Magnitude) - options.ReferenceDbfs,
            (r / l).Phase * 180 / Math.PI
        );
    }
}
