using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Waves;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Practice.Recording;

/// <summary>The sound of a tape of one's own, made block by block as it is read; blocks do not hang on the reader's.</summary>
internal sealed class FluxSound : SoundSource
{
    private readonly PlayOptions _options;
    private readonly FluxReading _reading;
    private readonly ReplayFilter _filter;
    private readonly ChannelNoise[] _noises;
    private readonly double[] _bias;
    private readonly double _biasTurns;
    private readonly long _lead;
    private readonly float[][] _chunk = Lines<float>(4, PracticeSound.ChunkFrames);
    private readonly int _chunkFrames;
    private readonly float[][] _raw;
    private readonly float[][] _other;
    private readonly double[][] _sum;
    private readonly double[][] _rest;
    private readonly float[][] _out;
    private readonly double[] _turns = new double[PracticeSound.ChunkFrames];
    private readonly double[] _level = new double[PracticeSound.ChunkFrames];
    private readonly int _block;
    private long _heard;
    private long _made;
    private int _chunkLeft;
    private int _skip;
    private int _ready;
    private int _taken;

    public FluxSound(
        PracticeDeck deck,
        RecordedTape tape,
        PlayOptions options,
        RecordedSide? side,
        double behindMm,
        bool recording,
        Action<long, long>? needs
    )
    {
        _options = options;
        var body = RecordedTape.Body(deck, tape.Stock, tape.SpeedCmPerS, options.Direction, side?.AzimuthArcmin ?? 0, side?.BiasDb ?? -20);
        if (side is null && body.HissDb > -299)
            body = body with { HissDb = Math.Max(tape.Stock.HissDb + (10 * Math.Log10(19.05 / tape.SpeedCmPerS)) - BulkErasedDb, -299) };
        var other = tape.Side(options.Direction == TapeDirection.Forward ? TapeDirection.Reverse : TapeDirection.Forward);
        _reading = new FluxReading(deck, body, options, tape, side, behindMm, PracticeSound.ChunkFrames) { Needs = needs };
        _chunkFrames = _reading.WholeFrames(PracticeSound.ChunkFrames);
        var head = deck.Head(options.Direction);
        _filter = new ReplayFilter(
            deck,
            body,
            options,
            _reading.NominalRate,
            side ?? new RecordedSide(new FluxStore(0), head.Left.Track, head.Right.Track, 0, 0, 0),
            other
        );
        _noises = [new ChannelNoise(deck, body, options, PracticeSide.Left), new ChannelNoise(deck, body, options, PracticeSide.Right)];
        _lead = PracticeSound.LeadFrames(options);
        Frames = PracticeSound.TotalFrames(options);
        _block = _filter.Own.Block;
        _skip = _filter.Own.Reach;
        (_raw, _other, _out) = (Lines<float>(2, _block), Lines<float>(2, _block), Lines<float>(2, _block));
        (_sum, _rest) = (Lines<double>(2, _block), Lines<double>(2, _block));
        var recorder = deck.Recorder;
        _bias = [.. new[] { PracticeSide.Left, PracticeSide.Right }.Select(s =>
            recording && recorder?.Head(options.Direction).Channel(s).BiasLeakDb is { } db and > -300
                ? ReplayPath.Decibels(db + options.ReferenceDbfs + (s == PracticeSide.Right ? options.InterfaceRightGainDb : 0))
                : 0)];

        // Bias lies beyond half the rate: an interface without a filter folds it down.
        _biasTurns = (recorder?.BiasHz ?? 0) / options.SampleRateHz % 1;
    }

    /// <summary>How much quieter tape is that was erased in bulk and never passed a record head, dB.</summary>
    public const double BulkErasedDb = 3;

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

    /// <summary>The filters it uses, for truth.</summary>
    public ReplayFilter Filter => _filter;

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
            if (_taken == _ready && !MakeBlock())
                break;
            var take = Math.Min(left.Length - done, _ready - _taken);
            _out[0].AsSpan(_taken, take).CopyTo(left[done..]);
            _out[1].AsSpan(_taken, take).CopyTo(right[done..]);
            _taken += take;
            done += take;
        }

        return done;
    }

    private bool MakeBlock()
    {
        if (_made >= Frames!.Value)
            return false;
        Hear();
        _filter.Own.Run(_raw[0], _raw[1], _sum[0], _sum[1]);
        if (_filter.Other is { } other)
        {
            other.Run(_other[0], _other[1], _rest[0], _rest[1]);
            for (var c = 0; c < 2; c++)
            {
                for (var i = 0; i < _block; i++)
                    _sum[c][i] += _rest[c][i];
            }
        }

        var count = (int)Math.Min(_block - _skip, Frames.Value - _made);
        for (var c = 0; c < 2; c++)
        {
            for (var at = 0; at < count; at += PracticeSound.ChunkFrames)
                AddNoise(c, _sum[c].AsSpan(_skip + at, Math.Min(PracticeSound.ChunkFrames, count - at)), _made + at);
            Clipped += Deliver(_sum[c].AsSpan(_skip, count), _out[c]);
        }

        _made += count;
        (_ready, _taken, _skip) = (count, 0, 0);
        return true;
    }

    // The next block of what the gaps hear: nothing before the tape runs.
    private void Hear()
    {
        for (var at = 0; at < _block;)
        {
            var still = (int)Math.Clamp(_lead - _heard, 0, _block - at);
            if (still == 0 && _chunkLeft == 0)
                _chunkLeft = RunChunk();
            var take = still > 0 ? still : Math.Min(_chunkLeft, _block - at);
            for (var c = 0; c < 4; c++)
            {
                var into = (c < 2 ? _raw[c] : _other[c - 2]).AsSpan(at, take);
                if (still > 0)
                    into.Clear();
                else
                    _chunk[c].AsSpan(_chunkFrames - _chunkLeft, take).CopyTo(into);
            }

            if (still == 0)
                _chunkLeft -= take;
            at += take;
            _heard += take;
        }
    }

    private int RunChunk()
    {
        _reading.Run(
            _chunk[0].AsSpan(0, _chunkFrames),
            _chunk[1].AsSpan(0, _chunkFrames),
            _chunk[2].AsSpan(0, _chunkFrames),
            _chunk[3].AsSpan(0, _chunkFrames)
        );
        return _chunkFrames;
    }

    private void AddNoise(int channel, Span<double> samples, long first)
    {
        var still = (int)Math.Clamp(_lead - first, 0, samples.Length);
        _noises[channel].AddTo(samples[..still], first, running: false);
        _noises[channel].AddTo(samples[still..], first + still, running: true);
        if (_bias[channel] == 0)
            return;
        for (var i = 0; i < samples.Length; i++)
            _turns[i] = (first + i) * _biasTurns;
        _level.AsSpan(0, samples.Length).Fill(_bias[channel]);
        TurnSine.AddScaled(_turns.AsSpan(0, samples.Length), _level.AsSpan(0, samples.Length), samples);
    }

    private static T[][] Lines<T>(int count, int length) => [.. Enumerable.Range(0, count).Select(_ => new T[length])];

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
