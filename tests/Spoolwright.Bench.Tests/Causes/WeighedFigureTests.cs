using Spoolwright.Bench.Causes;
using static Spoolwright.Bench.Tests.Causes.Synthetic;

namespace Spoolwright.Bench.Tests.Causes;

/// <summary>Which readings become figures, and how many causes may be at work at once.</summary>
public class WeighedFigureTests
{
    private static readonly Condition Forward = new(Direction.Forward, 19.05);

    /// <summary>A gauge's reading is told in a second unit beside the quantity's own; taken for the first, 1.8 kgf would be a force of
    /// nothing.</summary>
    [Fact]
    public void SecondUnit_IsNoSecondFigure()
    {
        var said = Explainer.Explain(
            CauseBook.Default,
            [new MeasuredUnder("pinch-force", Forward, [Reading("pinch-force", 1800, "gf", 60), Reading("pinch-force", 1.8, "kgf", 0.06)])],
            null
        );
        Assert.Equal(1, said.Figures);
        Assert.Equal(ExplanationWord.NothingFound, said.Word);
    }

    /// <summary>A deck's own recording at the slow speed ends at some 12 kHz; that 16 kHz is gone is no fault. What falls before that
    /// is.</summary>
    [Fact]
    public void WavesTooShortForADeck_SpeakOfNoFault()
    {
        double End(double hertz) => hertz switch { 12500 => -3, 16000 => -28, _ => 0 };
        Assert.Equal(ExplanationWord.NothingFound, Explainer.Explain(CauseBook.Default, Recorded(9.525, End), null).Word);
        // One recording alone tells that something is off, not always what.
        Assert.NotEqual(
            ExplanationWord.NothingFound,
            Explainer.Explain(CauseBook.Default, Recorded(9.525, f => End(f) + Spacing(3, f, 9.525)), null).Word
        );
        Assert.NotEqual(
            ExplanationWord.NothingFound,
            Explainer.Explain(CauseBook.Default, Recorded(19.05, f => Spacing(3, f, 19.05)), null).Word
        );
    }

    /// <summary>Seven faults that all bend the same responses: a deck that has stood for thirty years has as many.</summary>
    [Fact]
    public void SevenFaultsOfOneKindOfFigure_AreAllNamed()
    {
        var slow = new Condition(Direction.Forward, 9.525);
        var (reverse, slowReverse) = (new Condition(Direction.Reverse, 19.05), new Condition(Direction.Reverse, 9.525));
        double Left(double f, double v) => Spacing(2, f, v) + Treble(v > 15 ? 50 : 90, 30, f);
        double Right(double f, double v) => Spacing(3, f, v);
        double LeftBack(double f, double v) => Spacing(2.5, f, v) + Synthetic.Azimuth(9, f, v);
        double RightBack(double f, double v) => Treble(v > 15 ? 50 : 90, -28, f) + Spacing(1.8, f, v) + Synthetic.Azimuth(9, f, v);
        MeasuredUnder Angle(Condition c, double arcmin) => new("azimuth", c, [Reading("azimuth-angle", arcmin, "arcmin", 0.5)]);
        var said = Explainer.Explain(
            CauseBook.Default,
            [
                Playback(Forward, f => Left(f, 19.05), f => Right(f, 19.05)),
                Playback(slow, f => Left(f, 9.525), f => Right(f, 9.525)),
                Angle(Forward, 0),
                Angle(slow, 0),
                Playback(reverse, f => LeftBack(f, 19.05), f => RightBack(f, 19.05)),
                Playback(slowReverse, f => LeftBack(f, 9.525), f => RightBack(f, 9.525)),
                Angle(reverse, 9),
                Angle(slowReverse, 9),
            ],
            null
        );
        var named = said
            .Findings.Where(f => f.Probability >= Explainer.Named)
            .Select(f => $"{f.Id} {f.Place.Words}")
            .Order(StringComparer.Ordinal)
            .ToArray();
        string[] hidden =
        [
            "dirty-replay-head forward, left", "dirty-replay-head forward, right", "dirty-replay-head reverse, left",
            "dirty-replay-head reverse, right", "replay-azimuth reverse", "replay-eq forward, left", "replay-eq reverse, right",
        ];
        Assert.Equal(hidden, named);
    }

    private static IReadOnlyList<MeasuredUnder> Recorded(double speed, Func<double, double> db) =>
        [
            new(
                "record",
                new Condition(Direction.Forward, speed, "normal"),
                [
                    .. new[] { Channel.Left, Channel.Right }.SelectMany(c =>
                        Synthetic.Tones.Select(f =>
                            Reading(
                                "response",
                                c == Channel.Left ? db(f) - db(1000)
                                    : f < 12000 ? 0
                                    : db(f) < -20 ? -28
                                    : -3,
                                "dB",
                                0.3,
                                c,
                                f
                            )
                        )
                    ),
                ]
            ),
        ];
}
