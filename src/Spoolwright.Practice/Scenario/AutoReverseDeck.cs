using Spoolwright.Practice.Deck;

namespace Spoolwright.Practice.Scenario;

/// <summary>
/// An invented quarter-track deck that plays both ways at 9.525 and 19.05 cm/s: one capstan through a belt from one motor, a pinch roller
/// for each direction.
/// </summary>
public static class AutoReverseDeck
{
    public const string Name = "Marrowby 74 R";
    public const string SerialNumber = "740 1183";

    public const double CapstanMm = 8;
    public const double PinchRollerMm = 30;
    public const double IdlerMm = 12;

    /// <summary>The motor turns so often while the capstan turns once: 25.0 turns a second at 19.05 cm/s.</summary>
    public const double MotorTurnsPerCapstanTurn = 3.3;
    public const double BeltMm = 350;
    public const double MotorPulleyMm = 12;
    public const double HubRadiusMm = 30;

    /// <summary>Radius of a full 18 cm reel of 366 m, 50 µm, mm.</summary>
    public const double FullRadiusMm = 82;

    /// <summary>What turns, by the names that a profile of the deck should use, with its waves on the speed in good order.</summary>
    public static IReadOnlyList<PracticePart> HealthyParts { get; } =
    [
        new() { Name = "capstan", Kind = PracticePartKind.Capstan, DiameterMm = CapstanMm, EccentricityUm = 0.7, Harmonics = [new(2, 0.006, 40)] },
        new()
        {
            Name = "forward pinch roller", Kind = PracticePartKind.PinchRoller, DiameterMm = PinchRollerMm, EccentricityUm = 20, Coupling = 0.08,
            Direction = TapeDirection.Forward,
        },
        new()
        {
            Name = "reverse pinch roller",
            Kind = PracticePartKind.PinchRoller,
            DiameterMm = PinchRollerMm,
            EccentricityUm = 18,
            Coupling = 0.08,
            Direction = TapeDirection.Reverse,
        },
        new() { Name = "supply reel", Kind = PracticePartKind.SupplyReel, Harmonics = [new(1, 0.010)] },
        new() { Name = "take-up reel", Kind = PracticePartKind.TakeUpReel, Harmonics = [new(1, 0.006)] },
        new() { Name = "motor", Kind = PracticePartKind.Motor, TurnsPerCapstanTurn = MotorTurnsPerCapstanTurn, Harmonics = [new(1, 0.006)] },
        new()
        {
            Name = "belt", Kind = PracticePartKind.Belt, BeltLengthMm = BeltMm, PulleyDiameterMm = MotorPulleyMm, PulleyOn = "motor",
            Harmonics = [new(1, 0.008)],
        },
        new() { Name = "idler", Kind = PracticePartKind.Idler, DiameterMm = IdlerMm, EccentricityUm = 2, Coupling = 0.15 },
    ];

    /// <summary>
    /// As it came in: 0.8 % slow, dirt on the capstan, the reverse pinch roller gone hard, the head askew by 2.5' forward and 6' in
    /// reverse, dirt on its left forward gap, the right treble trimmer low, the left channel 1.4 dB too loud, hum.
    /// </summary>
    public static PracticeDeck AsFound { get; } = Build(
        errorPercent: -0.8,
        parts:
        [
            .. HealthyParts.Select(p => p.Name switch
            {
                "capstan" => p with { EccentricityUm = 3.2, Harmonics = [new(2, 0.030, 40), new(3, 0.015, 100)] },
                "reverse pinch roller" => p with { EccentricityUm = 60, Coupling = 0.3, Harmonics = [new(2, 0.05, 70), new(3, 0.02, 10)] },
                "belt" => p with { Harmonics = [new(1, 0.02)] },
                _ => p,
            }),
        ],
        wanderPercent: 0.03,
        forward: Channels(PracticeHead.QuarterTrack(TapeDirection.Forward), 1.4, 0, TrebleAsSet, TrebleAsSet - 20, -47, -55) with { AzimuthArcmin = 2.5 },
        reverse: Channels(PracticeHead.QuarterTrack(TapeDirection.Reverse), 1.4, 0, TrebleAsSet, TrebleAsSet - 20, -47, -55) with { AzimuthArcmin = -6 },
        forwardDirt: 2) with
    { Recorder = AutoReverseRecorder.AsFound };

    /// <summary>As it leaves: everything within small residues.</summary>
    public static PracticeDeck AsLeft { get; } =
        Build(
            errorPercent: 0.06,
            parts: HealthyParts,
            wanderPercent: 0.018,
            forward: Channels(PracticeHead.QuarterTrack(TapeDirection.Forward), 0.05, -0.04, TrebleAsSet + 1, TrebleAsSet, -66, -70) with
            {
                AzimuthArcmin = 0.2,
            },
            reverse: Channels(PracticeHead.QuarterTrack(TapeDirection.Reverse), 0.08, -0.07, TrebleAsSet, TrebleAsSet + 2, -66, -70) with
            {
                AzimuthArcmin = -0.25,
            },
            forwardDirt: 0
        ) with
        {
            Recorder = AutoReverseRecorder.AsLeft,
        };

    // Treble trimmer at which the loss in the gap is made up for.
    private const double TrebleAsSet = 6;

    private static PracticeDeck Build(
        double errorPercent,
        IReadOnlyList<PracticePart> parts,
        double wanderPercent,
        PracticeHead forward,
        PracticeHead reverse,
        double forwardDirt
    ) =>
        new()
        {
            Name = Name,
            Seed = 7401183,
            Speeds =
            [
                new PracticeSpeed(9.525, RestorersTapes.Curve(9.525), errorPercent * 1.1),
                new PracticeSpeed(19.05, RestorersTapes.Curve(19.05), errorPercent),
            ],
            Forward = forward.With(
                PracticeSide.Left,
                c => c with { SpacingUm = c.SpacingUm + forwardDirt, SpacingWanderUmRms = forwardDirt * 0.04 }
            ),
            Reverse = reverse,
            Transport = new PracticeTransport
            {
                Parts = parts,
                Noises = [new SpeedNoise("bearings", 0.5, 25, wanderPercent), new SpeedNoise("scrape", 500, 2500, wanderPercent * 0.8)],
                DriftPercentPerMinute = wanderPercent * 0.3,
                WeaveArcminRms = 0.3,
            },
        };

    private static PracticeHead Channels(
        PracticeHead head, double leftDb, double rightDb, double leftTreble, double rightTreble, double mainsDb, double thirdDb) =>
        head with
        {
            GapUm = 1.6,
            GapStaggerUm = 0.15,
            Bump = new HeadBump(1.0, 6.5, HeadBumpShape.Single),
            Left = head.Left with
            {
                LevelTrimDb = leftDb,
                TrebleTrimPercent = leftTreble,
                SpacingUm = 0.05,
                HumDb = [mainsDb, mainsDb - 16, thirdDb],
            },
            Right = head.Right with
            {
                LevelTrimDb = rightDb,
                TrebleTrimPercent = rightTreble,
                SpacingUm = 0.06,
                HumDb = [mainsDb - 3, mainsDb - 18, thirdDb - 2],
            },
        };
}
