using Spoolwright.Bench.Causes;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// A tone's level in time, laid through columns by least squares under noise of two kinds: hiss, which stands in each piece by itself
/// and weighs more where the tone is low, and a tape's slow wander, as strong in every octave from the capture's own length on. How
/// strong the wander is against the hiss, and how fast it gets, nobody knows: each answer on a grid is weighed by its likelihood, the
/// columns' numbers left free (restricted likelihood, the textbook's) and the scale of both nearly so. Noise slower than the capture is
/// in no figure.
/// </summary>
internal static class WanderingLevel
{
    /// <summary>A stretch of time with columns of its own.</summary>
    /// <param name="Seconds">Middles of the pieces, s, in turn.</param>
    /// <param name="LevelDb">Their levels.</param>
    /// <param name="HissLevelDb">The tone's own level there, dB over that of the top, by which hiss counts.</param>
    /// <param name="Columns">What the level is made of, each as long as the others.</param>
    public sealed record Stretch(double[] Seconds, double[] LevelDb, double[] HissLevelDb, double[][] Columns);

    /// <summary>The pieces' common figures.</summary>
    /// <param name="Seconds">From one to the next, s.</param>
    /// <param name="Likeness">How much alike hiss is in neighbours that touch: frames overlap.</param>
    /// <param name="CaptureSeconds">How long the tone was followed, s.</param>
    /// <param name="Spread">Variance of the moments that count in one piece, s².</param>
    /// <param name="HissDb">What the noise beside the tone makes one piece scatter at the tone's highest level, dB.</param>
    public readonly record struct Pieces(double Seconds, double Likeness, double CaptureSeconds, double Spread, double HissDb)
    {
        /// <summary>So many neighbours made one.</summary>
        public Pieces Joined(int count) => this with
        {
            Seconds = count * Seconds,
            Likeness = Likeness / (count + (2 * (count - 1) * Likeness)),
            Spread = Spread + (Seconds * Seconds * ((count * count) - 1) / 12),
            HissDb = HissDb * Math.Sqrt(count + (2 * (count - 1) * Likeness)) / count,
        };
    }

    /// <summary>What one strength of the wander makes of the first stretch.</summary>
    /// <param name="Weight">Share of all answers, their sum 1.</param>
    /// <param name="Numbers">One for each column.</param>
    /// <param name="Covariance">Of them, row by row, dB².</param>
    /// <param name="Freedom">Degrees of freedom that the noise is known by.</param>
    /// <param name="Squares">Sum of squares that is left, on an even scale.</param>
    public sealed record Answer(double Weight, double[] Numbers, double[] Covariance, double Freedom, double Squares);

    // Variance of the wander in an octave over that of hiss in a piece of the length below.
    private static readonly double[] Strengths = [0, 0.03, 0.1, 0.3, 1, 3, 10, 30, 100, 300, 1e3, 1e4, 1e5, 1e6, 1e7];
    private const double UnitSeconds = 0.05;

    // That there is no wander counts beforehand this many times any other: one too weak to be seen is taken for none.
    private const double OddsOfNone = 8;

    // What stands beside the tone tells how strong hiss is under it, as well as so many pieces would: it need not be of one strength at all
    // frequencies.
    private const double HissFreedom = 20;

    // Where the wander's octaves end, as shares of the pieces' rate: what goes on faster has little left in their means. Nobody knows
    // where a tape's end, and each counts beforehand as any other.
    private static readonly double[] Ends = [0.15, 0.6, 2.4];

    // Rounding scatters a piece by so much, dB: sound without noise can be fitted too.
    private const double LeastHissDb = 1e-5;

    /// <summary>All answers.</summary>
    /// <param name="stretches">The first is asked for, the others tell of the noise.</param>
    /// <param name="pieces">Their common figures.</param>
    public static IReadOnlyList<Answer> Of(IReadOnlyList<Stretch> stretches, Pieces pieces)
    {
        var ofStretches = stretches.Select(s => Wander(s.Seconds, pieces)).ToArray();
        var wanders = Ends.Select((_, e) => ofStretches.Select(w => w[e]).ToArray()).ToArray();
        var answers = new List<(double LogLikelihood, Answer Answer)>();

        // Where there is none it has no end.
        foreach (var (strength, wander) in Strengths.SelectMany(s => wanders.Take(s == 0 ? 1 : Ends.Length).Select(w => (s, w))))
        {
            double squares = HissFreedom * Math.Pow(Math.Max(pieces.HissDb, LeastHissDb), 2), logs = 0, freedom = HissFreedom;
            double[] numbers = [], information = [];
            for (var i = 0; i < stretches.Count; i++)
            {
                var (s, n, p) = (stretches[i], stretches[i].Seconds.Length, stretches[i].Columns.Length);
                var covariance = Hiss(s, pieces);
                for (var k = 0; k < covariance.Length; k++)
                {
                    covariance[k] += strength * (pieces.Seconds / UnitSeconds) * wander[i][k];
                }

                var fit = GeneralizedLeastSquares.Of(new LowerFactor(covariance, n), s.Columns, s.LevelDb);
                squares += fit.Squares;
                logs += fit.LogDeterminants;
                freedom += n - p;
                if (i == 0)
                {
                    (numbers, information) = (fit.Numbers, fit.Covariance());
                }
            }

            var prior = strength == 0 ? Math.Log(OddsOfNone * (Strengths.Length - 1) * Ends.Length) : 0;
            var scale = squares / freedom;
            answers.Add(
                (
                    prior - (0.5 * (logs + (freedom * Math.Log(squares)))),
                    new Answer(0, numbers, [.. information.Select(v => v * scale)], freedom, squares)
                )
            );
        }

        var best = answers.Max(a => a.LogLikelihood);
        var sum = answers.Sum(a => Math.Exp(a.LogLikelihood - best));
        return [.. answers.Select(a => a.Answer with { Weight = Math.Exp(a.LogLikelihood - best) / sum })];
    }

    private static double[] Hiss(Stretch s, Pieces pieces)
    {
        var n = s.Seconds.Length;
        var sigma = s.HissLevelDb.Select(db => Math.Pow(10, -db / 20)).ToArray();
        var covariance = new double[n * n];
        for (var i = 0; i < n; i++)
        {
            covariance[(i * n) + i] = sigma[i] * sigma[i];
            if (i > 0 && Math.Abs(s.Seconds[i] - s.Seconds[i - 1]) < 1.3 * pieces.Seconds)
            {
                covariance[(i * n) + i - 1] = pieces.Likeness * sigma[i] * sigma[i - 1];
            }
        }

        return covariance;
    }

    // Fading parts with corners an octave apart, each of variance 1: their means over pieces, closed form; one for each end.
    private static double[][] Wander(double[] seconds, Pieces pieces)
    {
        var n = seconds.Length;
        var (covariance, list, hz) = (new double[n * n], new double[Ends.Length][], 1 / pieces.CaptureSeconds);
        for (var e = 0; e < Ends.Length; e++)
        {
            for (; hz < Ends[e] / pieces.Seconds; hz *= 2)
            {
                var x = 2 * Math.PI * hz * pieces.Seconds;
                double alone = 2 / (x * x) * (x - 1 + Math.Exp(-x)), apart = (2 * (Math.Cosh(x) - 1)) / (x * x);
                for (var i = 0; i < n; i++)
                {
                    for (var j = i - 1; j >= 0; j--)
                    {
                        var part = apart * Math.Exp(-x * Math.Max(1, Math.Abs(seconds[i] - seconds[j]) / pieces.Seconds));
                        covariance[(i * n) + j] += part;
                        if (part < Forgotten * alone)
                        {
                            break;
                        }
                    }

                    covariance[(i * n) + i] += alone;
                }
            }

            list[e] = [.. covariance];
        }

        return list;
    }

    // What is less alike is left out; those still farther away are less alike again.
    private const double Forgotten = 1e-6;
}
