namespace Spoolwright.Signal.Tones;

/// <summary>Phase of right minus left at one tone.</summary>
/// <param name="FrequencyHz">The tone's frequency as played, Hz.</param>
/// <param name="Degrees">Within ±180°.</param>
/// <param name="NoiseDegrees">k = 2.</param>
public readonly record struct TonePhase(double FrequencyHz, double Degrees, double NoiseDegrees);

/// <summary>
/// The one delay between two channels that all tones agree on. Each tone's phase allows a delay for every whole cycle; the delay sought is
/// the one near which all of them have one. x_R(t) = x_L(t − τ), phase = −360·f·τ.
/// </summary>
public sealed record SkewFit
{
    // Phase by which two channels' electronics may differ at one tone without being a delay, standard deviation. Common practice, no
    // source.
    private const double ModelDegrees = 3;

    // A delay is believed when the next best explains the phases worse by this much (in squares of standard deviations).
    private const double Convincing = 12;

    /// <summary>τ, µs; positive: right later.</summary>
    public required double Microseconds { get; init; }

    /// <summary>k = 2, µs: noise, and the scatter of the tones about one delay where that is larger.</summary>
    public required double UncertaintyMicroseconds { get; init; }

    /// <summary>Whether the tones allow one cycle only; otherwise the delay nearest to none was taken.</summary>
    public required bool Resolved { get; init; }

    /// <summary>The next best delay, µs; null where there is none in reach.</summary>
    public required double? RivalMicroseconds { get; init; }

    /// <summary>Whole cycles added to each tone's phase, in the order given.</summary>
    public required IReadOnlyList<int> Cycles { get; init; }

    /// <summary>Each tone's delay with that cycle, µs, in the order given.</summary>
    public required IReadOnlyList<double> Delays { get; init; }

    /// <summary>Each tone's share in <see cref="Microseconds"/>, together 1.</summary>
    public required IReadOnlyList<double> Weights { get; init; }

    /// <summary>Largest distance of a tone's phase from the delay's, degrees: a large one tells of channels whose equalization
    /// differs.</summary>
    public required double LargestResidualDegrees { get; init; }

    /// <summary>Whether the right channel's polarity is the other way round: all phases agree on a delay only with half a turn
    /// added.</summary>
    public required bool PolarityReversed { get; init; }

    /// <summary>Fits one delay.</summary>
    /// <param name="phases">At least one tone.</param>
    /// <param name="reachMicroseconds">Largest delay considered, either way.</param>
    public static SkewFit Of(IReadOnlyList<TonePhase> phases, double reachMicroseconds)
    {
        if (phases.Count == 0)
        {
            throw new ArgumentException("At least one tone's phase is needed.", nameof(phases));
        }

        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(reachMicroseconds);
        var straight = Search(phases, reachMicroseconds, 0);
        var reversed = Search(phases, reachMicroseconds, 180);
        var lowest = phases.Min(p => p.FrequencyHz);
        var distinct = phases.Max(p => p.FrequencyHz) / lowest > 1.5;

        // Half a turn at every tone is a swapped polarity, if tones far apart say so together.
        var flip = distinct && phases.Count >= 3 && reversed[0].Cost + 60 < straight[0].Cost;
        var found = flip ? reversed : straight;
        var best = found[0];
        var rival = found.Count > 1 ? found[1] : ((double Tau, double Cost)?)null;
        var resolved = rival is null || rival.Value.Cost - best.Cost > Convincing;
        if (!resolved)
        {
            best = found.Where(f => f.Cost - found[0].Cost <= Convincing).MinBy(f => Math.Abs(f.Tau));
            rival = found.Where(f => Math.Abs(f.Tau - best.Tau) > 1e-9).Cast<(double Tau, double Cost)?>().FirstOrDefault();
        }

        return Refine(phases, best.Tau, flip ? 180 : 0, resolved, rival?.Tau * 1e6);
    }

    // All delays that are locally best, the best first.
    private static List<(double Tau, double Cost)> Search(IReadOnlyList<TonePhase> phases, double reachMicroseconds, double offset)
    {
        var highest = phases.Max(p => p.FrequencyHz);
        var step = 1 / (highest * 40);
        var count = (int)Math.Ceiling(reachMicroseconds * 1e-6 / step);
        var found = new List<(double Tau, double Cost)>();
        double before = double.PositiveInfinity, here = Cost(phases, -(count + 1) * step, offset);
        for (var i = -count; i <= count + 1; i++)
        {
            var next = Cost(phases, i * step, offset);
            if (here <= before && here <= next && i - 1 >= -count && i - 1 <= count)
            {
                found.Add(Polish(phases, (i - 1) * step, step, offset));
            }

            (before, here) = (here, next);
        }

        if (found.Count == 0)
        {
            found.Add((0, Cost(phases, 0, offset)));
        }

        found.Sort((a, b) => a.Cost.CompareTo(b.Cost));
        return found;
    }

    private static (double Tau, double Cost) Polish(IReadOnlyList<TonePhase> phases, double tau, double step, double offset)
    {
        double weights = 0, sum = 0;
        foreach (var p in phases)
        {
            // Residual in seconds, weighed by how well a second is known at that tone.
            var sigma = Sigma(p) / (360 * p.FrequencyHz);
            var residual = -Wrap(p.Degrees + offset + (360 * p.FrequencyHz * tau)) / (360 * p.FrequencyHz);
            weights += 1 / (sigma * sigma);
            sum += residual / (sigma * sigma);
        }

        var better = tau + Math.Clamp(sum / weights, -step, step);
        return (better, Cost(phases, better, offset));
    }

    private static SkewFit Refine(IReadOnlyList<TonePhase> phases, double tau, double offset, bool resolved, double? rival)
    {
        var cycles = new int[phases.Count];
        var delays = new double[phases.Count];
        for (var i = 0; i < phases.Count; i++)
        {
            var p = phases[i];
            var wanted = -360 * p.FrequencyHz * tau;
            cycles[i] = (int)Math.Round((wanted - p.Degrees - offset) / 360);
            delays[i] = -(p.Degrees + offset + (360.0 * cycles[i])) / (360 * p.FrequencyHz);
        }

        // Weighed by noise; if the tones scatter beyond that, by noise and a common phase error that makes the scatter what was seen.
        var freedom = delays.Length - 1;
        var model = 0.0;
        var mean = Mean(phases, delays, model, out var weights);
        if (freedom > 0 && Scatter(phases, delays, mean, model) > freedom + (2.5 * Math.Sqrt(2.0 * freedom)))
        {
            for (model = 0.001; model < 180 && Scatter(phases, delays, mean, model) > freedom; model *= 1.1)
            {
                mean = Mean(phases, delays, model, out weights);
            }
        }

        // A scatter known from few tones is itself uncertain: Student's factor for 95 % instead of 2.
        var total = weights.Sum();
        var factor = model > 0 ? Student(freedom) : 2;
        var largest = 0.0;
        foreach (var (p, i) in phases.Select((p, i) => (p, i)))
        {
            largest = Math.Max(largest, Math.Abs((delays[i] - mean) * 360 * p.FrequencyHz));
        }

        return new SkewFit
        {
            Microseconds = mean * 1e6,
            UncertaintyMicroseconds = factor * 1e6 / Math.Sqrt(total),
            Resolved = resolved,
            RivalMicroseconds = rival,
            Cycles = cycles,
            Delays = [.. delays.Select(d => d * 1e6)],
            Weights = [.. weights.Select(w => w / total)],
            LargestResidualDegrees = largest,
            PolarityReversed = offset != 0,
        };
    }

    private static double Mean(IReadOnlyList<TonePhase> phases, double[] delays, double model, out double[] weights)
    {
        weights = [.. phases.Select(p => Weight(p, model))];
        double sum = 0, total = 0;
        for (var i = 0; i < delays.Length; i++)
        {
            sum += weights[i] * delays[i];
            total += weights[i];
        }

        return sum / total;
    }

    private static double Scatter(IReadOnlyList<TonePhase> phases, double[] delays, double mean, double model)
    {
        double chi = 0;
        for (var i = 0; i < delays.Length; i++)
        {
            chi += Weight(phases[i], model) * (delays[i] - mean) * (delays[i] - mean);
        }

        return chi;
    }

    // 97.5th percentile of Student's law; computed.
    private static double Student(int freedom) => freedom switch
    {
        1 => 12.71,
        2 => 4.303,
        3 => 3.182,
        4 => 2.776,
        5 => 2.571,
        6 => 2.447,
        7 => 2.365,
        8 => 2.306,
        _ => 1.96 + (2.7 / freedom),
    };

    private static double Weight(TonePhase p, double model)
    {
        var noise = Math.Max(p.NoiseDegrees / 2, 1e-7);
        var sigma = Math.Sqrt((noise * noise) + (model * model)) / (360 * p.FrequencyHz);
        return 1 / (sigma * sigma);
    }

    private static double Cost(IReadOnlyList<TonePhase> phases, double tau, double offset)
    {
        double cost = 0;
        foreach (var p in phases)
        {
            var r = Wrap(p.Degrees + offset + (360 * p.FrequencyHz * tau)) / Sigma(p);
            cost += r * r;
        }

        return cost;
    }

    private static double Sigma(TonePhase p) => Math.Sqrt((p.NoiseDegrees * p.NoiseDegrees / 4) + (ModelDegrees * ModelDegrees));

    private static double Wrap(double degrees) => Math.IEEERemainder(degrees, 360);
}
