using Spoolwright.Bench.Causes;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// A level that rises in steps of equal size and length: within a step it only scatters, so the curve goes through the steps' means and not
/// through time. An odd law's output is its input times a series in the input's square; its logarithm against that of the input is laid
/// through the steps near the top as a line and powers of the amplitude. What another such set says otherwise shows how much hangs on the
/// law.
/// </summary>
/// <param name="steps">Every step in turn, the rising way: its pieces' middles, s, and levels, dB.</param>
/// <param name="stepDb">Size of a step at low level, dB.</param>
internal sealed class SaturationSteps((double[] Seconds, double[] Levels)[] steps, double stepDb)
{
    // Where a level rises in steps, jumps make up so much of its rise; each is more than twice what a ramp would bring between the two
    // pieces.
    private const double JumpShare = 0.7;
    private const double LeastJumpDb = 0.4;

    // Between steps the tone may pause: pieces so much farther apart than usual lie in two steps.
    private const double PauseSeconds = 0.08;

    // A boundary that lies so far from where it ought to, in steps, is a dropout.
    private const double MostOff = 0.2;

    // What the curve goes through: down from the top, and on beyond it so many dB of input but no fewer steps; and how many numbers it has.
    // Computed on seven laws of a top: steps of half to one decibel lie within 0.0003 dB of it, of two within 0.005 dB.
    private const double DownDb = 3;
    private const double BeyondDb = 2;
    private const double BeyondSteps = 1.75;
    private const int Numbers = 6;

    // What the curve leaves open, k = 2: the other curve's distance times the step in dB [computed, without noise: root mean square
    // over places of the top within a step, on fifteen laws and steps of half to two decibels; the sharpest, a cube's, 1.2 of it at one
    // decibel and 0.9 at two], and beside it so much for a step of one decibel and less, growing with its cube.
    private const double OtherShare = 1;
    private const double OpenAtOneDb = 0.0001;

    // Steps under those of the curve tell of the noise down to here, dB: hiss weighs three times as much there.
    private const double NoiseDownDb = 10;

    // More pieces than this in a step say no more.
    private const int MostPieces = 20;

    private readonly double[] _means = [.. steps.Select(s => s.Levels.Average())];

    /// <summary>Finds steps, or null where the level runs evenly.</summary>
    /// <param name="points">All pieces, in time.</param>
    /// <param name="side">Those up to the top or from it on, wherever the level rises.</param>
    /// <param name="linear">Those of them where the level runs with the input.</param>
    /// <param name="rate">dB a second there.</param>
    public static SaturationSteps? Of(
        IReadOnlyList<(double Seconds, double LevelDb, double Length)> points, (double Seconds, double LevelDb, double Length)[] side,
        (double Seconds, double LevelDb, double Length)[] linear, double rate)
    {
        var even = Math.Abs(rate);
        var pairs = points
            .Zip(
                points.Skip(1),
                (a, b) =>
                    (Seconds: 0.5 * (a.Seconds + b.Seconds), Apart: b.Seconds - a.Seconds, Rise: Math.Sign(rate) * (b.LevelDb - a.LevelDb))
            )
            .ToArray();
        bool Jumps((double Seconds, double Apart, double Rise) p) => p.Rise > Math.Max(2 * even * p.Apart, LeastJumpDb);
        (double Seconds, double Apart, double Rise)[] Within((double Seconds, double LevelDb, double Length)[] part)
        {
            var found = pairs.Where(p => p.Seconds > part[0].Seconds && p.Seconds < part[^1].Seconds && Jumps(p)).ToArray();
            return found.Length >= 2 && found.Sum(p => p.Rise) >= JumpShare * (part.Max(p => p.LevelDb) - part.Min(p => p.LevelDb))
                ? found
                : [];
        }

        // Two or three wide steps may be all that is linear.
        var jumps = Within(linear);
        jumps = jumps.Length > 0 ? jumps : Within(side);
        if (jumps.Length == 0)
        {
            return null;
        }

        // Length of a step by the line through all boundaries, numbered by their usual distance; what lies off it is left out.
        var apart = pairs.Select(p => p.Apart).Order().ElementAt(pairs.Length / 2);
        double[] boundaries = [.. pairs.Where(p => Jumps(p) || p.Apart > apart + PauseSeconds).Select(p => p.Seconds)];
        var usual = boundaries.Zip(boundaries.Skip(1), (a, b) => b - a).Order().ElementAt((boundaries.Length - 1) / 2);
        var (start, length) = (jumps[0].Seconds, usual);
        for (var round = 0; round < 3; round++)
        {
            double[] own = [.. boundaries.Where(b => Math.Abs(((b - start) / length) - Math.Round((b - start) / length)) < MostOff)];
            double[] numbers = [.. own.Select(b => Math.Round((b - start) / length))];
            double mean = numbers.Average(), middle = own.Average(), spread = numbers.Sum(n => (n - mean) * (n - mean));
            if (spread <= 0)
            {
                return null;
            }

            length = numbers.Zip(own, (n, b) => (n - mean) * (b - middle)).Sum() / spread;
            start = middle - (mean * length);
        }

        var groups = points
            .Select(p =>
                (
                    p.Seconds,
                    p.LevelDb,
                    Number: Math.Floor((p.Seconds - start) / length),
                    Inside: (((p.Seconds - start) / length) % 1 + 1) % 1,
                    Half: 0.5 * p.Length / length
                )
            )
            .Where(p => p.Inside > p.Half && p.Inside < 1 - p.Half)
            .GroupBy(p => p.Number)
            .OrderBy(g => g.Key)
            .Select(g => (g.Key, Pieces: g.ToArray()))
            .ToArray();
        if (groups.Length < 4 || groups.Zip(groups.Skip(1), (a, b) => b.Key - a.Key).Any(d => d != 1))
        {
            return null;
        }

        (double[], double[])[] steps =
        [
            .. groups.Select(g => (g.Pieces.Select(p => p.Seconds).ToArray(), g.Pieces.Select(p => p.LevelDb).ToArray())),
        ];

        // Scatter is seen within steps only.
        if (steps.Sum(s => s.Item1.Length - 1) < 3)
        {
            return null;
        }

        steps = rate > 0 ? steps : [.. steps.Reverse()];

        // A line in time through two or three treads is flatter than their stairs: the size of a step is that between means.
        var highest = linear.Max(p => p.LevelDb);
        double[] all = [.. steps.Select(s => s.Item2.Average())];
        var means = all[..Math.Max(3, Array.FindIndex(all, m => m > highest))];
        var centre = (means.Length - 1) / 2.0;
        var stepDb = means.Select((m, i) => (i - centre) * m).Sum() / means.Select((_, i) => (i - centre) * (i - centre)).Sum();
        return stepDb > 0 ? new SaturationSteps(steps, stepDb) : null;
    }

    /// <summary>The top.</summary>
    /// <param name="pieces">What the pieces have in common.</param>
    public SaturationFit Top(WanderingLevel.Pieces pieces)
    {
        var top = Array.IndexOf(_means, _means.Max());
        int first = top, last = top;
        while (first > 0 && _means[first - 1] > _means[top] - DownDb)
        {
            first--;
        }

        var beyond = Vertex(top) + Math.Max(BeyondDb / stepDb, BeyondSteps);
        while (last < steps.Length - 1 && _means[last + 1] > _means[top] - DownDb && last + 1 <= beyond)
        {
            last++;
        }

        first = Math.Max(0, Math.Min(first, last + 1 - Numbers));
        var means = Means(first, last, top, pieces);
        var count = Math.Min(Numbers, last - first + 1);
        var (found, before) = Curve(means, first, last, top, count, LinePowers);

        // Where the level played ends near the top, noise alone bends a curve down at its end.
        if (
            top == 0
            || found.At >= _means.Length - 1
            || found.LevelDb - _means[^1] < SaturationFit.ClearFallDb + (SaturationFit.ClearlyBelow * double.Hypot(found.NoiseDb, found.OpenDb))
        )
        {
            return Rising(top, pieces);
        }

        var method = MissingFour * stepDb * stepDb;
        if (count >= 4)
        {
            method = double.Hypot(
                OpenAtOneDb * Math.Pow(Math.Max(1, stepDb), 3),
                OtherShare * stepDb * Apart(means, first, last, top, count, found)
            );
        }

        return new SaturationFit(
            found.LevelDb,
            found.NoiseDb,
            SaturationFit.Bounded(found.NoiseDb, found.OpenDb, method),
            Math.Max(0, found.LevelDb - before),
            true
        );
    }

    // About where the top lies, by a parabola.
    private double Vertex(int top)
    {
        if (top == 0 || top == steps.Length - 1)
        {
            return top;
        }

        var (left, middle, right) = (_means[top - 1], _means[top], _means[top + 1]);
        return left - (2 * middle) + right < 0 ? top + (0.5 * (left - right) / (left - (2 * middle) + right)) : top;
    }

    // The steps' means as what the noise leaves of them: one column for each step.
    // Those below tell of the noise too.
    private IReadOnlyList<WanderingLevel.Answer> Means(int first, int last, int top, WanderingLevel.Pieces pieces)
    {
        var join = (steps[first..(last + 1)].Max(s => s.Levels.Length) + MostPieces - 1) / MostPieces;
        WanderingLevel.Stretch Stretch(int from, int to)
        {
            var all = Enumerable
                .Range(from, to - from + 1)
                .SelectMany(i => Joined(i, join).Select(p => (Step: i, p.Seconds, p.LevelDb)))
                .ToArray();
            return new WanderingLevel.Stretch(
                [.. all.Select(p => p.Seconds)], [.. all.Select(p => p.LevelDb)], [.. all.Select(p => _means[p.Step] - _means[top])],
                [.. Enumerable.Range(from, to - from + 1).Select(i => all.Select(p => p.Step == i ? 1.0 : 0).ToArray())]);
        }

        var low = first;
        while (low > 0 && _means[low - 1] > _means[top] - NoiseDownDb && first - low <= last - first)
        {
            low--;
        }

        return WanderingLevel.Of(low < first ? [Stretch(first, last), Stretch(low, first - 1)] : [Stretch(first, last)], pieces.Joined(join));
    }

    private IEnumerable<(double Seconds, double LevelDb)> Joined(int step, int count)
    {
        var (seconds, levels) = steps[step];
        return levels.Length < count
            ? [(seconds.Average(), levels.Average())]
            : Enumerable
                .Range(0, levels.Length / count)
                .Select(i => (seconds[(i * count)..((i + 1) * count)].Average(), levels[(i * count)..((i + 1) * count)].Average()));
    }

    // Highest value of the curve through the steps' means within one step of the top, and its value one decibel of input before.
    private (SaturationTop Top, double Before) Curve(
        IReadOnlyList<WanderingLevel.Answer> means,
        int first,
        int last,
        int top,
        int count,
        Func<double, int, double[]> powers
    )
    {
        double Db(double place) => (place - top) * stepDb;
        var even = EvenRows.Of([.. Enumerable.Range(first, last - first + 1).Select(i => powers(Db(i), count))]);
        double[] Row(double place) => even.Of(powers(Db(place), count));
        WanderingLevel.Answer[] curves =
        [
            .. means.Select(m => Through(m, [.. Enumerable.Range(first, last - first + 1).Select(i => Row(i))])),
        ];
        var found = SaturationTop.Of(curves, Row, Math.Max(first, top - 1), Math.Min(last, top + 1), 0);
        var place = found.At - (1 / stepDb);
        return (found, place < first ? Between(place) : curves.Sum(c => c.Weight * LowerFactor.Dot(Row(place), c.Numbers)));
    }

    // How far the other curve's top lies from this one's, less what noise alone makes of it: both go through the same means, each with
    // weights of its own.
    private double Apart(IReadOnlyList<WanderingLevel.Answer> means, int first, int last, int top, int count, SaturationTop found)
    {
        var likely = means.MaxBy(m => m.Weight)!;
        var n = last - first + 1;
        double[] Weights(Func<double, int, double[]> powers)
        {
            double Db(double place) => (place - top) * stepDb;
            var even = EvenRows.Of([.. Enumerable.Range(first, n).Select(i => powers(Db(i), count))]);
            double[][] rows = [.. Enumerable.Range(first, n).Select(i => even.Of(powers(Db(i), count)))];
            var there = even.Of(powers(Db(found.At), count));
            return [.. Enumerable.Range(0, n).Select(k =>
                LowerFactor.Dot(there, Through(likely with { Numbers = [.. Enumerable.Range(0, n).Select(i => i == k ? 1.0 : 0)] }, rows).Numbers))];
        }

        double[] apart = [.. Weights(LinePowers).Zip(Weights(BentLinePowers), (a, b) => a - b)];
        double noise = 0;
        foreach (var answer in means)
        {
            for (var i = 0; i < n; i++)
            {
                noise += answer.Weight * apart[i] * LowerFactor.Dot(apart, answer.Covariance.AsSpan(i * n, n));
            }
        }

        var distance = Curve(means, first, last, top, count, BentLinePowers).Top.LevelDb - found.LevelDb;
        return Math.Sqrt(Math.Max(0, (distance * distance) - noise));
    }

    // Least squares through the means, each as certain as it is.
    private static WanderingLevel.Answer Through(WanderingLevel.Answer means, double[][] rows)
    {
        double[][] columns = [.. Enumerable.Range(0, rows[0].Length).Select(k => rows.Select(r => r[k]).ToArray())];
        var fit = GeneralizedLeastSquares.Of(new LowerFactor(means.Covariance, rows.Length), columns, means.Numbers);
        return means with { Numbers = fit.Numbers, Covariance = fit.Covariance() };
    }

    // 1, x, and the amplitude's powers from the second on; x in dB over the top, thirds of it so that all are of one size.
    private static double[] LinePowers(double db, int count) =>
        [.. Enumerable.Range(0, count).Select(k => k < 2 ? Math.Pow(db / 3, k) : Math.Pow(10, k * db / 20))];

    // 1, x, x², and the amplitude's powers from the first on.
    private static double[] BentLinePowers(double db, int count) =>
        [.. Enumerable.Range(0, count).Select(k => k < 3 ? Math.Pow(db / 3, k) : Math.Pow(10, (k - 2) * db / 20))];

    // Still rising, or so flat that noise may have made the fall: the laws say how far it goes on.
    private SaturationFit Rising(int top, WanderingLevel.Pieces pieces)
    {
        var last = _means.Length - 1;
        var first = Math.Max(0, last + 1 - SaturationLaws.Count(stepDb));
        var means = Means(first, last, top, pieces);
        if (
            SaturationLaws.Of(
                [.. Enumerable.Range(first, last - first + 1).Select(i => (i - last) * stepDb)],
                _means[first..],
                means) is not { } found
        )
        {
            double[] Only(double place) => [.. Enumerable.Range(first, last - first + 1).Select(i => i == Math.Round(place) ? 1.0 : 0)];
            var own = SaturationTop.Of(means, Only, top, top, 0);
            var rise = top == 0 ? 0 : Math.Max(0, _means[top] - _means[top - 1]);
            var (beyond, open) = SaturationFit.Beyond(_means[top], rise, rise / stepDb, top < 2 ? rise : _means[top - 1] - _means[top - 2]);
            return new SaturationFit(beyond, double.Hypot(own.NoiseDb, own.OpenDb), open, rise / stepDb, false);
        }

        var slope = Math.Max(0, found.Slope);
        return slope < SaturationFit.ReachedSlope
            ? new SaturationFit(found.LevelDb, found.NoiseDb, found.OpenDb, slope, false)
            : new SaturationFit(_means[top], found.NoiseDb, 0, slope, false);
    }

    // Where a fourth step is missing, the parabola alone is off by so much for a step of one decibel, growing with its square [computed: a
    // cube's].
    private const double MissingFour = 0.015;

    private double Between(double x)
    {
        var low = Math.Clamp((int)Math.Floor(x), 0, _means.Length - 2);
        return _means[low] + ((x - low) * (_means[low + 1] - _means[low]));
    }
}
