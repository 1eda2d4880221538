using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Standards;
using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// A curve of third harmonic against level by least squares, and where it passes a share. Three things scatter a point about it: hiss,
/// known by what stands between the harmonics; the tape's wander, which moves the level and not the share, alike in neighbours; and
/// whatever else, of which nothing is known. How strong the second and third are is told by likelihood, their answers weighed.
/// </summary>
/// <param name="points">Those near the share.</param>
/// <param name="share">The share looked for.</param>
/// <param name="row">What the curve is made of at so many dB over the middle.</param>
/// <param name="terms">How many numbers it has.</param>
/// <param name="wander">How strong the tape's wander may be.</param>
internal sealed class ThirdHarmonicCurve(
    ThirdHarmonicPoint[] points,
    double share,
    Func<double, double[]> row,
    int terms,
    LevelWander wander
)
{
    private static readonly double Ln = Math.Log(10) / 10;

    // Over which the curve's slope is taken, dB.
    private const double SlopeDb = 0.05;

    // Rounds in which noise, slope and curve come to agree.
    private const int Rounds = 3;

    // That nothing else scatters the points counts beforehand this many times that something does.
    private const double OddsOfNone = 8;
    private const double ExtraStep = 3;
    private const int MostExtras = 14;

    // Rounding, as a variance of ln k; strengths and answers of less weight change nothing.
    private const double Least = 1e-12;
    private const double LeastWeight = 1e-4;

    // That the level in time says nothing of the wander; then its strength goes in such steps, up to so many times what is seen.
    private const double FreeShare = 0.05;
    private const double FreeStep = 3;
    private const double FreeMost = 10;

    private const double Step = 0.02;

    private readonly double _middle = points.MinBy(p => Math.Abs(Math.Log(p.Ratio / share))).LevelDb;
    private readonly Dictionary<int, double[]> _wanders = [];
    private readonly double[] _own = [.. points.Select(p => Math.Pow(p.Noise / (2 * p.Ratio), 2))];
    private readonly double[] _values = new double[points.Length];
    private readonly double[] _slopes = [.. points.Select(_ => Ln)];
    private EvenRows? _even;
    private double[][] _columns = [];

    private readonly record struct Answer(double Log, double[] Numbers, double[] Covariance, double Freedom);

    /// <summary>The level at which it passes the share, with what scatter leaves uncertain of it; no level where it does not.</summary>
    public ThirdHarmonicFit Solve()
    {
        _even = EvenRows.Of([.. points.Select(p => row(p.LevelDb - _middle))]);
        var rows = points.Select(p => Row(p.LevelDb)).ToArray();
        _columns = [.. Enumerable.Range(0, terms).Select(k => rows.Select(r => r[k]).ToArray())];
        var usual = wander.Known.MaxBy(s => s.Weight);
        Answer best = default;
        for (var round = 0; round <= Rounds; round++)
        {
            for (var i = 0; i < points.Length; i++)
            {
                Correct(i, round == 0 ? null : best.Numbers);
            }

            best = Fit(usual, 0);
        }

        if (Crossing(best.Numbers) is not { } start)
        {
            return default;
        }

        var answers = new List<(double Log, double Level, double Variance)>();
        var extras = Extras(best);
        foreach (var strength in Strengths(best))
        {
            for (var e = 0; e < extras.Length; e++)
            {
                var answer = Fit(strength, extras[e]);
                if (Near(answer.Numbers, start) is { } level)
                {
                    var prior = strength.Weight * (e == 0 ? OddsOfNone * Math.Max(1, extras.Length - 1) : 1);
                    answers.Add((Math.Log(prior) + answer.Log, level, Variance(answer, level)));
                }
            }
        }

        if (answers.Count == 0)
        {
            return default;
        }

        var most = answers.Max(a => a.Log);
        var sum = answers.Sum(a => Math.Exp(a.Log - most));
        var mean = answers.Sum(a => Math.Exp(a.Log - most) / sum * a.Level);
        var half = NormalMixture.HalfWidth([.. answers.Select(a => (Math.Exp(a.Log - most) / sum, a.Level - mean, a.Variance))]);
        double low = points.Min(p => p.LevelDb), high = points.Max(p => p.LevelDb);
        return new ThirdHarmonicFit(mean, half, 0, Math.Max(0, Math.Max(low - mean, mean - high)));
    }

    // The curve at a level, ln k. One level alone says nothing of the slope: at low level the share goes with the square of the amplitude.
    private double At(double db, double[] numbers) => LowerFactor.Dot(Row(db), numbers) + Known(db);

    private double Known(double db) => terms == 1 ? Ln * (db - _middle) : 0;

    private double[] Row(double db) => _even!.Of(row(db - _middle));

    private double Slope(double db, double[] numbers) => (At(db + SlopeDb, numbers) - At(db - SlopeDb, numbers)) / (2 * SlopeDb);

    // Noise by the curve's ratio and not by the point's own: a point that noise pulled down would count for less than one pushed up. The
    // logarithm of a noisy amplitude, noise's square taken out, lies low by its variance. Where the level moves within a point its mean
    // share is that of a higher level: of a power s + 1 of the amplitude by s·(s + 1)/2 of the variance.
    private void Correct(int i, double[]? numbers)
    {
        var p = points[i];
        if (numbers is not null)
        {
            _slopes[i] = Slope(p.LevelDb, numbers);
            var ratio = Math.Clamp(Math.Exp(At(p.LevelDb, numbers)), 0.5 * p.Ratio, 2 * p.Ratio);
            _own[i] = Math.Pow(p.Noise / (2 * ratio), 2);
        }

        var s = 2 * _slopes[i] / Ln;
        _values[i] = Math.Log(p.Ratio) - Known(p.LevelDb) + _own[i] - (0.5 * s * (s + 1) * p.Moved * Ln * Ln / 4);
    }

    private Answer Fit(LevelWander.Strength strength, double extra)
    {
        var n = points.Length;
        var covariance = new double[n * n];
        var wanders = Wanders(strength);
        for (var i = 0; i < n && strength.Db2 > 0; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                covariance[(i * n) + j] = strength.Db2 * _slopes[i] * _slopes[j] * wanders[(i * n) + j];
            }
        }

        for (var i = 0; i < n; i++)
        {
            covariance[(i * n) + i] += _own[i] + extra + Least;
        }

        var fit = GeneralizedLeastSquares.Of(new LowerFactor(covariance, n), _columns, _values);
        return new Answer(
            0.5 * fit.Likelihood,
            fit.Numbers,
            fit.Covariance(),
            strength.Db2 > 0 ? strength.Freedom : double.PositiveInfinity
        );
    }

    private double[] Wanders(LevelWander.Strength strength)
    {
        if (strength.Db2 > 0 && !_wanders.ContainsKey(strength.Kind))
        {
            _wanders[strength.Kind] = wander.Kinds.Covariance([.. points.Select(p => (p.Seconds, p.Length))], strength.Kind);
        }

        return strength.Db2 > 0 ? _wanders[strength.Kind] : [];
    }

    // What the level in time says, and by a share that it says nothing: a hand moved it, or the tape wanders more here than elsewhere. Then
    // the wander is of any strength, from what noise would hide up to what the points scatter in all.
    private IEnumerable<LevelWander.Strength> Strengths(Answer best)
    {
        var free = points.Length > terms && wander.Kinds.Count > 0 ? FreeShare : 0;
        foreach (var known in wander.Known.Where(s => s.Weight > LeastWeight))
        {
            yield return known with { Weight = (1 - free) * known.Weight };
        }

        if (free > 0)
        {
            var slope = _slopes.Order().ElementAt(_slopes.Length / 2);
            var least = 0.1 * _own.Average() / (slope * slope);
            var most = Math.Max(3 * least, FreeMost * points.Average(p => Math.Pow(Left(p, best), 2)) / (slope * slope));
            var steps = (int)Math.Ceiling(Math.Log(most / least) / Math.Log(FreeStep)) + 1;
            foreach (var kind in WanderKinds.Usual)
            {
                for (var k = 0; k < steps; k++)
                {
                    yield return new LevelWander.Strength(
                        free / WanderKinds.Usual.Count / steps, kind, least * Math.Pow(FreeStep, k), double.PositiveInfinity);
                }
            }
        }
    }

    private double Left(ThirdHarmonicPoint p, Answer best) => Math.Log(p.Ratio) - At(p.LevelDb, best.Numbers);

    // From a tenth of the usual noise up to what the points scatter in all.
    private double[] Extras(Answer best)
    {
        if (points.Length <= terms)
        {
            return [0];
        }

        var usual = Math.Max(Least, _own.Order().ElementAt(_own.Length / 2));
        var most = 3 * points.Average(p => Math.Pow(Left(p, best), 2));
        var list = new List<double> { 0 };
        for (var extra = Math.Max(0.1 * usual, most / Math.Pow(ExtraStep, MostExtras)); extra < most; extra *= ExtraStep)
        {
            list.Add(extra);
        }

        return [.. list];
    }

    // Far from the points a curve may cross once more: the crossing nearest to where they show it counts.
    private double? Crossing(double[] numbers)
    {
        double Over(double db) => At(db, numbers) - Math.Log(share);
        double low = points.Min(p => p.LevelDb), high = points.Max(p => p.LevelDb);
        double? found = null;
        double a = Over(low - DistortionPractice.MostExtrapolatedDb);
        for (var at = low - DistortionPractice.MostExtrapolatedDb; at < high + DistortionPractice.MostExtrapolatedDb; at += Step)
        {
            var b = Over(at + Step);
            var level = at + (Step * a / (a - b));
            if (a <= 0 && b > 0 && (found is null || Math.Abs(level - _middle) < Math.Abs(found.Value - _middle)))
            {
                found = level;
            }

            a = b;
        }

        return found;
    }

    private double? Near(double[] numbers, double start)
    {
        var level = start;
        for (var round = 0; round < 20; round++)
        {
            var step = (At(level, numbers) - Math.Log(share)) / Slope(level, numbers);
            level -= step;
            if (!(Math.Abs(level - start) < DistortionPractice.MostExtrapolatedDb))
            {
                return null;
            }

            if (Math.Abs(step) < 1e-7)
            {
                break;
            }
        }

        return Slope(level, numbers) > 0 ? level : null;
    }

    private double Variance(Answer answer, double level)
    {
        var at = Row(level);
        double sum = 0;
        for (var a = 0; a < terms; a++)
        {
            for (var b = 0; b < terms; b++)
            {
                sum += at[a] * at[b] * answer.Covariance[(a * terms) + b];
            }
        }

        // The wander's strength is known by some degrees of freedom only.
        return sum * Math.Pow(Confidence.Factor(answer.Freedom) / 2 / Slope(level, answer.Numbers), 2);
    }
}
