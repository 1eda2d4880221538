using Spoolwright.Practice.Deck;

namespace Spoolwright.Practice.Hidden;

/// <summary>Where a fault sits, as far as its kind has a place.</summary>
/// <param name="Direction">Direction; null: the whole deck.</param>
/// <param name="Side">Channel; null: both.</param>
/// <param name="Setting">Tape setting; null: all.</param>
public sealed record FaultPlace(TapeDirection? Direction = null, PracticeSide? Side = null, string? Setting = null);

/// <summary>A kind of fault that can be hidden in a deck: a change of named parameters, by a severity.</summary>
public sealed record FaultKind
{
    /// <summary>The word that a learner gives for it.</summary>
    public required string Name { get; init; }

    /// <summary>What is wrong with the deck, for a reader.</summary>
    public required string Meaning { get; init; }

    /// <summary>What it does to the deck; severity 1 is plain to a measurement, 2 to the ear; the sign of it is drawn where it can go both
    /// ways.</summary>
    public required Func<PracticeDeck, FaultPlace, double, PracticeDeck> Apply { get; init; }

    /// <summary>Whether it sits in one direction.</summary>
    public bool HasDirection { get; init; } = true;

    /// <summary>Whether it sits in one channel.</summary>
    public bool HasSide { get; init; }

    /// <summary>Whether it sits in one tape setting.</summary>
    public bool HasSetting { get; init; }

    /// <summary>Whether it can be off either way.</summary>
    public bool IsSigned { get; init; }

    /// <summary>Every kind, in the order of the work: transport, replay, record.</summary>
    public static IReadOnlyList<FaultKind> All { get; } =
    [
        new()
        {
            Name = "speed",
            Meaning = "the capstan turns at the wrong speed",
            HasDirection = false,
            IsSigned = true,
            Apply = (deck, _, s) =>
                deck with
                {
                    Speeds = [.. deck.Speeds.Select(v => v with { ErrorPercent = v.ErrorPercent + (0.6 * s) })],
                },
        },
        new()
        {
            Name = "capstan",
            Meaning = "the capstan runs out of true",
            HasDirection = false,
            Apply = (deck, _, s) =>
                Parts(
                    deck,
                    p => p.Kind == PracticePartKind.Capstan,
                    p => p with { EccentricityUm = p.EccentricityUm + (3 * s), Harmonics = [new PartHarmonic(2, 0.03 * s, 40)] }
                ),
        },
        new()
        {
            Name = "pinch-roller",
            Meaning = "the rubber of a pinch roller is hard or flat",
            Apply = (deck, at, s) =>
                Parts(
                    deck,
                    p => p.Kind == PracticePartKind.PinchRoller && p.Direction == at.Direction,
                    p =>
                        p with
                        {
                            Coupling = 0.25,
                            Harmonics =
                            [
                                new PartHarmonic(1, 0.05 * s, 20),
                                new PartHarmonic(2, 0.05 * s, 70),
                                new PartHarmonic(3, 0.02 * s),
                            ],
                        }
                ),
        },
        new()
        {
            Name = "reel-drag",
            Meaning = "the reel that the tape leaves rubs or is braked unevenly",
            HasDirection = false,
            Apply = (deck, _, s) =>
                Parts(deck, p => p.Kind == PracticePartKind.SupplyReel, p => p with { Harmonics = [new PartHarmonic(1, 0.05 * s)] }),
        },
        new()
        {
            Name = "belt",
            Meaning = "a belt has a hard or flat place",
            HasDirection = false,
            Apply = (deck, _, s) =>
                Parts(
                    deck,
                    p => p.Kind == PracticePartKind.Belt,
                    p => p with { Harmonics = [new PartHarmonic(1, 0.04 * s), new PartHarmonic(2, 0.015 * s, 30)] }
                ),
        },
        new()
        {
            Name = "dry-bearing",
            Meaning = "a bearing runs dry: the speed trembles without a period",
            HasDirection = false,
            Apply = (deck, _, s) =>
                deck with
                {
                    Transport = deck.Transport with
                    {
                        Noises = [.. deck.Transport.Noises, new SpeedNoise("dry bearing", 1.5, 18, 0.06 * s)],
                    },
                },
        },
        new()
        {
            Name = "loose-guide",
            Meaning = "a guide is loose: the tape wanders askew",
            HasDirection = false,
            Apply = (deck, _, s) =>
                deck with
                {
                    Transport = deck.Transport with { WeaveArcminRms = deck.Transport.WeaveArcminRms + (1.2 * s) },
                },
        },
        new()
        {
            Name = "dirty-replay-head", Meaning = "dirt lifts the tape from a replay gap", HasSide = true,
            Apply = (deck, at, s) => Channel(deck, at, c => c with { SpacingUm = c.SpacingUm + (1.6 * s), SpacingWanderUmRms = 0.06 * s }),
        },
        new()
        {
            Name = "worn-replay-head",
            Meaning = "a replay head is worn: its gap has opened",
            Apply = (deck, at, s) =>
                Played(
                    deck,
                    at,
                    h =>
                        h.With(PracticeSide.Left, c => c with { WearGapUm = 2.5 * s })
                            .With(PracticeSide.Right, c => c with { WearGapUm = 2.3 * s })
                ),
        },
        new() { Name = "replay-azimuth", Meaning = "a replay head leans", IsSigned = true, Apply = (deck, at, s) => Played(deck, at, h => h with { AzimuthArcmin = h.AzimuthArcmin + (5 * s) }) },
        new() { Name = "replay-level", Meaning = "a replay level trimmer is wrong", HasSide = true, IsSigned = true, Apply = (deck, at, s) => Channel(deck, at, c => c with { LevelTrimDb = c.LevelTrimDb + (1.5 * s) }) },
        new() { Name = "replay-eq", Meaning = "a replay equalization trimmer is wrong", HasSide = true, IsSigned = true, Apply = (deck, at, s) => Channel(deck, at, c => c with { TrebleTrimPercent = c.TrebleTrimPercent + (18 * s) }) },
        new() { Name = "replay-bass", Meaning = "a replay amplifier's bass is wrong: a dried-out capacitor or its trimmer", HasSide = true, IsSigned = true, Apply = (deck, at, s) => Channel(deck, at, c => c with { BassTrimPercent = c.BassTrimPercent + (22 * s) }) },
        new() { Name = "head-resonance", Meaning = "a replay head rings with its cable in the treble", HasSide = true, Apply = (deck, at, s) => Channel(deck, at, c => c with { ResonanceDb = 2.5 * s, ResonanceHz = 15500 }) },
        new() { Name = "odd-response", Meaning = "something puts a hollow into the middle of a channel's response", HasSide = true, Apply = (deck, at, s) => Channel(deck, at, c => c with { ResonanceDb = -2.2 * s, ResonanceHz = 3600 }) },
        new() { Name = "hum", Meaning = "hum gets into a replay amplifier", HasSide = true, Apply = (deck, at, s) => Channel(deck, at, c => c with { HumDb = [-52 + (6 * s), -66 + (6 * s), -58 + (6 * s)] }) },
        new() { Name = "noisy-amplifier", Meaning = "a replay amplifier hisses", HasSide = true, Apply = (deck, at, s) => Channel(deck, at, c => c with { NoiseDb = -56 + (5 * s) }) },
        new() { Name = "crosstalk", Meaning = "the channels leak into each other", Apply = (deck, at, s) => Played(deck, at, h => h with { Left = h.Left with { CrosstalkDb = -34 + (5 * s) }, Right = h.Right with { CrosstalkDb = -34 + (5 * s) } }) },
        new() { Name = "record-azimuth", Meaning = "a record head leans", IsSigned = true, Apply = (deck, at, s) => Recorded(deck, at, h => h with { AzimuthArcmin = h.AzimuthArcmin + (5 * s) }) },
        new() { Name = "dirty-record-head", Meaning = "dirt lifts the tape from a record gap", HasSide = true, Apply = (deck, at, s) => RecordedChannel(deck, at, c => c with { SpacingUm = c.SpacingUm + (3 * s) }) },
        new() { Name = "bias", Meaning = "a bias trimmer is wrong", HasSide = true, HasSetting = true, IsSigned = true, Apply = (deck, at, s) => RecordedChannel(deck, at, c => c.With(at.Setting!, t => t with { BiasDb = t.BiasDb + (1.8 * s) })) },
        new() { Name = "record-level", Meaning = "a record level trimmer is wrong", HasSide = true, HasSetting = true, IsSigned = true, Apply = (deck, at, s) => RecordedChannel(deck, at, c => c.With(at.Setting!, t => t with { LevelDb = t.LevelDb + (1.8 * s) })) },
        new() { Name = "record-eq", Meaning = "a record equalization trimmer is wrong", HasSide = true, HasSetting = true, IsSigned = true, Apply = (deck, at, s) => RecordedChannel(deck, at, c => c.With(at.Setting!, t => t with { TrebleDb = t.TrebleDb + (2.5 * s) })) },
        new() { Name = "weak-oscillator", Meaning = "the bias oscillator is weak: too little bias everywhere, and poor erasure", HasDirection = false, Apply = (deck, _, s) => WeakOscillator(deck, s) },
        new() { Name = "bias-trap", Meaning = "bias gets into a channel's output", HasSide = true, Apply = (deck, at, s) => RecordedChannel(deck, at, c => c with { BiasLeakDb = -58 + (6 * s) }) },
        new() { Name = "erase-head", Meaning = "an erase head erases poorly", Apply = (deck, at, s) => Recorded(deck, at, h => h with { EraseDepthDb = 62 - (9 * s) }) },
    ];

    /// <summary>A kind by its name; null: there is none.</summary>
    public static FaultKind? Find(string name) => All.FirstOrDefault(k => string.Equals(k.Name, name, StringComparison.OrdinalIgnoreCase));

    private static PracticeDeck WeakOscillator(PracticeDeck deck, double severity)
    {
        foreach (var direction in new[] { TapeDirection.Forward, TapeDirection.Reverse })
        {
            deck = Recorded(deck, new FaultPlace(direction), h => h with
            {
                EraseDepthDb = h.EraseDepthDb - (10 * severity),
                Left = h.Left with { BiasSupplyDb = -2 * severity },
                Right = h.Right with { BiasSupplyDb = -2 * severity },
            });
        }

        return deck;
    }

    private static PracticeDeck Parts(PracticeDeck deck, Func<PracticePart, bool> which, Func<PracticePart, PracticePart> change) =>
        deck with { Transport = deck.Transport with { Parts = [.. deck.Transport.Parts.Select(p => which(p) ? change(p) : p)] } };

    private static PracticeDeck Played(PracticeDeck deck, FaultPlace at, Func<PracticeHead, PracticeHead> change) =>
        at.Direction == TapeDirection.Reverse ? deck with { Reverse = change(deck.Reverse) } : deck with { Forward = change(deck.Forward) };

    private static PracticeDeck Channel(PracticeDeck deck, FaultPlace at, Func<PracticeChannel, PracticeChannel> change) =>
        Played(deck, at, h => h.With(at.Side ?? PracticeSide.Left, change));

    private static PracticeDeck Recorded(PracticeDeck deck, FaultPlace at, Func<RecordHead, RecordHead> change) =>
        deck.Recorder is { } recorder
            ? deck with
            {
                Recorder = recorder.With(at.Direction ?? TapeDirection.Forward, change),
            }
            : throw new ArgumentException($"The deck '{deck.Name}' cannot record.", nameof(deck));

    private static PracticeDeck RecordedChannel(PracticeDeck deck, FaultPlace at, Func<RecordChannel, RecordChannel> change) =>
        Recorded(deck, at, h => h.With(at.Side ?? PracticeSide.Left, change));
}
