using System.Numerics;
using Spoolwright.Signal.Spectra;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Signal.Distortion;

/// <summary>
/// Reads one channel's tone by its own phase instead of by the clock: the fundamental is brought to 0 Hz, its phase followed, and the sound
/// read anew at even steps of that phase. Flutter and drift fall out, for distortion without memory makes its harmonics at n times the
/// phase; each harmonic then stands in one bin of a transform over whole cycles, and what stands between the harmonics is noise. Followed
/// are changes of speed up to <see cref="FollowedHz"/>, and a mean within ±5 % of the frequency given.
/// Feed it blocks of any size; the frames do not depend on them.
/// </summary>
public sealed class HarmonicTracker
{
    /// <summary>Harmonics are counted below this, Hz.</summary>
    public const double HighestHz = 20_000;

    private const int ChunkFrames = 1 << 14;
    private const double FrameSeconds = 0.06;
    private const int HopsPerFrame = 4;
    private const double MostOff = 0.12;

    // Harmonics kept in all frames together before neighbours are merged: memory stays flat with length.
    private const int MostKept = 3 << 20;

    private readonly double _rate;
    private readonly double _centre;
    private readonly ToneDownconverter _converter;
    private readonly WarpKernel _kernel;
    private readonly int _perCycle;
    private readonly int _cycles;
    private readonly double[] _window;
    private readonly double _gain;
    private readonly RealFft _fft;
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double[] _even;
    private readonly double[] _between;
    private readonly double[] _zRe;
    private readonly double[] _zIm;
    private readonly double[] _overlaps;
    private readonly List<HarmonicFrame> _frames = [];
    private readonly Knots _knots = new();
    private float[] _input;
    private int _held;
    private long _inputStart;
    private long _given;
    private long _outputs;
    private double _lastAngle;
    private double _deviation;
    private long _next = -1;
    private int _filled;
    private double _frameStart;
    private HarmonicFrame? _waiting;
    private int _waitingCount;

    /// <param name="fundamentalHz">The tone's mean frequency, within 5 %; above 15 Hz and below 0.45 of the rate.</param>
    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    /// <exception cref="ArgumentOutOfRangeException">The frequency cannot be held at that rate.</exception>
    public HarmonicTracker(double fundamentalHz, double sampleRateHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(fundamentalHz, 15);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(fundamentalHz, 0.45 * sampleRateHz);
        (_centre, _rate) = (fundamentalHz, sampleRateHz);

        // Short of 0 Hz and of the second harmonic: what reached the phase from there would come back as a harmonic.
        FollowedHz = Math.Min(0.4 * fundamentalHz, (0.06 * fundamentalHz) + 120);
        var stop = Math.Min(Math.Min(0.9 * fundamentalHz, (2 * FollowedHz) + 60), 0.9 * (sampleRateHz - (2 * fundamentalHz)));
        FollowedHz = Math.Min(FollowedHz, 0.6 * stop);
        _converter = new ToneDownconverter(
            fundamentalHz,
            FollowedHz,
            stop,
            Math.Max(1, (int)(sampleRateHz / (10 * FollowedHz))),
            sampleRateHz
        );

        var highest = Math.Min(HighestHz, 0.455 * sampleRateHz);
        _perCycle = (int)BitOperations.RoundUpToPowerOf2((uint)Math.Ceiling(Math.Min(sampleRateHz, 96_000) / fundamentalHz));
        _kernel = new WarpKernel(highest, Math.Min(sampleRateHz, _perCycle * fundamentalHz) - highest, sampleRateHz);
        _cycles = (int)Math.Clamp(BitOperations.RoundUpToPowerOf2((uint)Math.Max(1, fundamentalHz * FrameSeconds * 0.75)), 16, 2048);
        Orders = Math.Max(1, (int)Math.Floor(Math.Min(highest, HighestHz) / fundamentalHz));

        var length = _perCycle * _cycles;
        _fft = new RealFft(length);
        (_re, _im, _even) = (new double[(length / 2) + 1], new double[(length / 2) + 1], new double[length]);
        // The square of Hann's window: its skirts fall by the fifth power, and four of them shifted by a quarter add up to a constant.
        _window = [.. Enumerable.Range(0, length).Select(i => Math.Pow(Math.Sin(Math.PI * i / length), 4))];
        _gain = 2 / _window.Sum();
        _between = new double[2 * _cycles];
        _overlaps = [.. Enumerable.Range(0, HopsPerFrame).Select(Overlap)];
        _zRe = new double[_converter.MaximumOutputs(ChunkFrames)];
        _zIm = new double[_zRe.Length];
        _input = new float[ChunkFrames + (4 * _converter.FirstOutputFrame) + (8 * _converter.Decimation) + (4 * _kernel.Reach)];

        // The kernel's taps before the first sample lie on silence.
        _held = _kernel.Reach;
        _inputStart = -_kernel.Reach;
    }

    /// <summary>Fundamental and harmonics below 20 kHz, at least 1.</summary>
    public int Orders { get; }

    /// <summary>Fastest change of speed that is followed, Hz.</summary>
    public double FollowedHz { get; }

    /// <summary>From one frame to the next, s.</summary>
    public double HopSeconds => Merged * _cycles / (double)HopsPerFrame / _centre;

    /// <summary>Length of a frame, s.</summary>
    public double FrameLengthSeconds => _cycles / _centre;

    /// <summary>The frames so far, in time.</summary>
    public IReadOnlyList<HarmonicFrame> Frames => _frames;

    /// <summary>Frames of the transform in each of <see cref="Frames"/>: more than 1 in a long capture.</summary>
    internal int Merged { get; private set; } = 1;

    /// <summary>Variance of the mean of so many neighbouring frames, one frame's being 1: they overlap.</summary>
    public double VarianceOfMean(int frames)
    {
        long n = (long)frames * Merged;
        var sum = (double)n;
        for (var lag = 1; lag < HopsPerFrame && lag < n; lag++)
        {
            sum += 2 * (n - lag) * _overlaps[lag];
        }

        return sum / ((double)n * n);
    }

    /// <summary>Takes the next samples of the channel.</summary>
    public void Add(ReadOnlySpan<float> samples)
    {
        while (samples.Length > 0)
        {
            // Chunks end at fixed places in the sound, so that sums are rounded alike whatever the blocks.
            var take = (int)Math.Min(samples.Length, ChunkFrames - (_given % ChunkFrames));
            var chunk = samples[..take];
            samples = samples[take..];
            if (_held + take > _input.Length)
            {
                Array.Resize(ref _input, Math.Max(2 * _input.Length, _held + take));
            }

            chunk.CopyTo(_input.AsSpan(_held));
            _held += take;
            _given += take;
            var n = _converter.Add(chunk, _zRe, _zIm);
            for (var i = 0; i < n; i++)
            {
                AddKnot(_zRe[i], _zIm[i]);
            }

            Compact();
        }
    }

    private void AddKnot(double re, double im)
    {
        var angle = Math.Atan2(im, re);
        if (_outputs > 0)
        {
            // Where there is no tone the phase runs wild; held within reason, time goes on, and each frame finds its own phase again.
            var most = 2 * Math.PI * MostOff * _centre * _converter.Decimation / _rate;
            _deviation += Math.Clamp(Math.IEEERemainder(angle - _lastAngle, 2 * Math.PI), -most, most);
        }

        _lastAngle = angle;
        var at = _converter.FirstOutputFrame + (_outputs * (double)_converter.Decimation);
        _knots.Add(at, (_centre * at / _rate) + (_deviation / (2 * Math.PI)));
        _outputs++;
        if (_outputs < 4)
        {
            return;
        }

        if (_next < 0)
        {
            _next = (long)Math.Ceiling(_knots.First) * _perCycle;
        }

        for (; _knots.Holds((double)_next / _perCycle); _next++)
        {
            var place = _knots.TimeOf((double)_next / _perCycle);
            if (_filled == 0)
            {
                _frameStart = place;
            }

            _even[_filled++] = _kernel.Read(_input.AsSpan(0, _held), place - _inputStart);
            if (_filled == _even.Length)
            {
                Transform(place);
                var hop = _even.Length / HopsPerFrame;
                _even.AsSpan(hop).CopyTo(_even);
                _filled -= hop;
                _frameStart += (place - _frameStart) / HopsPerFrame;
            }
        }
    }

    private void Transform(double end)
    {
        _fft.Forward(_even, _window, _re, _im);
        var seconds = (end - _frameStart) / _rate;
        var frame = new HarmonicFrame(Orders) { CentreFrame = 0.5 * (_frameStart + end), FrequencyHz = _cycles / seconds };
        Complex first = new Complex(_re[_cycles], _im[_cycles]) * _gain;
        frame.Fundamental = first.Magnitude;
        var turn = frame.Fundamental > 0 ? Complex.Conjugate(first) / frame.Fundamental : Complex.One;
        var turned = Complex.One;
        for (var n = 1; n <= Orders; n++)
        {
            turned *= turn;
            var k = n * _cycles;
            var harmonic = new Complex(_re[k], _im[k]) * _gain * turned;
            frame.Re[n - 1] = (float)harmonic.Real;
            frame.Im[n - 1] = (float)harmonic.Imaginary;
            frame.Noise[n - 1] = (float)Noise(k);
        }

        Keep(frame);
    }

    // Half way to the next harmonic on both sides, short of what the tone's own movement spreads; lines that stand out (hum) are left out.
    private double Noise(int bin)
    {
        var count = 0;
        for (var d = Math.Max(4, _cycles / 8); d <= _cycles / 2; d++)
        {
            _between[count++] = Power(bin - d);
            _between[count++] = Power(bin + d);
        }

        var powers = _between.AsSpan(0, count);
        powers.Sort();
        // The middle of an exponential law lies at ln 2 of its mean; beyond six means only two parts in a hundred of its sum.
        var most = 6 * powers[count / 2] / Math.Log(2);
        double sum = 0;
        var kept = 0;
        while (kept < count && powers[kept] <= most)
        {
            sum += powers[kept++];
        }

        return kept == 0 ? 0 : sum / kept;
    }

    private double Power(int bin)
    {
        bin = Math.Clamp(bin, 1, _re.Length - 2);
        return _gain * _gain * ((_re[bin] * _re[bin]) + (_im[bin] * _im[bin]));
    }

    private void Keep(HarmonicFrame frame)
    {
        _waiting = _waiting is null ? frame : HarmonicFrame.Merge(_waiting, frame);
        if (++_waitingCount < Merged)
        {
            return;
        }

        _frames.Add(_waiting);
        (_waiting, _waitingCount) = (null, 0);
        if ((long)_frames.Count * Orders > MostKept)
        {
            for (var i = 0; i < _frames.Count / 2; i++)
            {
                _frames[i] = HarmonicFrame.Merge(_frames[2 * i], _frames[(2 * i) + 1]);
            }

            _frames.RemoveRange(_frames.Count / 2, _frames.Count - (_frames.Count / 2));
            Merged *= 2;
        }
    }

    private void Compact()
    {
        var keepFrom = (_knots.Count == 0 ? 0 : (long)_knots.OldestTime) - _kernel.Reach;
        var drop = (int)Math.Clamp(keepFrom - _inputStart, 0, _held);
        if (drop > _input.Length / 4)
        {
            _input.AsSpan(drop, _held - drop).CopyTo(_input);
            _held -= drop;
            _inputStart += drop;
        }
    }

    // How much alike the noise of two frames is that lie so many hops apart.
    private double Overlap(int hops)
    {
        var lag = hops * _window.Length / HopsPerFrame;
        double sum = 0, all = 0;
        for (var i = 0; i < _window.Length; i++)
        {
            all += _window[i] * _window[i];
            sum += i + lag < _window.Length ? _window[i] * _window[i + lag] : 0;
        }

        return sum / all;
    }
}
