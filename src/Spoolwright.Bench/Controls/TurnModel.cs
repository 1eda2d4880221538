namespace Spoolwright.Bench.Controls;

/// <summary>
/// What is known of every control's effect on every target after the readings so far. About the place of the last reading, each target's
/// value is a plane and a parabola in the turns from there, with the rest of the true law as a spread that grows with the third power of
/// the distance: near readings count most, as in the secant method. Priors keep coefficients in their range until readings speak. Backlash
/// is guessed on a grid, each guess weighed by how well all targets agree with it. Turns are counted in parts of the control's range.
/// </summary>
internal sealed class TurnModel
{
    // Spread of a gain beforehand, in expected effects: five times as much is no surprise. Computed from what it is to cover; common
    // practice, no source.
    private const double GainSpread = 4;

    // Spread of a curvature beforehand, in gains over the range: trimmers with a bent law, and what has a peak. This and the
    // rest were chosen on plants of other laws (see the tests): more lets two uncertain readings bend the line, less overlooks a real bend.
    private const double CurvatureSpread = 2;

    // Third-order rest of the law, in gains over the range.
    private const double Rest = 2;

    // A hand turns to within about 2 % of what it meant to.
    private const double HandError = 0.02;

    // What the grid of backlash guesses leaves open, in parts of the backlash allowed for.
    private const double GuessStep = 0.1;

    private readonly Adjustment _adjustment;
    private readonly int _controls;
    private readonly double[][,] _covariance;
    private readonly double[][] _mean;
    private readonly List<FittedCoefficients>[] _fits;
    private readonly double[][] _sizes;

    private TurnModel(Adjustment adjustment)
    {
        _adjustment = adjustment;
        _controls = adjustment.Controls.Count;
        _covariance = new double[adjustment.Targets.Count][,];
        _mean = new double[adjustment.Targets.Count][];
        _fits = new List<FittedCoefficients>[adjustment.Targets.Count];
        _sizes = new double[adjustment.Targets.Count][];
        Travel = new double[_controls];
        Lost = new (double Mean, double Variance)[_controls];
        Backlash = new (double Mean, double Deviation)[_controls];
        Sides = new int[_controls][];
        Misfit = new double[adjustment.Targets.Count];
        Expected = new ExpectedEffect[adjustment.Targets.Count, _controls];
    }

    /// <summary>Coefficients of one target: value, gains, half curvatures, products.</summary>
    public static int Terms(int controls) => 1 + 2 * controls + controls * (controls - 1) / 2;

    /// <summary>How far each control's driven part has been from where it is now, in parts of its range.</summary>
    public double[] Travel { get; }

    /// <summary>What a further turn the approach's way would lose first, in parts of the range.</summary>
    public (double Mean, double Variance)[] Lost { get; }

    /// <summary>Backlash of each control, in its unit.</summary>
    public (double Mean, double Deviation)[] Backlash { get; }

    /// <summary>For each control the side it was approached from, at each round.</summary>
    public int[][] Sides { get; }

    /// <summary>For each target how badly readings and turns agree; about 1 or less where they do.</summary>
    public double[] Misfit { get; }

    /// <summary>What was expected beforehand, by target and control.</summary>
    public ExpectedEffect[,] Expected { get; }

    /// <summary>Fits the readings so far.</summary>
    public static TurnModel Of(Adjustment adjustment)
    {
        var model = new TurnModel(adjustment);
        model.Fit();
        return model;
    }

    /// <summary>Standard deviation of a reading; where its uncertainty is not known, a fifth of the half width stands in.</summary>
    public static double Deviation(TurnTarget target, ControlReading reading) =>
        Math.Max(
            reading.Uncertainty / 2 ?? (double.IsFinite(target.HalfWidth) ? target.HalfWidth / 5 : 1e-3),
            1e-9 * Math.Max(1, Math.Abs(reading.Value))
        );

    /// <summary>Effect of a control on a target where they stand now, in the target's unit for the whole range, with its standard
    /// deviation.</summary>
    public (double Value, double Deviation) Gain(int target, int control) =>
        (_mean[target][1 + control], Math.Sqrt(_covariance[target][1 + control, 1 + control]));

    /// <summary>Value of a target after turning from here, with its standard deviation.</summary>
    /// <param name="target">Which target.</param>
    /// <param name="turn">How far each control's driven part goes, in parts of its range.</param>
    public (double Value, double Deviation) After(int target, ReadOnlySpan<double> turn)
    {
        Span<double> row = stackalloc double[Terms(_controls)];
        Row(turn, row);
        var (mean, covariance) = (_mean[target], _covariance[target]);
        var (value, variance) = (0.0, 0.0);
        for (var k = 0; k < row.Length; k++)
        {
            value += row[k] * mean[k];
            for (var l = 0; l < row.Length; l++)
                variance += row[k] * covariance[k, l] * row[l];
        }

        for (var c = 0; c < _controls; c++)
        {
            if (turn[c] != 0)
                variance +=
                    Squared(mean[1 + c]) * (Lost[c].Variance + Squared(HandError * turn[c]))
                    + Squared(_sizes[target][c] * Rest * turn[c] * turn[c] * turn[c]);
        }

        return (value, Math.Sqrt(Math.Max(variance, 0)));
    }

    private static void Row(ReadOnlySpan<double> turn, Span<double> row)
    {
        row[0] = 1;
        var next = 1 + 2 * turn.Length;
        for (var c = 0; c < turn.Length; c++)
        {
            row[1 + c] = turn[c];
            row[1 + turn.Length + c] = turn[c] * turn[c] / 2;
            for (var d = 0; d < c; d++)
                row[next++] = turn[c] * turn[d];
        }
    }

    private void Fit()
    {
        var rounds = _adjustment.Moves.Count + 1;
        var guesses = new List<BacklashGuess[]> { Array.Empty<BacklashGuess>() };
        for (var c = 0; c < _controls; c++)
        {
            Sides[c] = BacklashPath.Sides(_adjustment, c);
            var moved = _adjustment.Moves.Any(m => m.Legs[c].Any(l => l != 0));
            var own = moved
                ? BacklashPath.Guesses(_adjustment.Controls[c], coarse: _controls > 1)
                : [new BacklashGuess(_adjustment.Controls[c].AllowedBacklash / 2, 0.5)];
            guesses = [.. guesses.SelectMany(g => own.Select(o => (BacklashGuess[])[.. g, o]))];
        }

        var turns = guesses.ConvertAll(g => Turns(g, rounds));
        var logWeight = new double[guesses.Count];
        for (var t = 0; t < _adjustment.Targets.Count; t++)
            FitTarget(t, turns, logWeight);
        Mix(guesses, turns, Weights(logWeight));
    }

    // By each guess: where the driven parts stood at each round, counted from the last one.
    private double[,] Turns(BacklashGuess[] guess, int rounds)
    {
        var turns = new double[rounds, _controls];
        for (var c = 0; c < _controls; c++)
        {
            var places = BacklashPath.Places(_adjustment, c, guess[c]);
            for (var i = 0; i < rounds; i++)
                turns[i, c] = (places[i] - places[^1]) / _adjustment.Controls[c].Span;
        }

        return turns;
    }

    private void FitTarget(int t, List<double[,]> turns, double[] logWeight)
    {
        var target = _adjustment.Targets[t];
        var readings = _adjustment.Moves.Select(m => m.After[t]).Prepend(_adjustment.AsFound[t]).ToArray();
        var aim = target.AimFor(readings[0].Uncertainty ?? 0);
        var gains = new double[_controls];
        for (var c = 0; c < _controls; c++)
        {
            Expected[t, c] = ControlPriors.Of(_adjustment.Controls[c], target, aim - readings[0].Value);
            gains[c] = Expected[t, c].AcrossRange;
        }

        // The size of the gains sets how much curvature and rest to allow for: found in three rounds.
        for (var round = 0; ; round++)
        {
            var fits = turns.ConvertAll(x => FitGuess(t, x, readings, gains));
            var (mean, _) = Pool(fits, Weights([.. fits.Select(f => f.LogEvidence)]));
            if (round < 2)
            {
                gains = Sizes(t, turns[turns.Count / 2], mean);
                continue;
            }

            _sizes[t] = gains;
            Misfit[t] = fits.Min(f => f.Misfit);
            for (var g = 0; g < fits.Count; g++)
                logWeight[g] += fits[g].LogEvidence;
            _fits[t] = fits;
            return;
        }
    }

    private double[] Sizes(int t, double[,] turns, double[] mean)
    {
        var sizes = new double[_controls];
        for (var c = 0; c < _controls; c++)
        {
            for (var i = 0; i < turns.GetLength(0); i++)
                sizes[c] = Math.Max(sizes[c], Math.Abs(mean[1 + c] + mean[1 + _controls + c] * turns[i, c]));
            sizes[c] = Math.Clamp(sizes[c], Expected[t, c].AcrossRange / 10, Expected[t, c].AcrossRange * 10);
        }

        return sizes;
    }

    private FittedCoefficients FitGuess(int t, double[,] turns, ControlReading[] readings, double[] gains)
    {
        var (rounds, terms) = (readings.Length, Terms(_controls));
        var design = new double[rounds, terms];
        var (values, variance) = (new double[rounds], new double[rounds]);
        Span<double> row = stackalloc double[terms];
        Span<double> turn = stackalloc double[_controls];
        for (var i = 0; i < rounds; i++)
        {
            values[i] = readings[i].Value - readings[^1].Value;
            var deviation = Deviation(_adjustment.Targets[t], readings[i]);
            variance[i] = deviation * deviation;
            for (var c = 0; c < _controls; c++)
            {
                turn[c] = turns[i, c];
                variance[i] += Squared(gains[c] * Rest * turn[c] * turn[c] * turn[c]) + Squared(gains[c]) * HandVariance(c, i);
                if (Sides[c][i] != Sides[c][^1] || Sides[c][i] == 0)
                    variance[i] += Squared(gains[c] * GuessStep * _adjustment.Controls[c].AllowedBacklash / _adjustment.Controls[c].Span);
            }

            Row(turn, row);
            for (var k = 0; k < terms; k++)
                design[i, k] = row[k];
        }

        var (expected, spread) = (new double[terms], new double[terms]);
        spread[0] = 100 * (values.Max(Math.Abs) + gains.Max());
        var next = 1 + 2 * _controls;
        for (var c = 0; c < _controls; c++)
        {
            expected[1 + c] = Expected[t, c].Sign * Expected[t, c].AcrossRange;
            spread[1 + c] = GainSpread * Expected[t, c].AcrossRange;
            spread[1 + _controls + c] = CurvatureSpread * gains[c];
            for (var d = 0; d < c; d++)
                spread[next++] = CurvatureSpread / 2 * Math.Sqrt(gains[c] * gains[d]);
        }

        var fit = BayesianFit.Solve(design, values, variance, expected, spread);
        fit.Mean[0] += readings[^1].Value;
        return fit;
    }

    // Error of the hand between a round and the last one, variance in parts of the range.
    private double HandVariance(int control, int round)
    {
        var sum = 0.0;
        for (var m = round; m < _adjustment.Moves.Count; m++)
            sum += _adjustment.Moves[m].Legs[control].Sum(l => Squared(HandError * l / _adjustment.Controls[control].Span));
        return sum;
    }

    private void Mix(List<BacklashGuess[]> guesses, List<double[,]> turns, double[] weights)
    {
        for (var t = 0; t < _mean.Length; t++)
            (_mean[t], _covariance[t]) = Pool(_fits[t], weights);
        for (var c = 0; c < _controls; c++)
        {
            var (control, way) = (_adjustment.Controls[c], _adjustment.Controls[c].Approach);
            var (lost, lostSquare, play, playSquare) = (0.0, 0.0, 0.0, 0.0);
            var dial = _adjustment.Dial(c, _adjustment.Moves.Count);
            for (var g = 0; g < guesses.Count; g++)
            {
                var (guess, w) = (guesses[g][c], weights[g]);
                var place = BacklashPath.Places(_adjustment, c, guess)[^1];
                var loss = way > 0 ? place - (dial - guess.Play) : dial - place;
                (lost, lostSquare) = (lost + w * loss, lostSquare + w * loss * loss);
                (play, playSquare) = (play + w * guess.Play, playSquare + w * guess.Play * guess.Play);
            }

            Lost[c] = (lost / control.Span, Math.Max(lostSquare - lost * lost, 0) / Squared(control.Span));
            Backlash[c] = (play, Math.Sqrt(Math.Max(playSquare - play * play, 0)));
            for (var i = 0; i < turns[0].GetLength(0); i++)
            {
                var travel = 0.0;
                for (var g = 0; g < guesses.Count; g++)
                    travel += weights[g] * Math.Abs(turns[g][i, c]);
                Travel[c] = Math.Max(Travel[c], travel);
            }
        }
    }

    private static (double[] Mean, double[,] Covariance) Pool(List<FittedCoefficients> fits, double[] weights)
    {
        var terms = fits[0].Mean.Length;
        var mean = new double[terms];
        var covariance = new double[terms, terms];
        for (var g = 0; g < fits.Count; g++)
        {
            for (var k = 0; k < terms; k++)
                mean[k] += weights[g] * fits[g].Mean[k];
        }

        for (var g = 0; g < fits.Count; g++)
        {
            if (weights[g] < 1e-9)
                continue;
            for (var k = 0; k < terms; k++)
            {
                for (var l = 0; l < terms; l++)
                    covariance[k, l] += weights[g] * (fits[g].Covariance[k, l] + (fits[g].Mean[k] - mean[k]) * (fits[g].Mean[l] - mean[l]));
            }
        }

        return (mean, covariance);
    }

    private static double[] Weights(double[] logs)
    {
        var most = logs.Max();
        var weights = logs.Select(l => Math.Exp(l - most)).ToArray();
        var sum = weights.Sum();
        return [.. weights.Select(w => w / sum)];
    }

    private static double Squared(double x) => x * x;
}
