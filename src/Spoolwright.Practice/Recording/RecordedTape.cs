using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Tape;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Practice.Recording;

/// <summary>What one direction's tracks of a tape hold, and how the head that made it stood.</summary>
/// <param name="Flux">The flux along the tape.</param>
/// <param name="LeftTrack">Strip of the left track, mm.</param>
/// <param name="RightTrack">Strip of the right track, mm.</param>
/// <param name="AzimuthArcmin">Tilt of the record head.</param>
/// <param name="GapStaggerUm">Stagger of its gaps.</param>
/// <param name="BiasDb">Bias against the tape's working point, dB: it tells the hiss.</param>
internal sealed record RecordedSide(
    FluxStore Flux,
    TrackStrip LeftTrack,
    TrackStrip RightTrack,
    double AzimuthArcmin,
    double GapStaggerUm,
    double BiasDb
);

/// <summary>How a record head stood.</summary>
/// <param name="AzimuthArcmin">Its tilt, arc minutes.</param>
/// <param name="GapStaggerUm">Stagger of its gaps, µm.</param>
/// <param name="BiasDb">Bias against the tape's working point, dB.</param>
public sealed record RecordedWith(double AzimuthArcmin, double GapStaggerUm, double BiasDb);

/// <summary>
/// A tape with something of one's own on it, in one or both directions; the other direction's tracks run backwards. Places are seconds at
/// the nominal speed in the order of each direction. The flux is held in memory: 0.77 MB a second at 96 kHz and direction.
/// </summary>
public sealed class RecordedTape
{
    /// <summary>Longest recording, s: at 96 kHz that fills 0.7 GB.</summary>
    public const double LongestSeconds = 900;

    internal RecordedTape(
        TapeStock stock,
        double speedCmPerS,
        int sampleRateHz,
        double lengthSeconds,
        RecordedSide? forward,
        RecordedSide? reverse
    ) =>
        (Stock, SpeedCmPerS, SampleRateHz, LengthSeconds, Forward, Reverse) = (
            stock,
            speedCmPerS,
            sampleRateHz,
            lengthSeconds,
            forward,
            reverse
        );

    /// <summary>The kind of tape.</summary>
    public TapeStock Stock { get; }

    /// <summary>Speed it was recorded at, cm/s.</summary>
    public double SpeedCmPerS { get; }

    /// <summary>Samples of flux a second at that speed.</summary>
    public int SampleRateHz { get; }

    /// <summary>Length of the whole tape, s: the beginning of one direction is that far from the beginning of the other.</summary>
    public double LengthSeconds { get; }

    internal RecordedSide? Forward { get; }

    internal RecordedSide? Reverse { get; }

    /// <summary>A tape with nothing on it, erased in bulk.</summary>
    /// <param name="stock">The kind of tape.</param>
    /// <param name="speedCmPerS">Speed it is meant for, cm/s.</param>
    /// <param name="sampleRateHz">Sample rate of later passes, Hz.</param>
    /// <param name="lengthSeconds">Its length, s.</param>
    public static RecordedTape Blank(TapeStock stock, double speedCmPerS, int sampleRateHz = 96000, double lengthSeconds = 600)
    {
        ArgumentNullException.ThrowIfNull(stock);
        stock.Check();
        Faults.InRange(nameof(speedCmPerS), speedCmPerS, 1, 200);
        Faults.InRange(nameof(sampleRateHz), sampleRateHz, 32000, 192000);
        Faults.InRange(nameof(lengthSeconds), lengthSeconds, 0.1, 100000);
        return new RecordedTape(stock, speedCmPerS, sampleRateHz, lengthSeconds, null, null);
    }

    /// <summary>The same tape with flux put onto one direction's tracks, as it was copied from another one.</summary>
    /// <param name="deck">A deck with the tracks it was recorded on.</param>
    /// <param name="direction">Whose tracks.</param>
    /// <param name="how">How the head stood that recorded it.</param>
    /// <param name="flux">The flux from the tape's beginning on, two channels at the tape's rate.</param>
    public RecordedTape With(PracticeDeck deck, TapeDirection direction, RecordedWith how, SoundSource flux)
    {
        ArgumentNullException.ThrowIfNull(deck);
        ArgumentNullException.ThrowIfNull(how);
        ArgumentNullException.ThrowIfNull(flux);
        if (flux.SampleRateHz != SampleRateHz || flux.Channels != 2)
            throw new ArgumentException($"The flux must have two channels and {SampleRateHz} samples a second.", nameof(flux));
        var store = new FluxStore(0);
        var (left, right) = (new float[4096], new float[4096]);
        for (int got; (got = flux.Read(left, right)) > 0 && store.End < LongestSeconds * SampleRateHz;)
            store.Append(left.AsSpan(0, got), right.AsSpan(0, got));
        var tracks = deck.Head(direction);
        return With(
            direction,
            new RecordedSide(store, tracks.Left.Track, tracks.Right.Track, how.AzimuthArcmin, how.GapStaggerUm, how.BiasDb)
        );
    }

    /// <summary>How the head stood that recorded a direction; null: it holds nothing.</summary>
    public RecordedWith? How(TapeDirection direction) =>
        Side(direction) is { } side ? new RecordedWith(side.AzimuthArcmin, side.GapStaggerUm, side.BiasDb) : null;

    /// <summary>Seconds at which a direction's recording begins and ends; null: it holds none.</summary>
    public (double From, double To)? Recorded(TapeDirection direction) =>
        Side(direction) is { } side ? ((double)side.Flux.First / SampleRateHz, (double)side.Flux.End / SampleRateHz) : null;

    /// <summary>Copies flux of one direction, 1 being the peak of the deck's reference flux at 1 kHz; where nothing is recorded it is
    /// 0.</summary>
    /// <param name="direction">Whose tracks.</param>
    /// <param name="first">Number of the first sample along the tape.</param>
    /// <param name="left">Takes the left track.</param>
    /// <param name="right">Takes the right track, as long.</param>
    public void CopyFlux(TapeDirection direction, long first, Span<float> left, Span<float> right)
    {
        if (Side(direction) is { } side)
        {
            side.Flux.Read(first, left, right);
            return;
        }

        left.Clear();
        right.Clear();
    }

    internal RecordedSide? Side(TapeDirection direction) => direction == TapeDirection.Forward ? Forward : Reverse;

    internal RecordedTape With(TapeDirection direction, RecordedSide side) => direction == TapeDirection.Forward
        ? new RecordedTape(Stock, SpeedCmPerS, SampleRateHz, LengthSeconds, side, Reverse)
        : new RecordedTape(Stock, SpeedCmPerS, SampleRateHz, LengthSeconds, Forward, side);

    /// <summary>The tape as replay sees it: its noise, dropouts, reel, and the tilt of what is recorded.</summary>
    internal static PracticeTape Body(
        PracticeDeck deck,
        TapeStock stock,
        double speedCmPerS,
        TapeDirection direction,
        double azimuthArcmin,
        double biasDb
    ) =>
        new()
        {
            Name = stock.Name,
            SpeedCmPerS = speedCmPerS,
            Tones = [],
            Curve = deck.Speed(speedCmPerS).Curve,
            AzimuthArcmin = direction == TapeDirection.Forward ? azimuthArcmin : -azimuthArcmin,

            // Slower tape passes less coating: 3 dB of hiss for half the speed.
            HissDb =
                stock.HissDb > -300
                    ? Math.Max(stock.HissDb + Physics.BiasLaw.HissDb(biasDb) + (10 * Math.Log10(19.05 / speedCmPerS)), -299)
                    : -300,
            LevelWanderDbRms = stock.LevelWanderDbRms,
            Dropouts = stock.Dropouts,
            Reel = stock.Reel,
            Seed = 1 + stock.Name.Length,
        };
}
