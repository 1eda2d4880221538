using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Hidden;
using Spoolwright.Practice.Waves;

namespace Spoolwright.App.Tests.Causes;

/// <summary>
/// A deck of the proof: one of a make with residues of a careful bench in everything, head shapes and gap factors of its own, and so many faults hidden in it.
/// </summary>
internal sealed class ProofDeck
{
    private static readonly HeadBumpShape[] Shapes = Enum.GetValues<HeadBumpShape>();

    private ProofDeck(long seed, IReadOnlyList<HiddenFault> faults, PracticeDeck? specimen = null)
    {
        (Seed, Faults) = (seed, faults);
        Deck = faults.Aggregate(specimen ?? Healthy(seed), (deck, fault) => fault.Into(deck));
    }

    public long Seed { get; }

    public IReadOnlyList<HiddenFault> Faults { get; }

    public PracticeDeck Deck { get; }

    /// <summary>A healthy deck.</summary>
    public static ProofDeck Sound(long seed) => new(seed, []);

    /// <summary>A deck with one to three faults; one deck in eight has one more that no cause models.</summary>
    public static ProofDeck Faulty(long seed)
    {
        var draw = new NoiseStream(seed, "how many faults");
        var count = 1 + (int)(draw.NextUniform() * 3);
        var odd = draw.NextUniform() < 0.125;
        var faults = HiddenFault.Draw(seed, FaultKind.All.Count, ["normal", "high"]);
        return new(seed, [.. faults.Where(f => f.Kind.Name != Unmodelled).Take(count), .. faults.Where(f => odd && f.Kind.Name == Unmodelled)]);
    }

    /// <summary>This deck with one to three faults more, of a fifteenth to the whole of a plain fault's least size.</summary>
    public ProofDeck Mild(long seed)
    {
        var draw = new NoiseStream(seed, "mild faults");
        var count = 1 + (int)(draw.NextUniform() * 3);
        var faults = HiddenFault.Draw(seed, FaultKind.All.Count, ["normal", "high"]).Where(f => f.Kind.Name != Unmodelled).Take(count);
        return new(seed, [.. faults.Select(f => f with { Severity = Math.Sign(f.Severity) * draw.NextBetween(0.07, 1) })], Deck);
    }

    /// <summary>The kind of fault that no cause models.</summary>
    public const string Unmodelled = "odd-response";

    private static PracticeDeck Healthy(long seed)
    {
        var draw = new NoiseStream(seed, "proof residues");
        double Little(double most) => draw.NextBetween(-most, most);
        PracticeHead Head(PracticeHead head)
        {
            head = head with
            {
                AzimuthArcmin = Little(0.5),
                GapStaggerUm = Little(0.2),
                GapUm = draw.NextBetween(1.3, 2.0),
                Bump = new HeadBump(draw.NextBetween(0.4, 1.4), draw.NextBetween(5, 8), Shapes[(int)(draw.NextUniform() * Shapes.Length)]),
            };
            foreach (var side in new[] { PracticeSide.Left, PracticeSide.Right })
            {
                head = head.With(side, c => c with
                {
                    LevelTrimDb = Little(0.15),
                    TrebleTrimPercent = 6 + Little(3),
                    BassTrimPercent = Little(3),
                    SpacingUm = draw.NextBetween(0, 0.15),
                    NoiseDb = -72 + Little(2),
                    HumDb = [-67 + Little(3), -82 + Little(3), -71 + Little(3)],
                    CrosstalkDb = -58 + Little(3),
                });
            }

            return head;
        }

        var deck = LearnersDeck.Healthy(seed);
        return deck with
        {
            Speeds = [.. deck.Speeds.Select(s => s with { ErrorPercent = Little(0.12) })],
            Forward = Head(deck.Forward),
            Reverse = Head(deck.Reverse),
        };
    }
}
