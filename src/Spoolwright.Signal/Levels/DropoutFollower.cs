namespace Spoolwright.Signal.Levels;

/// <summary>One channel's magnitude, followed sample by sample; see <see cref="DropoutMeter"/>.</summary>
internal sealed class DropoutFollower
{
    /// <summary>Outputs come a little faster than their bandwidth; three apart they hold nearly independent noise.</summary>
    public const int Lag = 3;

    private const double HopSeconds = 0.5;
    private const double LostSeconds = 1;

    // How well depth and length are known: what lies this near to the thresholds may as well be or not be a dropout.
    private const double DepthWithinDb = 0.3;
    private const double MillisecondsWithin = 0.4;

    // The 5th to the 95th percentile of a normal law, in standard deviations.
    private const double NormalSpread = 3.2897;
    private readonly double _amplitude;
    private readonly double _rate;
    private readonly double _start;
    private readonly double _difference;
    private readonly double _bandwidth;
    private readonly double[] _buffer;
    private readonly double[] _sorted;
    private readonly int _hop;
    private readonly int _levelLength;
    private readonly DropoutTrigger _asked;
    private readonly DropoutTrigger _loose;
    private readonly DropoutTrigger _strict;
    private readonly List<float> _levels = [];
    private int _held;
    private long _done;
    private bool _first = true;
    private double _levelSum;
    private int _levelCount;
    private double _scatter;
    private double _power;
    private long _scattered;

    public DropoutFollower(
        double amplitude,
        double depthDb,
        double milliseconds,
        double rate,
        double start,
        double difference,
        double bandwidth
    )
    {
        _amplitude = amplitude;
        _rate = rate;
        _start = start;
        _difference = difference;
        _bandwidth = bandwidth;
        _hop = (int)(HopSeconds * rate);
        _buffer = new double[3 * _hop];
        _sorted = new double[3 * _hop];
        _levelLength = (int)Math.Round(DropoutMeter.LevelSeconds * rate);
        DropoutTrigger Trigger(double side) =>
            new(depthDb + (side * DepthWithinDb), (milliseconds + (side * MillisecondsWithin)) / 1000, LostSeconds, rate, start);
        _asked = Trigger(0);
        _loose = Trigger(-1);
        _strict = Trigger(1);
    }

    public void Next(double magnitude)
    {
        _buffer[_held++] = magnitude;
        _levelSum += magnitude * magnitude;
        if (++_levelCount == _levelLength)
        {
            _levels.Add((float)(10 * Math.Log10(Math.Max(_levelSum / _levelLength, 1e-20))));
            (_levelSum, _levelCount) = (0, 0);
        }

        if (_held == _buffer.Length)
        {
            Judge(_first ? 0 : _hop, 2 * _hop);
            _first = false;
            _buffer.AsSpan(_hop).CopyTo(_buffer);
            _held -= _hop;
        }
    }

    public ChannelDropouts Finish()
    {
        if (_held > 0)
        {
            Judge(_first ? 0 : Math.Min(_hop, _held), _held);
        }

        foreach (var trigger in new[] { _asked, _loose, _strict })
        {
            trigger.End();
        }

        // Noise in one quadrature, and what of it is left in a level over 0.1 s.
        var noise = _scattered > 0 ? _scatter / _scattered / _difference : 0;
        var power = _scattered > 0 ? Math.Max(_power / _scattered, 1e-20) : 1e-20;
        var sigma = 20 / Math.Log(10) * Math.Sqrt(noise / power / (_bandwidth * DropoutMeter.LevelSeconds));
        return new ChannelDropouts
        {
            Dropouts = _asked.Found,
            Range = (_loose.Found.Count, _strict.Found.Count),
            Seconds = (_done / _rate) - _asked.LostSeconds,
            LostSeconds = _asked.LostSeconds,
            Stability = Stability(sigma),
            LevelDb = _levels,
            BandSnrDb = Math.Min(200, 10 * Math.Log10(power / Math.Max(2 * noise, 1e-20))),
        };
    }

    private void Judge(int from, int to)
    {
        _buffer.AsSpan(0, _held).CopyTo(_sorted);
        var sorted = _sorted.AsSpan(0, _held);
        sorted.Sort();

        // A tone gone for long is no new level to follow.
        var reference = Math.Clamp(sorted[_held / 2], 0.5 * _amplitude, 2 * _amplitude);
        for (var i = from; i < to; i++)
        {
            var share = _buffer[i] / reference;
            _asked.Next(share);
            _loose.Next(share);
            _strict.Next(share);
            if (i >= 2 * Lag && share > 0.7 && _buffer[i - Lag] > 0.7 * reference && _buffer[i - (2 * Lag)] > 0.7 * reference)
            {
                var d = _buffer[i] - (2 * _buffer[i - Lag]) + _buffer[i - (2 * Lag)];
                _scatter += d * d;
                _power += _buffer[i] * _buffer[i];
                _scattered++;
            }
        }

        _done += to - from;
    }

    // Levels as seen lie wider about an end than without noise, and so fewer of them move it [computed: DropoutTests].
    private const double KernelShare = 0.7;

    // Noise widens the spread as it widens a normal law, by squares. Each end is off by what noise moves it: as the levels about it are
    // moved, each by its chance to be the one at the end; where they lie farther apart than noise carries them, as the two between which
    // the end lies.
    private (double Db, double Expanded)? Stability(double sigma)
    {
        var least = 20 * Math.Log10(_amplitude) - 20;
        var levels = _levels.Where(l => l > least).Select(l => (double)l).Order().ToArray();
        if (levels.Length < 20)
        {
            return null;
        }

        double Quantile(double p)
        {
            var x = p * (levels.Length - 1);
            var i = (int)x;
            return levels[i] + ((x - i) * (levels[Math.Min(i + 1, levels.Length - 1)] - levels[i]));
        }

        var spread = Quantile(0.95) - Quantile(0.05);
        var noise = NormalSpread * sigma;
        double Own(double of) => Math.Sqrt(Math.Max(0, (of * Math.Abs(of)) - (noise * noise)));

        double Moved(double p)
        {
            double end = Quantile(p), x = p * (levels.Length - 1), share = x - Math.Floor(x), sum = 0, squares = 0;
            double width = Math.Max(KernelShare * sigma, 1e-9), nearest = levels.Min(l => Math.Abs(l - end));
            foreach (var level in levels)
            {
                var weight = Math.Exp(-0.5 * (Math.Pow((level - end) / width, 2) - Math.Pow(nearest / width, 2)));
                sum += weight;
                squares += weight * weight;
            }

            return Math.Min((share * share) + ((1 - share) * (1 - share)), squares / (sum * sum));
        }

        var off = 2 * sigma * Math.Sqrt(Moved(0.05) + Moved(0.95));
        var own = Own(spread);
        return (own, Math.Max(Own(spread + off) - own, own - Own(spread - off)));
    }
}
