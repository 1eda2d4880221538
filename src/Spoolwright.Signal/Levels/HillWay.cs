using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Spoolwright.Signal.Levels;

/// <summary>
/// The linear half of <see cref="LevelHill"/>: given a way over the hill to start from, the likelihood of a course under one
/// set of assumptions, the peak, and a better way. Level = peak − s², s the way (its square the drop, its sign the side); the
/// way's pace is a constant one, faster or slower the further it is up (the hill leans), and a deviation that fades within some
/// seconds; on the level lie white noise and a sum of fading parts an octave apart, which together are as strong in every
/// octave. A Kalman filter and its smoother (the textbook recursions, scalar observations), all variances over that of the
/// white noise, which is found last.
/// </summary>
internal sealed class HillWay
{
    private const int Peak = 0, Way = 1, Deviation = 2, Pace = 3, Lean = 4, Slow = 5;

    // Nothing is known of peak, start and pace beforehand; far more than any course leaves open, and not so far that digits go.
    private const double Vague = 1e6;

    // The hill leans: so far from the top, root dB, its way's pace follows a straight line; further out nobody says.
    private const double Farthest = 3;

    // Corners of the slow parts, Hz, an octave apart: from a part that fades within this share of the capture (a slower one lifts
    // the hill as a whole and is its level) up to here; what is faster is white to points this far apart.
    private const double SlowestFade = 0.25;
    private const double HighestCornerHz = 1.5;

    private readonly double[] _level;
    private readonly bool[] _counts;
    private readonly double _step;
    private readonly double[] _kept, _averaged;
    private readonly QuickNoise _quick;
    private readonly int _states;
    private readonly double[] _covariance, _state, _gain, _adjoint, _fade;
    private readonly double[] _gains, _wayRows, _ways, _innovations, _scales, _slopes;
    private (Motion Moving, Motion Last, int Rests) _run;

    // States in use (without slow noise its parts are none), and the length of a row: whole vectors, the rest zero.
    private int _used, _row;

    /// <summary>Takes points of a course, so many seconds apart, dB over some level near the top, which of them count, and
    /// what their own points (so many in each) tell of the noise.</summary>
    public HillWay(double[] level, bool[] counts, double stepSeconds, QuickNoise quick, int span)
    {
        _quick = quick;
        (_level, _counts, _step) = (level, counts, stepSeconds);
        var corners = new List<double>();
        var lowestHz = 1 / (2 * Math.PI * SlowestFade * level.Length * stepSeconds);
        for (var hz = lowestHz; hz < HighestCornerHz; hz *= 2)
        {
            corners.Add(2 * Math.PI * hz);
        }

        quick.Learn(lowestHz, corners[^1] / Math.PI, stepSeconds, span);
        _kept = [.. corners.Select(c => Math.Exp(-c * stepSeconds))];
        _averaged = [.. corners.Select(c => Averaged(c * stepSeconds))];
        _states = Slow + corners.Count;
        var longest = Rounded(_states);
        _covariance = new double[longest * longest];
        (_state, _gain, _adjoint, _fade) = (new double[longest], new double[longest], new double[longest], new double[longest]);
        (_gains, _wayRows) = (new double[level.Length * longest], new double[level.Length * longest]);
        (_ways, _innovations) = (new double[level.Length], new double[level.Length]);
        (_scales, _slopes) = (new double[level.Length], new double[level.Length]);
    }

    /// <summary>What one set of assumptions makes of the course.</summary>
    /// <param name="LogLikelihood">Up to a constant.</param>
    /// <param name="PeakDb">The peak.</param>
    /// <param name="PeakVariance">Of it, dB².</param>
    /// <param name="White">Variance of a point's white noise, dB².</param>
    /// <param name="End">The way at the course's end.</param>
    /// <param name="EndVariance">Of it.</param>
    /// <param name="LogScale">Logarithm of the determinant of what was expected to scatter.</param>
    public readonly record struct Outcome(
        double LogLikelihood, double PeakDb, double PeakVariance, double White, double End, double EndVariance, double LogScale);

    /// <summary>One pass.</summary>
    /// <param name="way">Where the way is taken to lie.</param>
    /// <param name="direction">Where the hand turns: 1 or −1 for each point, by which the pace counts.</param>
    /// <param name="roughness">Strength of the pace's deviation, over the white noise's.</param>
    /// <param name="fadeSeconds">Within which it fades.</param>
    /// <param name="lean">Variance of how much faster the way goes for each root of a decibel further up, over the white noise's.</param>
    /// <param name="slow">Variance of the slow noise in an octave, over the white noise's of a point.</param>
    /// <param name="heldSeconds">The control is taken to rest for so long at the end.</param>
    /// <param name="peakDb">The peak, where it is taken as known.</param>
    public Outcome Pass(
        double[] way, sbyte[] direction, double roughness, double fadeSeconds, double lean, double slow, double heldSeconds,
        double? peakDb = null)
    {
        Start(roughness / (2 * fadeSeconds), lean, slow);
        int n = _level.Length, used = _used, row = _row;
        if (peakDb is { } known)
        {
            (_state[Peak], _covariance[0]) = (known, 0);
        }

        var moving = new Motion(_step, fadeSeconds, roughness / (2 * fadeSeconds));

        // Between the middles of two points the control comes to rest.
        var rests = (int)Math.Ceiling(n - 0.5 - (heldSeconds / _step));
        var still = heldSeconds > 0 ? (_step * (n + 0.5 - rests)) - heldSeconds : _step;
        var last = new Motion(still, fadeSeconds, roughness / (2 * fadeSeconds));
        double squares = 0, logs = 0;
        var seen = 0;
        for (var i = 0; i < n; i++)
        {
            if (i > 0 && i <= rests)
            {
                Move(i < rests ? moving : last, direction[i], Leaning((way[i] + way[i - 1]) / 2));
            }

            if (i > 0)
            {
                Fade(slow);
            }

            if (!_counts[i])
            {
                (_ways[i], _innovations[i], _scales[i], _slopes[i]) = (_state[Way], 0, 1, 0);
                Array.Clear(_gains, i * row, row);
                Array.Copy(_covariance, Way * row, _wayRows, i * row, row);
                continue;
            }

            seen++;
            var slope = -2 * way[i];
            var expected = _state[Peak] + (slope * _state[Way]);
            for (var k = Slow; k < used; k++)
            {
                expected += _state[k];
            }

            Gain(slope);
            var variance = 1 + _gain[Peak] + (slope * _gain[Way]);
            for (var k = Slow; k < used; k++)
            {
                variance += _gain[k];
            }

            Array.Copy(_gain, 0, _gains, i * row, row);
            Array.Copy(_covariance, Way * row, _wayRows, i * row, row);
            var off = _level[i] + (way[i] * way[i]) + (slope * way[i]) - expected;
            (_ways[i], _innovations[i], _scales[i], _slopes[i]) = (_state[Way], off, variance, slope);
            squares += off * off / variance;
            logs += Math.Log(variance);
            Take(off, variance);
        }

        double peak = _state[Peak], peakVariance = _covariance[0];
        if (heldSeconds == 0)
        {
            Move(new Motion(_step / 2, fadeSeconds, roughness / (2 * fadeSeconds)), direction[^1], Leaning(way[^1]));
        }

        // The points within the means are so many more observations of the noise.
        var quick = _quick.Scale(slow);
        squares += _quick.Squares / quick;
        logs += _quick.Count * Math.Log(quick);
        var free = seen - 3 + _quick.Count;
        var white = squares / free;
        _run = (moving, last, rests);
        var endVariance = white * _covariance[(Way * row) + Way];
        return new Outcome(-0.5 * (logs + (free * Math.Log(squares))), peak, white * peakVariance, white, _state[Way], endVariance, logs);
    }

    /// <summary>After a pass, moves the way to where the whole course puts it: the smoother.</summary>
    /// <param name="way">The way taken for the pass; replaced by a better one.</param>
    /// <param name="direction">As for the pass.</param>
    /// <param name="longest">How far a point of the way may move at once.</param>
    public void Better(double[] way, sbyte[] direction, double longest)
    {
        var (moving, last, rests) = _run;
        int n = _level.Length, used = _used;
        Array.Clear(_adjoint);
        double before = 0;
        for (var i = n - 1; i >= 0; i--)
        {
            if (i < n - 1)
            {
                if (i + 1 <= rests)
                {
                    var by = i + 1 < rests ? moving : last;
                    _adjoint[Deviation] = (by.Carry * _adjoint[Way]) + (by.Kept * _adjoint[Deviation]);
                    _adjoint[Pace] += direction[i + 1] * by.Seconds * _adjoint[Way];
                    _adjoint[Lean] += direction[i + 1] * by.Seconds * Leaning((before + way[i]) / 2) * _adjoint[Way];
                }

                for (var k = Slow; k < used; k++)
                {
                    _adjoint[k] *= _kept[k - Slow];
                }
            }

            var row = i * _row;
            if (_counts[i])
            {
                double through = 0;
                for (var k = 0; k < used; k++)
                {
                    through += _gains[row + k] * _adjoint[k];
                }

                var add = (_innovations[i] - through) / _scales[i];
                _adjoint[Peak] += add;
                _adjoint[Way] += add * _slopes[i];
                for (var k = Slow; k < used; k++)
                {
                    _adjoint[k] += add;
                }
            }

            var smoothed = _ways[i];
            for (var k = 0; k < used; k++)
            {
                smoothed += _wayRows[row + k] * _adjoint[k];
            }

            before = way[i];
            way[i] += Math.Clamp(smoothed - way[i], -longest, longest);
        }
    }

    private void Start(double deviation, double lean, double slow)
    {
        _used = slow > 0 ? _states : Slow;
        _row = Rounded(_used);
        Array.Clear(_covariance);
        Array.Clear(_state);
        Array.Clear(_gain);
        _covariance[0] = Vague;
        _covariance[(Way * _row) + Way] = Vague;
        _covariance[(Pace * _row) + Pace] = Vague / 100;
        _covariance[(Deviation * _row) + Deviation] = deviation;
        _covariance[(Lean * _row) + Lean] = lean;
        Array.Clear(_fade);
        Array.Fill(_fade, 1, 0, Slow);
        for (var k = Slow; k < _used; k++)
        {
            _fade[k] = _kept[k - Slow];
            _covariance[(k * _row) + k] = slow * _averaged[k - Slow];
        }
    }

    private static double Leaning(double way) => Math.Clamp(way, -Farthest, Farthest);

    private static int Rounded(int states) => (states + 3) / 4 * 4;

    // Variance of a fading part's mean over a point, over its own; x the point's length over the fading time.
    internal static double Averaged(double x) => 2 / (x * x) * (x - 1 + Math.Exp(-x));

    // What the covariance makes of a point: the rows of peak, way and slow parts, each times its share in the level.
    private void Gain(double slope)
    {
        ref var p = ref MemoryMarshal.GetArrayDataReference(_covariance);
        ref var gain = ref MemoryMarshal.GetArrayDataReference(_gain);
        for (var c = 0; c < _row; c += 4)
        {
            var sum = Vector256.LoadUnsafe(ref p, (nuint)c) + (slope * Vector256.LoadUnsafe(ref p, (nuint)((Way * _row) + c)));
            for (var k = Slow; k < _used; k++)
            {
                sum += Vector256.LoadUnsafe(ref p, (nuint)((k * _row) + c));
            }

            sum.StoreUnsafe(ref gain, (nuint)c);
        }
    }

    // The point's news, shared out.
    private void Take(double off, double variance)
    {
        ref var p = ref MemoryMarshal.GetArrayDataReference(_covariance);
        ref var gain = ref MemoryMarshal.GetArrayDataReference(_gain);
        for (var r = 0; r < _used; r++)
        {
            var share = _gain[r] / variance;
            _state[r] += share * off;
            for (var c = 0; c < _row; c += 4)
            {
                var at = (nuint)((r * _row) + c);
                (Vector256.LoadUnsafe(ref p, at) - (share * Vector256.LoadUnsafe(ref gain, (nuint)c))).StoreUnsafe(ref p, at);
            }
        }
    }

    private void Move(Motion by, sbyte direction, double at)
    {
        var row = _row;
        var seconds = direction * by.Seconds;
        var leaning = seconds * at;
        _state[Way] += (by.Carry * _state[Deviation]) + (seconds * _state[Pace]) + (leaning * _state[Lean]);
        _state[Deviation] *= by.Kept;
        for (var k = 0; k < _used; k++)
        {
            _covariance[(Way * row) + k] += (by.Carry * _covariance[(Deviation * row) + k]) + (seconds * _covariance[(Pace * row) + k])
                + (leaning * _covariance[(Lean * row) + k]);
            _covariance[(Deviation * row) + k] *= by.Kept;
        }

        for (var r = 0; r < _used; r++)
        {
            var from = r * row;
            _covariance[from + Way] += (by.Carry * _covariance[from + Deviation]) + (seconds * _covariance[from + Pace])
                + (leaning * _covariance[from + Lean]);
            _covariance[from + Deviation] *= by.Kept;
        }

        _covariance[(Way * row) + Way] += by.WayVariance;
        _covariance[(Way * row) + Deviation] += by.Covariance;
        _covariance[(Deviation * row) + Way] += by.Covariance;
        _covariance[(Deviation * row) + Deviation] += by.DeviationVariance;
    }

    private void Fade(double slow)
    {
        if (_used == Slow)
        {
            return;
        }

        ref var p = ref MemoryMarshal.GetArrayDataReference(_covariance);
        ref var fade = ref MemoryMarshal.GetArrayDataReference(_fade);
        for (var r = 0; r < _used; r++)
        {
            var kept = _fade[r];
            _state[r] *= kept;
            for (var c = r < Slow ? Slow / 4 * 4 : 0; c < _row; c += 4)
            {
                var at = (nuint)((r * _row) + c);
                (kept * Vector256.LoadUnsafe(ref p, at) * Vector256.LoadUnsafe(ref fade, (nuint)c)).StoreUnsafe(ref p, at);
            }

            if (r >= Slow)
            {
                _covariance[(r * _row) + r] += slow * _averaged[r - Slow] * (1 - (kept * kept));
            }
        }
    }

    // How the way goes on over some seconds: the integral of a pace that is constant but for a deviation fading exponentially
    // (closed form).
    private readonly struct Motion
    {
        public Motion(double seconds, double fadeSeconds, double variance)
        {
            Seconds = seconds;
            Kept = Math.Exp(-seconds / fadeSeconds);
            Carry = fadeSeconds * (1 - Kept);
            DeviationVariance = variance * (1 - (Kept * Kept));
            Covariance = variance * fadeSeconds * (1 - Kept) * (1 - Kept);
            WayVariance = variance * fadeSeconds * fadeSeconds * ((2 * seconds / fadeSeconds) - 3 + (4 * Kept) - (Kept * Kept));
        }

        public double Seconds { get; }

        public double Kept { get; }

        public double Carry { get; }

        public double WayVariance { get; }

        public double Covariance { get; }

        public double DeviationVariance { get; }
    }
}
