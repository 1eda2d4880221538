using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Tape;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Practice.Playing;

/// <summary>
/// The sound of one pass, made chunk by chunk as it is read. Chunks do not hang on the reader's blocks, so neither do the samples.
/// Tones are sines of the exact integral of the speed: nothing is resampled.
/// </summary>
internal sealed class PracticeSound : SoundSource
{
    /// <summary>Most frames made at a time.</summary>
    public const int ChunkFrames = 4096;

    /// <summary>Points of the motion a second, about.</summary>
    private const int GridHz = 12000;

    private readonly PlayOptions _options;
    private readonly TransportMotion _motion;
    private readonly ContactMotion _contact;
    private readonly ToneVoices _voices;
    private readonly ChannelNoise _noiseLeft;
    private readonly ChannelNoise _noiseRight;
    private readonly double _leakLeft;
    private readonly double _leakRight;
    private readonly int _perStep;
    private readonly long _leadFrames;
    private readonly float[] _left = new float[ChunkFrames];
    private readonly float[] _right = new float[ChunkFrames];
    private readonly double[] _sumLeft = new double[ChunkFrames];
    private readonly double[] _sumRight = new double[ChunkFrames];
    private readonly double[] _places;
    private readonly double[] _rates;
    private readonly double[] _deckRatios;
    private readonly ContactMotion.Point[] _points;
    private long _made;
    private int _ready;
    private int _taken;

    public PracticeSound(PracticeDeck deck, PracticeTape tape, PlayOptions options)
    {
        _options = options;
        _perStep = FramesPerStep(options.SampleRateHz);
        var step = (double)_perStep / options.SampleRateHz;
        _motion = new TransportMotion(deck, tape, options, step);
        _contact = new ContactMotion(deck, tape, options, step);
        _voices = new ToneVoices(
            new TapeProgram(deck, tape, options, _motion.NominalRate),
            _motion.NominalRate,
            options.Backward,
            step,
            _perStep
        );
        _noiseLeft = new ChannelNoise(deck, tape, options, PracticeSide.Left);
        _noiseRight = new ChannelNoise(deck, tape, options, PracticeSide.Right);
        (_leakLeft, _leakRight) = Leaks(deck, options);
        _leadFrames = LeadFrames(options);
        Frames = TotalFrames(options);
        var points = (ChunkFrames / _perStep) + 1;
        (_places, _rates, _deckRatios, _points) = (
            new double[points],
            new double[points],
            new double[points],
            new ContactMotion.Point[points]
        );
    }

    /// <inheritdoc/>
    public override int SampleRateHz => _options.SampleRateHz;

    /// <inheritdoc/>
    public override int Channels => 2;

    /// <inheritdoc/>
    public override long? Frames { get; }

    /// <summary>Nothing: the practice deck tells measuring code no more than a file would.</summary>
    public override IReadOnlyList<Note> Notes => [];

    /// <summary>Samples so far that would have gone beyond full scale, and were held at it.</summary>
    public long Clipped { get; private set; }

    /// <summary>Whole frames from one point of the motion to the next.</summary>
    public static int FramesPerStep(int sampleRateHz) => Math.Max(1, (int)Math.Round((double)sampleRateHz / GridHz));

    /// <summary>Frames of the whole capture.</summary>
    public static long TotalFrames(PlayOptions options) => (long)Math.Round(options.DurationSeconds * options.SampleRateHz);

    /// <summary>Frames before the tape runs.</summary>
    public static long LeadFrames(PlayOptions options) => (long)Math.Round(options.LeadInSeconds * options.SampleRateHz);

    /// <summary>Leak into the left and into the right channel, as amplitude factors at the interface.</summary>
    public static (double Left, double Right) Leaks(PracticeDeck deck, PlayOptions options)
    {
        var head = deck.Head(options.Direction);
        static double Factor(double db) => db > -300 ? ReplayPath.Decibels(db) : 0;
        return (
            Factor(head.Left.CrosstalkDb - options.InterfaceRightGainDb),
            Factor(head.Right.CrosstalkDb + options.InterfaceRightGainDb)
        );
    }

    /// <inheritdoc/>
    public override int Read(Span<float> left, Span<float> right)
    {
        if (right.Length < left.Length)
            throw new ArgumentException(
                $"The right buffer holds {right.Length} samples, fewer than the left one's {left.Length}.",
                nameof(right)
            );
        var done = 0;
        while (done < left.Length)
        {
            if (_taken == _ready && !MakeChunk())
                break;
            var take = Math.Min(left.Length - done, _ready - _taken);
            _left.AsSpan(_taken, take).CopyTo(left[done..]);
            _right.AsSpan(_taken, take).CopyTo(right[done..]);
            _taken += take;
            done += take;
        }

        return done;
    }

    private bool MakeChunk()
    {
        var rest = Frames!.Value - _made;
        if (rest <= 0)
            return false;
        var running = _made >= _leadFrames;
        var most = running ? ChunkFrames / _perStep * _perStep : (int)Math.Min(ChunkFrames, _leadFrames - _made);
        var count = (int)Math.Min(most, rest);
        var left = _sumLeft.AsSpan(0, count);
        var right = _sumRight.AsSpan(0, count);
        left.Clear();
        right.Clear();
        if (running)
        {
            _motion.Run(_places, _rates, _deckRatios);
            _contact.Run(_places, _points);
            _voices.AddTo(_places, _rates, _points, left, right);
            Leak(left, right);
        }

        _noiseLeft.AddTo(left, _made, running);
        _noiseRight.AddTo(right, _made, running);
        Clipped += Deliver(left, _left) + Deliver(right, _right);
        _made += count;
        (_ready, _taken) = (count, 0);
        return true;
    }

    private void Leak(Span<double> left, Span<double> right)
    {
        if (_leakLeft == 0 && _leakRight == 0)
            return;
        for (var i = 0; i < left.Length; i++)
            (left[i], right[i]) = (left[i] + (_leakLeft * right[i]), right[i] + (_leakRight * left[i]));
    }

    private static int Deliver(ReadOnlySpan<double> sum, Span<float> samples)
    {
        var clipped = 0;
        for (var i = 0; i < sum.Length; i++)
        {
            if (Math.Abs(sum[i]) > 1)
                clipped++;
            samples[i] = (float)Math.Clamp(sum[i], -1, 1);
        }

        return clipped;
    }
}
