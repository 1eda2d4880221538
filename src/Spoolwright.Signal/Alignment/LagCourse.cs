namespace Spoolwright.Signal.Alignment;

/// <summary>How far one sound lags behind another, over time, at even steps.</summary>
/// <param name="StepSeconds">From one value to the next, s; the first stands at 0.</param>
/// <param name="Lags">Lags, s; positive: later.</param>
/// <param name="Sigmas">What each leaves open by itself, one standard deviation, s; infinite in silence, where its neighbours tell
/// it.</param>
public sealed record LagCourse(double StepSeconds, double[] Lags, double[] Sigmas)
{
    /// <summary>The lag at a time, by a straight line between two values; held at both ends.</summary>
    public double At(double seconds)
    {
        var place = Math.Clamp(seconds / StepSeconds, 0, Lags.Length - 1);
        var index = Math.Min((int)place, Lags.Length - 2);
        return index < 0 ? Lags[0] : Lags[index] + ((place - index) * (Lags[index + 1] - Lags[index]));
    }

    /// <summary>The same course without what goes faster than so many seconds.</summary>
    /// <param name="seconds">Time within which it may bend, s.</param>
    public LagCourse Slow(double seconds)
    {
        var reach = (int)Math.Round(seconds / StepSeconds);
        var weights = Sigmas.Select(s => double.IsFinite(s) ? 1.0 : 1e-3).ToArray();

        // A second difference weighted by the fourth power of the reach passes what is slower than it.
        return this with { Lags = EvenCourse.Through(Lags, weights, Math.Pow(reach / (2 * Math.PI), 4)) };
    }

    /// <summary>Mean slope by a straight line through what is known well, seconds a second, and the rms about that line, s.</summary>
    public (double Slope, double ScatterSeconds) Line()
    {
        // A sound that dies away under noise tells its lag worse and worse: what is known three times worse than half of all is left out.
        double[] known = [.. Sigmas.Where(double.IsFinite).Order()];
        var worst = known.Length == 0 ? 0 : 3 * known[known.Length / 2];
        double n = 0, x = 0, y = 0, xx = 0, xy = 0;
        for (var i = 0; i < Lags.Length; i++)
        {
            if (!(Sigmas[i] <= worst))
            {
                continue;
            }

            var t = i * StepSeconds;
            (n, x, y, xx, xy) = (n + 1, x + t, y + Lags[i], xx + (t * t), xy + (t * Lags[i]));
        }

        if (n < 3)
        {
            return (0, 0);
        }

        var slope = ((n * xy) - (x * y)) / ((n * xx) - (x * x));
        var at0 = (y - (slope * x)) / n;
        double squares = 0;
        for (var i = 0; i < Lags.Length; i++)
        {
            if (Sigmas[i] <= worst)
            {
                var rest = Lags[i] - at0 - (slope * i * StepSeconds);
                squares += rest * rest;
            }
        }

        return (slope, Math.Sqrt(squares / n));
    }
}
