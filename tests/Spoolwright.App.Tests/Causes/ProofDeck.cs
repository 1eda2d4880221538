using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Hidden;
using Spoolwright.Practice.Waves;

namespace Spoolwright.App.Tests.Causes;

/// <summary>
/// A deck of the proof: one of a make with residues of a careful bench in everything, head shapes and gap factors of its own, and so many
/// faults hidden in it.
/// </summary>
internal sealed class ProofDeck
{
    private static readonly HeadBumpShape[] Shapes = Enum.GetValues<HeadBumpShape>();

    private ProofDeck(long seed, IReadOnlyList<HiddenFault> faults, PracticeDeck? specimen = null)
    {
        (Seed, Faults) = (seed, faults);
        _specimen = specimen ?? Healthy(seed);
        Deck = faults.Aggregate(_specimen, (deck, fault) => fault.Into(deck));
    }

    private readonly PracticeDeck _specimen;

    public long Seed { get; }

    public IReadOnlyList<HiddenFault> Faults { get; }

    public PracticeDeck Deck { get; }

    /// <summary>The same deck with one of its faults mended.</summary>
    public PracticeDeck Without(HiddenFault mended) =>
        Faults.Where(f => f != mended).Aggregate(_specimen, (deck, fault) => fault.Into(deck));

    /// <summary>A healthy deck.</summary>
    public static ProofDeck Sound(long seed) => new(seed, []);

    /// <summary>A deck with one to three faults; one deck in eight has one more that no cause models.</summary>
    public static ProofDeck Faulty(long seed)
    {
        var draw = new NoiseStream(seed, "how many faults");
        var count = 1 + (int)(draw.NextUniform() * 3);
        var odd = draw.NextUniform() < 0.125;
        var faults = HiddenFault.Draw(seed, FaultKind.All.Count, ["normal", "high"]);
        return new(
            seed,
            [.. faults.Where(f => f.Kind.Name != Unmodelled).Take(count), .. faults.Where(f => odd && f.Kind.Name == Unmodelled)]
        );
    }

    /// <summary>This deck with one to three plain faults more.</summary>
    public ProofDeck Plain(long seed)
    {
        var count = 1 + (int)(new NoiseStream(seed, "plain faults").NextUniform() * 3);
        return new(
            seed,
            [.. HiddenFault.Draw(seed, FaultKind.All.Count, ["normal", "high"]).Where(f => f.Kind.Name != Unmodelled).Take(count)],
            Deck
        );
    }

    /// <summary>
    /// This deck with faults as the knowledge says they are met: at each place by the cause's own chance, in sizes spread as its amounts
    /// are (two thirds within a ratio of 1.9 of the typical one, which is nine tenths of what severity 1 makes). A probability is right or
    /// wrong only beside the priors that it was reckoned from.
    /// </summary>
    public ProofDeck AsStated(long seed)
    {
        var draw = new NoiseStream(seed, "faults as stated");
        var faults = new List<HiddenFault>();
        foreach (var kind in FaultKind.All)
        {
            var prior = ProofTally.CauseOf(kind.Name)?.Prior ?? UnmodelledPrior;
            foreach (var place in Places(kind))
            {
                var (chance, size, sign) = (draw.NextUniform(), draw.NextGaussian(), draw.NextUniform() < 0.5 && kind.IsSigned ? -1 : 1);
                if (chance < prior)
                    faults.Add(new HiddenFault(kind, place, sign * Math.Clamp(0.9 * Math.Exp(Math.Log(1.9) * size), 0.05, 3.5)));
            }
        }

        return new(seed, faults, Residues(Deck, seed));
    }

    /// <summary>This deck with up to three faults more, of any kind alike, their severity even from a fifteenth of a plain fault's to its
    /// greatest: not as the knowledge says.</summary>
    public ProofDeck Mild(long seed)
    {
        var draw = new NoiseStream(seed, "mild faults");
        var count = (int)(draw.NextUniform() * 4);
        var faults = HiddenFault.Draw(seed, FaultKind.All.Count, ["normal", "high"]).Where(f => f.Kind.Name != Unmodelled).Take(count);
        return new(
            seed,
            [.. faults.Select(f => f with { Severity = Math.Sign(f.Severity) * draw.NextBetween(0.07, 2) })],
            Residues(Deck, seed)
        );
    }

    // What the program takes for the chance of something that no cause describes, per channel.
    private const double UnmodelledPrior = 0.02;

    private static IEnumerable<FaultPlace> Places(FaultKind kind) =>
        from direction in kind.HasDirection ? new TapeDirection?[] { TapeDirection.Forward, TapeDirection.Reverse } : [null]
        from side in kind.HasSide ? new PracticeSide?[] { PracticeSide.Left, PracticeSide.Right } : [null]
        from setting in kind.HasSetting ? new string?[] { "normal", "high" } : [null]
        select new FaultPlace(direction, side, setting);

    // Sound decks differ: what a careful bench leaves in each, drawn by spreads of the size that the knowledge states.
    private static PracticeDeck Residues(PracticeDeck deck, long seed)
    {
        var draw = new NoiseStream(seed, "residues of a mild deck");
        double Little(double deviation) => deviation * draw.NextGaussian();
        double Times(double deviation) => Math.Exp(Little(deviation));
        PracticeChannel Channel(PracticeChannel c)
        {
            var hum = Little(3);
            return c with
            {
                LevelTrimDb = c.LevelTrimDb + Little(0.15),
                TrebleTrimPercent = c.TrebleTrimPercent + Little(3),
                BassTrimPercent = c.BassTrimPercent + Little(4),
                SpacingUm = c.SpacingUm + Math.Abs(Little(0.06)),
                NoiseDb = c.NoiseDb + Little(1),
                CrosstalkDb = c.CrosstalkDb + Little(1.5),
                HumDb = [.. c.HumDb.Select(h => h + hum + Little(2))],
            };
        }

        RecordChannel Recording(RecordChannel c)
        {
            foreach (var setting in new[] { "normal", "high" })
                c = c.With(setting, t => new RecordTrims(t.LevelDb + Little(0.2), t.TrebleDb + Little(0.25), t.BiasDb + Little(0.15)));
            return c with { SpacingUm = c.SpacingUm + Math.Abs(Little(0.12)) };
        }

        PracticeHead Head(PracticeHead h) =>
            h with
            {
                AzimuthArcmin = h.AzimuthArcmin + Little(0.35),
                GapUm = h.GapUm + Little(0.15),
                Left = Channel(h.Left),
                Right = Channel(h.Right),
            };
        RecordHead RecordHead(RecordHead h) =>
            h with
            {
                AzimuthArcmin = h.AzimuthArcmin + Little(0.4),
                EraseDepthDb = h.EraseDepthDb + Little(2),
                Left = Recording(h.Left),
                Right = Recording(h.Right),
            };
        return deck with
        {
            Speeds = [.. deck.Speeds.Select(v => v with { ErrorPercent = v.ErrorPercent + Little(0.08) })],
            Forward = Head(deck.Forward),
            Reverse = Head(deck.Reverse),
            Recorder = deck.Recorder!.With(TapeDirection.Forward, RecordHead).With(TapeDirection.Reverse, RecordHead),
            Transport = deck.Transport with
            {
                WeaveArcminRms = deck.Transport.WeaveArcminRms * Times(0.3),
                Noises = [.. deck.Transport.Noises.Select(n => n with { RmsPercent = n.RmsPercent * Times(0.3) })],
                Parts =
                [
                    .. deck.Transport.Parts.Select(p =>
                    {
                        var by = Times(0.3);
                        return p with
                        {
                            EccentricityUm = p.EccentricityUm * by,
                            Harmonics = [.. p.Harmonics.Select(h => h with { PercentPeak = h.PercentPeak * by })],
                        };
                    }),
                ],
            },
        };
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
