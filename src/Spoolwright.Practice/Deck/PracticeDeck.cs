using Spoolwright.Practice.Physics;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Deck;

/// <summary>One speed of a deck.</summary>
/// <param name="CmPerS">Nominal speed, cm/s.</param>
/// <param name="Curve">Replay equalization the deck switches in.</param>
/// <param name="ErrorPercent">How much too fast the tape runs, %.</param>
public sealed record PracticeSpeed(double CmPerS, ReplayCurve Curve, double ErrorPercent = 0);

/// <summary>
/// A deck in software. The description is immutable: to turn a trimmer or cure a fault, make another with <c>with</c>.
/// What is not given is healthy; what varies from one deck to the next hangs on the seed.
/// </summary>
public sealed record PracticeDeck
{
    public required string Name { get; init; }

    /// <summary>Which specimen of its kind: draws what no parameter names, such as the magnetic length of the gaps.</summary>
    public long Seed { get; init; } = 1;

    /// <summary>The speeds it has.</summary>
    public required IReadOnlyList<PracticeSpeed> Speeds { get; init; }

    /// <summary>Head and channels while the tape runs forward.</summary>
    public PracticeHead Forward { get; init; } = PracticeHead.QuarterTrack(TapeDirection.Forward);

    /// <summary>Head and channels while the tape runs in reverse.</summary>
    public PracticeHead Reverse { get; init; } = PracticeHead.QuarterTrack(TapeDirection.Reverse);

    public PracticeTransport Transport { get; init; } = new();

    /// <summary>Fluxivity at which a well set deck gives reference level at 1 kHz, nWb/m rms.</summary>
    public double ReferenceNWbPerM { get; init; } = 250;

    /// <summary>Mains frequency, Hz.</summary>
    public double MainsHz { get; init; } = 50;

    /// <summary>The head and channels of a direction.</summary>
    public PracticeHead Head(TapeDirection direction) => direction == TapeDirection.Forward ? Forward : Reverse;

    /// <summary>Magnetic gap over optical gap of a direction's head.</summary>
    public double GapFactor(TapeDirection direction) =>
        Head(direction).GapFactor ?? new NoiseStream(Seed, $"gap factor {direction}").NextBetween(1.11, 1.14);

    /// <summary>What a direction's head gathers beside its tracks, against the plain formula.</summary>
    public double FringingFactor(TapeDirection direction) =>
        Head(direction).FringingFactor ?? new NoiseStream(Seed, $"fringing factor {direction}").NextBetween(0.92, 1.08);

    /// <summary>Plays a tape; the sound streams as it is read.</summary>
    /// <param name="tape">What is threaded.</param>
    /// <param name="options">Direction, speed, span and the interface that listens.</param>
    /// <exception cref="ArgumentOutOfRangeException">A fault or an option lies outside what can be; the message names it.</exception>
    /// <exception cref="ArgumentException">The deck has no such speed.</exception>
    public PlaySession Play(PracticeTape tape, PlayOptions options)
    {
        ArgumentNullException.ThrowIfNull(tape);
        ArgumentNullException.ThrowIfNull(options);
        Check();
        tape.Check();
        options.Check();
        return new PlaySession(this, tape, options);
    }

    /// <summary>The speed nearest to a nominal one, within 1 %.</summary>
    internal PracticeSpeed Speed(double cmPerS) =>
        Speeds.FirstOrDefault(s => Math.Abs((s.CmPerS / cmPerS) - 1) < 0.01)
        ?? throw new ArgumentException($"The deck '{Name}' has no speed of {cmPerS} cm/s.", nameof(cmPerS));

    private void Check()
    {
        Faults.InRange("number of speeds", Speeds.Count, 1, 10);
        foreach (var speed in Speeds)
        {
            Faults.InRange(nameof(PracticeSpeed.CmPerS), speed.CmPerS, 1, 200);
            Faults.InRange(nameof(PracticeSpeed.ErrorPercent), speed.ErrorPercent, -40, 40);
            speed.Curve.Check();
        }

        Forward.Check();
        Reverse.Check();
        Transport.Check();
        Faults.InRange(nameof(ReferenceNWbPerM), ReferenceNWbPerM, 1, 10000);
        Faults.InRange(nameof(MainsHz), MainsHz, 10, 1000);
    }
}
