using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;

namespace Spoolwright.Practice.Recording;

/// <summary>Where bias stands at a moment of a recording while somebody turns it.</summary>
/// <param name="Seconds">Moment, s from the start of the recording.</param>
/// <param name="OffsetDb">Bias against where the trimmer stood, dB.</param>
public readonly record struct BiasMove(double Seconds, double OffsetDb);

/// <summary>How a recording is made.</summary>
public sealed record RecordOptions
{
    public TapeDirection Direction { get; init; } = TapeDirection.Forward;

    /// <summary>Speed the deck is switched to, cm/s.</summary>
    public required double SpeedCmPerS { get; init; }

    /// <summary>Position of the tape selector.</summary>
    public required string Setting { get; init; }

    /// <summary>Sample rate of what is fed and of the flux, Hz, 32000 to 192000.</summary>
    public int SampleRateHz { get; init; } = 96000;

    /// <summary>Where on the tape recording starts, s at nominal speed in this direction's order.</summary>
    public double StartSeconds { get; init; }

    /// <summary>Draws every noise of this pass; monitored off tape, the same seed makes the same motion at both heads.</summary>
    public long Seed { get; init; } = 1;

    /// <summary>Level of a fed sine that asks for reference level, dBFS.</summary>
    public double ReferenceDbfs { get; init; } = -12;

    /// <summary>How much too fast the interface's clock runs, parts in a million.</summary>
    public double InterfaceClockPpm { get; init; }

    /// <summary>Bias turned while recording, straight from moment to moment and at rest before and after; both channels.</summary>
    public IReadOnlyList<BiasMove> BiasMoves { get; init; } = [];

    /// <summary>Tracks that are switched to record; the others keep what they hold.</summary>
    public (bool Left, bool Right) Tracks { get; init; } = (true, true);

    /// <summary>How far bias stands from where the trimmer was, dB, at a moment.</summary>
    public double BiasOffsetDb(double seconds)
    {
        if (BiasMoves.Count == 0)
            return 0;
        if (seconds <= BiasMoves[0].Seconds)
            return BiasMoves[0].OffsetDb;
        for (var i = 1; i < BiasMoves.Count; i++)
        {
            var (from, to) = (BiasMoves[i - 1], BiasMoves[i]);
            if (seconds < to.Seconds)
                return from.OffsetDb + ((to.OffsetDb - from.OffsetDb) * (seconds - from.Seconds) / (to.Seconds - from.Seconds));
        }

        return BiasMoves[^1].OffsetDb;
    }

    /// <summary>A pass of replay with the same direction, speed, rate, seed and place.</summary>
    internal PlayOptions AsPlay(double seconds) => new()
    {
        Direction = Direction,
        SpeedCmPerS = SpeedCmPerS,
        SampleRateHz = SampleRateHz,
        StartSeconds = StartSeconds,
        Seed = Seed,
        ReferenceDbfs = ReferenceDbfs,
        InterfaceClockPpm = InterfaceClockPpm,
        DurationSeconds = Math.Max(seconds, 0.001),
    };

    internal void Check()
    {
        AsPlay(1).Check();
        for (var i = 0; i < BiasMoves.Count; i++)
        {
            Faults.InRange(nameof(BiasMove.OffsetDb), BiasMoves[i].OffsetDb, -20, 20);
            if (i > 0)
                Faults.InRange("moment of a later bias move", BiasMoves[i].Seconds, BiasMoves[i - 1].Seconds + 1e-6, 1e6);
        }
    }
}
