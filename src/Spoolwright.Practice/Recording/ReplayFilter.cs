using System.Numerics;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Recording;

/// <summary>From flux to the interface, both channels: each head track gathers its own, the pair leaks, and the other direction's tracks
/// are heard a little.</summary>
internal sealed class ReplayFilter
{
    public ReplayFilter(PracticeDeck deck, PracticeTape body, PlayOptions options, double rate, RecordedSide side, RecordedSide? other)
    {
        var left = new ReplayPath(deck, body, options, PracticeSide.Left);
        var right = new ReplayPath(deck, body, options, PracticeSide.Right);
        Complex Left(double f) => left.OfFlux(f, rate, side.LeftTrack);
        Complex Right(double f) => right.OfFlux(f, rate, side.RightTrack);
        var (leakLeft, leakRight) = PracticeSound.Leaks(deck, options);
        Own = new LongFilter(
            options.SampleRateHz,
            Left,
            leakLeft > 0 ? f => leakLeft * Right(f) : null,
            leakRight > 0 ? f => leakRight * Left(f) : null,
            Right);
        if (other is null)
            return;

        // The other direction's tracks: what spreads through the tape at long wavelengths, and a rest that the head and its wires let over.
        var floor = ReplayPath.Decibels(deck.Recorder?.Head(options.Direction).OtherDirectionDb ?? -66);
        Complex Beside(ReplayPath path, TrackStrip own, TrackStrip strip, double share, double f)
        {
            var tapeHz = Math.Max(f / rate, 0.1);
            return path.OfFlux(f, rate, own) / path.PickUp(tapeHz, own) * (path.PickUp(tapeHz, strip) + (share * floor));
        }

        // Wires lie beside their neighbour: the rest comes from one track each.
        Other = new LongFilter(
            options.SampleRateHz,
            f => Beside(left, side.LeftTrack, other.LeftTrack, 0, f),
            f => Beside(left, side.LeftTrack, other.RightTrack, 1, f),
            f => Beside(right, side.RightTrack, other.LeftTrack, 1, f),
            f => Beside(right, side.RightTrack, other.RightTrack, 0, f));
    }

    /// <summary>For this direction's tracks.</summary>
    public LongFilter Own { get; }

    /// <summary>For the other direction's tracks; null: they are not recorded.</summary>
    public LongFilter? Other { get; }
}
