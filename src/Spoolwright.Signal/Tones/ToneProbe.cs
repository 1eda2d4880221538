using Spoolwright.Signal.Flutter;

namespace Spoolwright.Signal.Tones;

/// <summary>
/// Measures one tone over one stretch of sound: level of each channel, phase between them, frequency. The tone is brought to 0 Hz in a band
/// wide enough for its flutter, and its magnitude averaged: a tone that wanders in frequency loses nothing. Levels and phase reach the bound
/// that noise sets (the variance of a sine fit of known frequency after [IEEE1057]).
/// </summary>
public sealed class ToneProbe
{
    private readonly double _outputRate;
    private readonly ToneDownconverter _left;
    private readonly ToneDownconverter? _right;
    private readonly List<double> _lr = [];
    private readonly List<double> _li = [];
    private readonly List<double> _rr = [];
    private readonly List<double> _ri = [];
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double _carrier;

    /// <param name="frequencyHz">The tone's frequency as seen, Hz.</param>
    /// <param name="seconds">Length of the stretch, s: a short one must do with a wider band.</param>
    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    /// <param name="channels">1 or 2.</param>
    public ToneProbe(double frequencyHz, double seconds, double sampleRateHz, int channels)
    {
        _carrier = frequencyHz;

        // Flutter of 0.1 % at up to 100 Hz needs 250 Hz beside a tone of 10 kHz and little beside a low one, where hum is near. The filter may
        // reach over a fifth of the stretch at most.
        var pass = Math.Clamp(0.1 * frequencyHz, 5, 250);
        pass = Math.Max(pass, 4.5 / (0.2 * seconds));
        pass = Math.Min(pass, 0.45 * frequencyHz);
        pass = Math.Min(pass, ((sampleRateHz / 2) - frequencyHz) * 0.45);
        var decimation = Math.Max(1, (int)(sampleRateHz / (3.05 * pass)));
        _left = new ToneDownconverter(frequencyHz, pass, 2 * pass, decimation, sampleRateHz, 75);
        _right = channels == 2 ? new ToneDownconverter(frequencyHz, pass, 2 * pass, decimation, sampleRateHz, 75) : null;
        _outputRate = _left.OutputRateHz;
        PassHz = pass;
        _re = new double[_left.MaximumOutputs(1 << 14)];
        _im = new double[_re.Length];
    }

    /// <summary>Half width of the band looked at, Hz.</summary>
    public double PassHz { get; }

    /// <summary>Takes the next frames of the stretch.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        while (left.Length > 0)
        {
            var take = Math.Min(left.Length, 1 << 14);
            Keep(_left, left[..take], _lr, _li);
            left = left[take..];
            if (_right is not null)
            {
                Keep(_right, right[..take], _rr, _ri);
                right = right[take..];
            }
        }
    }

    /// <summary>What was found, or null where the stretch was too short or too disturbed to say.</summary>
    public ToneFigures? Finish()
    {
        var n = _right is null ? _lr.Count : Math.Min(_lr.Count, _rr.Count);
        if (n < 8)
        {
            return null;
        }

        var left = Magnitudes(_lr, _li, n);
        var right = _right is null ? null : Magnitudes(_rr, _ri, n);
        var keep = Keep(left, right, n, out var kept);
        if (kept < 8 || kept < n / 2)
        {
            return null;
        }

        var seconds = kept / _outputRate;
        var l = Channel(left, keep, seconds, out var leftNoise);
        var leftFigures = l ?? new ChannelFigures(-200, 0, 0);
        ChannelFigures? rightFigures = null;
        Estimate? phase = null;
        double? wander = null;
        if (right is not null)
        {
            rightFigures = Channel(right, keep, seconds, out var rightNoise);
            if (rightFigures is not null && l is not null)
            {
                phase = Phase(keep, n, leftNoise + rightNoise);
                wander = Wander(keep, n);
            }
        }

        return new ToneFigures
        {
            FrequencyHz = _carrier + Offset(keep, n),
            Left = leftFigures,
            Right = rightFigures,
            Phase = phase,
            PhaseWander = wander,
            DroppedShare = 1 - ((double)kept / n),
            Seconds = seconds,
        };
    }

    private void Keep(ToneDownconverter converter, ReadOnlySpan<float> frames, List<double> re, List<double> im)
    {
        var n = converter.Add(frames, _re, _im);
        re.AddRange(_re.AsSpan(0, n));
        im.AddRange(_im.AsSpan(0, n));
    }

    private static double[] Magnitudes(List<double> re, List<double> im, int n)
    {
        var magnitudes = new double[n];
        for (var i = 0; i < n; i++)
        {
            magnitudes[i] = Math.Sqrt((re[i] * re[i]) + (im[i] * im[i]));
        }

        return magnitudes;
    }

    // Places where the stronger channel falls to half its middle level are dropouts, not level.
    private static bool[] Keep(double[] left, double[]? right, int n, out int kept)
    {
        double middleLeft = Median(left), middleRight = right is null ? 0 : Median(right);
        var keep = new bool[n];
        kept = 0;
        for (var i = 0; i < n; i++)
        {
            var ok = left[i] > 0.5 * middleLeft || middleLeft < 0.1 * middleRight;
            if (right is not null)
            {
                ok &= right[i] > 0.5 * middleRight || middleRight < 0.1 * middleLeft;
            }

            keep[i] = ok;
            kept += ok ? 1 : 0;
        }

        return keep;
    }

    private ChannelFigures? Channel(double[] magnitude, bool[] keep, double seconds, out double relativeNoise)
    {
        double sum = 0, scatter = 0;
        int count = 0, pairs = 0;
        var lag = (int)Math.Ceiling(_outputRate / PassHz);
        for (var i = 0; i < magnitude.Length; i++)
        {
            if (!keep[i])
            {
                continue;
            }

            sum += magnitude[i];
            count++;
            if (i >= lag && keep[i - lag])
            {
                var d = magnitude[i] - magnitude[i - lag];
                scatter += d * d;
                pairs++;
            }
        }

        relativeNoise = 0;
        var mean = sum / count;
        if (!(mean > 1e-9))
        {
            return null;
        }

        // Noise in one quadrature, from how the magnitude scatters over a time in which the tape's own level hardly moves.
        var variance = pairs > 4 ? scatter / pairs / 2 : 0;
        var amplitude = mean - Math.Min(0.3 * mean, variance / (2 * mean)); // a magnitude is lifted by the noise across it
        relativeNoise = variance / (amplitude * amplitude) / (_left.NoiseBandwidthHz * seconds);
        var density = variance / _left.NoiseBandwidthHz;
        var snr = amplitude * amplitude / 2 / Math.Max(density * 20000, 1e-30);
        return new ChannelFigures(
            20 * Math.Log10(amplitude), 2 * (20 / Math.Log(10)) * Math.Sqrt(relativeNoise), Math.Min(200, 10 * Math.Log10(snr)));
    }

    private Estimate Phase(bool[] keep, int n, double relativeNoise)
    {
        double re = 0, im = 0;
        for (var i = 0; i < n; i++)
        {
            if (keep[i])
            {
                re += (_rr[i] * _lr[i]) + (_ri[i] * _li[i]);
                im += (_ri[i] * _lr[i]) - (_rr[i] * _li[i]);
            }
        }

        return new Estimate(double.RadiansToDegrees(Math.Atan2(im, re)), 2 * double.RadiansToDegrees(Math.Sqrt(relativeNoise)));
    }

    // Phase over half a second at a time, against the whole: its spread from the 5th to the 95th percentile.
    private double? Wander(bool[] keep, int n)
    {
        var length = (int)(0.5 * _outputRate);
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
                    re += (_rr[i] * _lr[i]) + (_ri[i] * _li[i]);
                    im += (_ri[i] * _lr[i]) - (_rr[i] * _li[i]);
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
        return double.RadiansToDegrees(angles[(int)(0.95 * (angles.Count - 1))] - angles[(int)(0.05 * (angles.Count - 1))]);
    }

    // Mean frequency against the carrier, from the phase gone through, the stronger channel's.
    private double Offset(bool[] keep, int n)
    {
        var useRight = _right is not null && Power(_rr, _ri, n) > Power(_lr, _li, n);
        var (re, im) = useRight ? (_rr, _ri) : (_lr, _li);
        double turned = 0;
        var steps = 0;
        for (var i = 1; i < n; i++)
        {
            if (keep[i] && keep[i - 1])
            {
                turned += Math.Atan2((im[i] * re[i - 1]) - (re[i] * im[i - 1]), (re[i] * re[i - 1]) + (im[i] * im[i - 1]));
                steps++;
            }
        }

        return steps == 0 ? 0 : turned / steps * _outputRate / (2 * Math.PI);
    }

    private static double Power(List<double> re, List<double> im, int n)
    {
        double sum = 0;
        for (var i = 0; i < n; i++)
        {
            sum += (re[i] * re[i]) + (im[i] * im[i]);
        }

        return sum;
    }

    private static double Median(double[] values)
    {
        var sorted = (double[])values.Clone();
        Array.Sort(sorted);
        return sorted[sorted.Length / 2];
    }
}
