using Spoolwright.Signal.Flutter;

namespace Spoolwright.Signal.Tones;

/// <summary>Phase between the channels with what is uncertain of it, and its slow movement.</summary>
internal readonly record struct PhaseFigures(Estimate Phase, double Method, Estimate? Wander);

/// <summary>Level, phase and frequency of a tone at 0 Hz with their uncertainties.</summary>
/// <param name="outputRate">Rate of the outputs, Hz.</param>
/// <param name="noiseBandwidthHz">Width of the ideal band with as much noise, Hz.</param>
/// <param name="likeness">Correlation of the filter's noise over <see cref="Lag"/> outputs and over twice as many.</param>
/// <param name="unseen">Share of the tone's length that was not looked at, 0 to 1.</param>
internal sealed class ToneStatistics(double outputRate, double noiseBandwidthHz, (double Near, double Far) likeness, double unseen)
{
    // Spread between the 5th and the 95th percentile of a normal law, in standard deviations.
    private const double NormalSpread = 3.2897;

    private const double LeastSteady = 0.85;

    // Outputs come about as fast as their bandwidth; two apart they hold independent noise.
    public const int Lag = 2;

    /// <summary>Level by its power, noise taken off, and the variance of one output's quadrature over the tone's power; null where there is
    /// no tone.</summary>
    public (ChannelFigures Figures, double Single)? Channel(BasebandRecord z, bool[] keep)
    {
        var power = new double[z.Count];
        double sum = 0, squares = 0, fourths = 0;
        var count = 0;
        for (var i = 0; i < power.Length; i++)
        {
            power[i] = (z.Re[i] * z.Re[i]) + (z.Im[i] * z.Im[i]);
            if (keep[i])
            {
                sum += Math.Sqrt(power[i]);
                squares += power[i];
                fourths += power[i] * power[i];
                count++;
            }
        }

        // The square of the mean over the mean square is 1 for a tone and π/4 for noise alone, whose magnitude follows Rayleigh's law.
        var mean = sum / count;
        if (!(mean > 1e-9) || mean * mean * count < LeastSteady * squares)
        {
            return null;
        }

        var all = squares / count;
        var variance = Noise(all, Scatter(power, keep));
        var tone = Math.Max(all - (2 * variance), 0.3 * all);
        var single = variance / tone;
        var relative = single / (noiseBandwidthHz * count / outputRate);
        var scatter = 4 * variance * (tone + variance); // of the power of tone and noise together
        var movement = Math.Max(0, (fourths / count) - (all * all) - (scatter * Chance(count))) / (4 * tone * tone);
        var snr = tone / 2 / Math.Max(variance / noiseBandwidthHz * 20000, 1e-30);
        var dbPerShare = 20 / Math.Log(10);
        var figures = new ChannelFigures(
            10 * Math.Log10(tone),
            2 * dbPerShare * Math.Sqrt(relative * Widening(single)),
            Math.Min(200, 10 * Math.Log10(snr)),
            2 * dbPerShare * Unseen(movement)
        );
        return (figures, single);
    }

    // Noise in one quadrature, s, from the power's second differences. The power of a tone A² in noise scatters by 4A²s + 4s², of which the
    // first part hangs together over outputs as the noise does, and the second as its square; with the mean power A² + 2s that is a square
    // equation in s, exact for normal noise however loud. (Magnitudes scatter less beside loud noise, and would leave the tone up to a
    // third of a decibel too high.)
    private double Noise(double mean, double scatter)
    {
        var linear = Second(likeness.Near, likeness.Far);
        var square = Second(likeness.Near * likeness.Near, likeness.Far * likeness.Far);
        double a = (8 * linear) - (4 * square), b = 4 * mean * linear;
        return 2 * scatter / (b + Math.Sqrt(Math.Max(0, (b * b) - (4 * a * scatter))));
    }

    private static double Second(double near, double far) => 6 - (8 * near) + (2 * far);

    // By how much the variance of the level exceeds that in faint noise, r the noise of one output's quadrature over the tone's power: the
    // mean power's variance, that of the noise taken off, and what the two have in common, by the cumulants of a tone in noise [computed].
    private static double Widening(double r)
    {
        if (r < 1e-6)
        {
            return 1;
        }

        double second = 4 * r * (1 + r), third = 8 * r * r * (3 + (2 * r)), fourth = 96 * r * r * r * (2 + r), lean = 1 + (2 * r);
        return ((lean * lean * second) + (0.97 * second * second) + (0.25 * fourth) - (lean * third)) / (4 * r);
    }

    /// <summary>What the movement of the one channel's level against the other's leaves open of their balance, k = 2, dB.</summary>
    public double Balance(BasebandRecord left, BasebandRecord right, bool[] keep, double single)
    {
        double[] l = left.Magnitudes(), r = right.Magnitudes();
        double sum = 0, squares = 0;
        var count = 0;
        for (var i = 0; i < l.Length; i++)
        {
            if (keep[i] && l[i] > 0 && r[i] > 0)
            {
                var ratio = Math.Log(l[i] / r[i]);
                sum += ratio;
                squares += ratio * ratio;
                count++;
            }
        }

        var movement = Math.Max(0, (squares / count) - Math.Pow(sum / count, 2) - (single * Chance(count)));
        return 2 * (20 / Math.Log(10)) * Unseen(movement);
    }

    /// <summary>Phase of right minus left from the mean of the one times the other's conjugate: flutter falls out.</summary>
    public PhaseFigures Phase(BasebandRecord left, BasebandRecord right, bool[] keep, double single)
    {
        int n = left.Count, count = 0;
        double re = 0, im = 0;
        for (var i = 0; i < n; i++)
        {
            if (keep[i])
            {
                var (a, b) = Product(left, right, i);
                re += a;
                im += b;
                count++;
            }
        }

        var middle = Math.Atan2(im, re);
        double squares = 0;
        for (var i = 0; i < n; i++)
        {
            if (keep[i])
            {
                var (a, b) = Product(left, right, i);
                var d = Math.IEEERemainder(Math.Atan2(b, a) - middle, 2 * Math.PI);
                squares += d * d;
            }
        }

        var relativeVariance = single / (noiseBandwidthHz * count / outputRate);
        var movement = Math.Max(0, (squares / count) - (single * Chance(count)));
        return new PhaseFigures(
            new Estimate(double.RadiansToDegrees(middle), 2 * double.RadiansToDegrees(Math.Sqrt(relativeVariance))),
            2 * double.RadiansToDegrees(Unseen(movement)),
            Wander(left, right, keep, relativeVariance * count / outputRate));
    }

    /// <summary>Frequency above the carrier, Hz: the slope of a straight line through the phase.</summary>
    public static double Offset(BasebandRecord z, bool[] keep, double outputRate)
    {
        Span<double> re = z.Re, im = z.Im;
        double phase = 0, slope = 0, turned = 0;
        int last = -1, steps = 0;
        double n = 0, st = 0, sp = 0, stt = 0, stp = 0;
        var middle = (keep.Length - 1) / 2.0;
        for (var i = 0; i < keep.Length; i++)
        {
            if (!keep[i])
            {
                continue;
            }

            if (last >= 0)
            {
                // Over a dropout the tone is taken to go on as it did.
                var d = Math.Atan2((im[i] * re[last]) - (re[i] * im[last]), (re[i] * re[last]) + (im[i] * im[last]));
                var expected = slope * (i - last);
                phase += expected + Math.IEEERemainder(d - expected, 2 * Math.PI);
                if (i - last == 1)
                {
                    turned += d;
                    slope = turned / ++steps;
                }
            }

            last = i;
            var t = i - middle;
            n++;
            st += t;
            sp += phase;
            stt += t * t;
            stp += t * phase;
        }

        var spread = (n * stt) - (st * st);
        return spread > 0 ? ((n * stp) - (st * sp)) / spread * outputRate / (2 * Math.PI) : 0;
    }

    // Mean square of second differences over a time in which the tape's own level hardly moves: noise alone.
    private double Scatter(double[] values, bool[] keep)
    {
        double sum = 0;
        var count = 0;
        for (var i = 2 * Lag; i < values.Length; i++)
        {
            if (keep[i] && keep[i - Lag] && keep[i - (2 * Lag)])
            {
                var d = values[i] - (2 * values[i - Lag]) + values[i - (2 * Lag)];
                sum += d * d;
                count++;
            }
        }

        return count < 3 ? 0 : sum / count;
    }

    // A scatter of n values stands above its mean by more than this factor one time in forty by chance; only what goes beyond is movement.
    private static double Chance(int n) => 1 + (2 * Math.Sqrt(2.0 / n));

    // The two ends not looked at may lie off the rest by as much as the rest moves: between √½ of their share, each by itself, and the
    // whole, both alike. Calibrated on level movement from 0.1 to 3 Hz (ToneCoverageTests).
    private double Unseen(double movement) => unseen * 0.8 * Math.Sqrt(movement);

    private Estimate? Wander(BasebandRecord left, BasebandRecord right, bool[] keep, double relativeVarianceOfSecond)
    {
        int n = left.Count, length = (int)(0.5 * outputRate);
        if (length < 2 || n < 6 * length)
        {
            return null;
        }

        var angles = new List<double>();
        double previous = 0;
        for (var start = 0; start + length <= n; start += Math.Max(1, length / 2))
        {
            double re = 0, im = 0;
            for (var i = start; i < start + length; i++)
            {
                if (keep[i])
                {
                    var (a, b) = Product(left, right, i);
                    re += a;
                    im += b;
                }
            }

            if (re == 0 && im == 0)
            {
                continue;
            }

            var angle = Math.Atan2(im, re);
            angle = angles.Count == 0 ? angle : previous + Math.IEEERemainder(angle - previous, 2 * Math.PI);
            angles.Add(angle);
            previous = angle;
        }

        if (angles.Count < 5)
        {
            return null;
        }

        angles.Sort();
        var spread = angles[(int)(0.95 * (angles.Count - 1))] - angles[(int)(0.05 * (angles.Count - 1))];
        var sigma = Math.Sqrt(relativeVarianceOfSecond / (length / outputRate));

        // Noise widens the spread as it widens a normal law, by squares. Each of the two ends is off by one block's noise: √2 of it,
        // derived, and 0.7 of that where noise is all there is, calibrated. Near the noise the root makes little of much: the whole range
        // it allows is stated.
        var noise = NormalSpread * sigma;
        double Own(double of) => Math.Sqrt(Math.Max(0, (of * Math.Abs(of)) - (noise * noise)));
        var share = Math.Min(1, noise * noise / Math.Max(spread * spread, 1e-300));
        var off = 2 * Math.Sqrt(2) * sigma * (1 - (0.3 * share));
        var own = Own(spread);
        return new Estimate(
            double.RadiansToDegrees(own),
            double.RadiansToDegrees(Math.Max(Own(spread + off) - own, own - Own(spread - off)))
        );
    }

    private static (double Re, double Im) Product(BasebandRecord left, BasebandRecord right, int i) =>
        ((right.Re[i] * left.Re[i]) + (right.Im[i] * left.Im[i]), (right.Im[i] * left.Re[i]) - (right.Re[i] * left.Im[i]));
}
