using Spoolwright.Bench.Controls;
using Spoolwright.Practice.Controls;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;
using Spoolwright.Signal.Programs;
using Control = Spoolwright.Bench.Controls.Control;
using ControlKind = Spoolwright.Bench.Controls.ControlKind;

namespace Spoolwright.App.Tests.Turning;

/// <summary>What is to be brought right on the practice deck: controls by the last words of their names, and what they must
/// reach.</summary>
/// <param name="Word">Name of the job.</param>
/// <param name="Controls">Last word of each control's name, and its kind.</param>
/// <param name="Quantities">Quantity, unit, half width of the limits and standard deviation of a reading, for each target.</param>
internal sealed record TurnJob(
    string Word,
    IReadOnlyList<(string Name, ControlKind Kind)> Controls,
    IReadOnlyList<(string Quantity, string Unit, double HalfWidth, double Noise)> Quantities
)
{
    private static readonly (string, ControlKind) Bias = ("bias", ControlKind.Bias);
    private static readonly (string, ControlKind) RecordLevel = ("record-level", ControlKind.RecordLevel);
    private static readonly (string, ControlKind) RecordEqualization = ("record-eq", ControlKind.RecordEqualization);
    private static readonly (string, string, double, double) Level = ("tone-level", "dBFS", 0.25, 0.03);
    private static readonly (string, string, double, double) Response = ("response", "dB", 0.5, 0.04);
    private static readonly (string, string, double, double) Overbias = ("overbias", "dB", 0.5, 0.05);

    /// <summary>Jobs of one control, then of two that interact.</summary>
    public static IReadOnlyList<TurnJob> All { get; } =
    [
        new("azimuth", [("play-azimuth", ControlKind.AzimuthScrew)], [("time-skew", "µs", 3, 0.3)]),
        new("playback-level", [("play-level", ControlKind.PlaybackLevel)], [Level]),
        new("playback-equalization", [("play-eq", ControlKind.PlaybackEqualization)], [Response]),
        new("bias", [Bias], [Overbias]),
        new("record-level", [RecordLevel], [Level]),
        new("record-equalization", [RecordEqualization], [Response]),
        new("bias+record-equalization", [Bias, RecordEqualization], [Overbias, Response]),
        new("record-level+bias", [RecordLevel, Bias], [Level, Overbias]),
    ];

    /// <summary>Moves it may take (design, section 9).</summary>
    public int MostMoves => Controls.Count == 1 ? 4 : 6;

    public bool OfRecord => Controls[0].Name.StartsWith("record", StringComparison.Ordinal) || Controls[0].Name == "bias";

    public override string ToString() => Word;
}

/// <summary>
/// One specimen of the practice deck, right but for the controls of a job, which start anywhere within their stops. Turned with an erring
/// hand through the deck's own control board, so with its backlash and its spread of effects.
/// </summary>
internal sealed class TurnedDeck
{
    // A hand turns to within 1 % of what it meant to.
    private const double HandError = 0.01;

    private readonly Random _random;
    private readonly string[] _names;

    /// <param name="job">What is to be brought right.</param>
    /// <param name="seed">Draws the specimen, the condition, the starts and the hand's errors.</param>
    public TurnedDeck(TurnJob job, int seed)
    {
        Job = job;
        _random = new Random(seed);
        var right = AutoReverseDeck.AsLeft with { Seed = _random.NextInt64(1, 1L << 40) };
        Pass = new DeckPass(
            _random.Next(2) == 0 ? TapeDirection.Forward : TapeDirection.Reverse,
            _random.Next(2) == 0 ? PracticeSide.Left : PracticeSide.Right,
            _random.Next(2) == 0 ? AutoReverseRecorder.Normal : AutoReverseRecorder.High,
            _random.Next(3) == 0 ? 9.525 : 19.05);
        Board = new ControlBoard(right);
        _names = [.. job.Controls.Select(c => Pass.NameOf(c.Name))];
        var aims = DeckTruth.Of(right, Pass, job);
        foreach (var name in _names)
        {
            var control = Board.Control(name);
            Board.Turn(name, control.LeastTurns + (_random.NextDouble() * (control.MostTurns - control.LeastTurns)) - control.ShaftTurns);
        }

        Controls =
        [
            .. job.Controls.Select(
                (c, i) =>
                {
                    var control = Board.Control(_names[i]);
                    return new Control
                    {
                        Name = control.Name,
                        Unit = TurnUnit.Turn,
                        From = control.LeastTurns,
                        To = control.MostTurns,
                        Start = control.ShaftTurns,
                        Kind = c.Kind,
                        Approach = (_random.Next(2) * 2) - 1,
                    };
                }
            ),
        ];
        Targets =
        [
            .. job.Quantities.Select(
                (q, t) =>
                    new TurnTarget
                    {
                        Quantity = q.Quantity,
                        Unit = q.Unit,
                        Min = aims[t] - q.HalfWidth,
                        Max = aims[t] + q.HalfWidth,
                        FrequencyHz = q.Quantity switch
                        {
                            "tone-level" => 1000,
                            "time-skew" => null,
                            "response" => Pass.ResponseHz(job.OfRecord),
                            _ => Pass.TrebleHz,
                        },
                    }
            ),
        ];
    }

    public TurnJob Job { get; }

    /// <summary>Under which condition it is adjusted.</summary>
    public DeckPass Pass { get; }

    public ControlBoard Board { get; }

    public IReadOnlyList<Control> Controls { get; }

    public IReadOnlyList<TurnTarget> Targets { get; }

    /// <summary>What is true now.</summary>
    public double[] Truth => DeckTruth.Of(Board.Deck, Pass, Job);

    /// <summary>Whether every target truly lies within its limits now.</summary>
    public bool Holds => Truth.Select((v, t) => Targets[t].Holds(v)).All(h => h);

    /// <summary>Truth with the noise of a reading.</summary>
    public IReadOnlyList<ControlReading> ReadWithNoise() =>
        [.. Truth.Select((v, t) => new ControlReading(v + (Job.Quantities[t].Noise * Gaussian()), 2 * Job.Quantities[t].Noise))];

    /// <summary>Follows the advice until it says stop or the moves are used up.</summary>
    /// <param name="read">A reading for each target.</param>
    public (TurnAdvice Last, Adjustment Adjustment) Follow(Func<IReadOnlyList<ControlReading>> read)
    {
        var adjustment = new Adjustment { Controls = Controls, Targets = Targets, AsFound = read() };
        while (true)
        {
            var advice = TurnAdvisor.Advise(adjustment);
            // Measured again where told to: no move, a new reading in the place of the last.
            for (var again = 0; again < 2 && advice.Outcome == TurnOutcome.MeasureAgain; again++)
            {
                adjustment = adjustment.Moves.Count == 0
                    ? adjustment with { AsFound = read() }
                    : adjustment with { Moves = [.. adjustment.Moves.SkipLast(1), adjustment.Moves[^1] with { After = read() }] };
                advice = TurnAdvisor.Advise(adjustment);
            }

            if (advice.Outcome != TurnOutcome.Turn || adjustment.Moves.Count == Job.MostMoves)
                return (advice, adjustment);
            var legs = advice.LegsFor(Controls);
            Turn(legs);
            adjustment = adjustment.With(new TurnMove(legs, read()));
        }
    }

    private void Turn(IReadOnlyList<IReadOnlyList<double>> legs)
    {
        for (var c = 0; c < legs.Count; c++)
        {
            foreach (var leg in legs[c])
                Board.Turn(_names[c], leg * (1 + (HandError * Gaussian())));
        }
    }

    private double Gaussian() => Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());
}

/// <summary>Which cell of the deck is adjusted.</summary>
internal sealed record DeckPass(TapeDirection Direction, PracticeSide Side, string Setting, double SpeedCmPerS)
{
    /// <summary>Tone for bias: 10 kHz, and half of it at the lower speed.</summary>
    public double TrebleHz => SpeedCmPerS > 15 ? 10000 : 5000;

    /// <summary>
    /// Tone for equalization: 10 kHz, and at the lower speed 5 kHz on the left and 4 kHz on the right; of the multitone, which has them
    /// apart, the nearest.
    /// </summary>
    public double ResponseHz(bool ofRecord)
    {
        var asked =
            TrebleHz > 5000 ? TrebleHz
            : Side == PracticeSide.Right ? 4000
            : 5000;
        return !ofRecord || TrebleHz > 5000
            ? asked
            : (Side == PracticeSide.Right ? ProgramList.RightTones : ProgramList.LeftTones).MinBy(f => Math.Abs(f - asked));
    }

    /// <summary>The tape that the setting was laid out for.</summary>
    public TapeStock Stock => Setting == AutoReverseRecorder.High ? TapeStock.Ardleigh : TapeStock.Hembury;

    /// <summary>The control of that last word in this cell.</summary>
    public string NameOf(string word)
    {
        var way = Direction == TapeDirection.Forward ? "forward" : "reverse";
        var side = Side == PracticeSide.Left ? "left" : "right";
        return word switch
        {
            "play-azimuth" => $"{way}.{word}",
            "play-level" or "play-eq" => $"{way}.{side}.{word}",
            _ => $"{way}.{side}.{Setting}.{word}",
        };
    }
}
