using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Recording;

/// <summary>
/// Fed sound in, flux along the tape out. The tape's motion past the record head puts the flux where it belongs: samples of flux lie evenly
/// on the tape. Work goes in blocks of fixed length whatever is fed, so the flux does not hang on the feeder's blocks.
/// </summary>
internal sealed class RecordStage
{
    private readonly RecordOptions _options;
    private readonly RecordTrack[] _tracks;
    private readonly TransportMotion _motion;
    private readonly PlaceReader _reader;
    private readonly FluxStore _flux;
    private readonly FluxStore? _over;
    private readonly ErasedFlux _erased;
    private readonly BandNoise?[] _withSound;
    private readonly double[] _places;
    private readonly double[] _rates;
    private readonly double[] _ratios;
    private readonly int _perStep;
    private readonly float[][] _fed = [new float[RecordTrack.Block], new float[RecordTrack.Block]];
    private readonly float[][] _line;
    private readonly float[][] _out = [new float[2 * RecordTrack.Block], new float[2 * RecordTrack.Block]];
    private readonly double[] _noiseNow = new double[2];
    private int _filled;
    private long _blocks;
    private long _lineStart;
    private int _lineCount;
    private long _moved;

    public RecordStage(PracticeDeck deck, TapeStock stock, PracticeTape body, RecordOptions options, FluxStore flux, FluxStore? over)
    {
        (_options, _flux, _over) = (options, flux, over);
        Paths = [new RecordPath(deck, stock, options, PracticeSide.Left), new RecordPath(deck, stock, options, PracticeSide.Right)];
        var gain = 1 / ReplayPath.Decibels(options.ReferenceDbfs);
        _tracks = [.. Paths.Select(p => new RecordTrack(p, gain, options.BiasOffsetDb(0)))];
        _perStep = PracticeSound.FramesPerStep(options.SampleRateHz);
        var step = (double)_perStep / options.SampleRateHz;
        _motion = new TransportMotion(deck, body, options.AsPlay(1), step);
        _reader = new PlaceReader(options.SampleRateHz);
        _erased = new ErasedFlux(deck.Recorder!.Head(options.Direction), options.SampleRateHz);
        _withSound =
        [
            .. Paths.Select(
                (p, i) =>
                    stock.ModulationNoiseDb > -300
                        ? new BandNoise(
                            20,
                            3000,
                            ReplayPath.Decibels(stock.ModulationNoiseDb + Physics.BiasLaw.ModulationDb(p.BiasDb)),
                            1 / step,
                            new NoiseStream(options.Seed, $"with the sound {i}")
                        )
                        : null
            ),
        ];
        var points = (RecordTrack.Block / _perStep) + 1;
        (_places, _rates, _ratios) = (new double[points], new double[points], new double[points]);
        _line = [new float[(4 * RecordTrack.Block) + 200], new float[(4 * RecordTrack.Block) + 200]];

        // Room before the first sample, so that the reader reaches around it.
        _lineStart = -_reader.Taps;
        _lineCount = _reader.Taps;
        for (var i = 0; i < 2; i++)
            _noiseNow[i] = _withSound[i]?.Next() ?? 0;
    }

    /// <summary>The two channels' ways into the tape.</summary>
    public IReadOnlyList<RecordPath> Paths { get; }

    /// <summary>Frames fed so far.</summary>
    public long Fed { get; private set; }

    /// <summary>Takes the next frames.</summary>
    public void Feed(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        for (var done = 0; done < left.Length;)
        {
            var take = Math.Min(left.Length - done, RecordTrack.Block - _filled);
            left.Slice(done, take).CopyTo(_fed[0].AsSpan(_filled));
            right.Slice(done, take).CopyTo(_fed[1].AsSpan(_filled));
            _filled += take;
            done += take;
            if (_filled == RecordTrack.Block)
                RunBlock();
        }

        Fed += left.Length;
    }

    /// <summary>Feeds silence until everything fed has become flux.</summary>
    public void Finish()
    {
        var end = _options.StartSeconds + (Fed / (double)_options.SampleRateHz * _motion.NominalRate);
        for (var last = (long)(end * _options.SampleRateHz) + _reader.Taps; _flux.End < last;)
        {
            _fed[0].AsSpan(_filled).Clear();
            _fed[1].AsSpan(_filled).Clear();
            RunBlock();
        }
    }

    private void RunBlock()
    {
        var seconds = (_blocks + 1) * RecordTrack.Block / (double)_options.SampleRateHz;
        var bias = _options.BiasOffsetDb(seconds - ((double)RecordTrack.Latency / _options.SampleRateHz));
        for (var i = 0; i < 2; i++)
            _tracks[i].Run(_fed[i], bias, _line[i].AsSpan(_lineCount, RecordTrack.Block));
        if (_blocks == 0)
            _lineStart -= RecordTrack.Latency;
        _lineCount += RecordTrack.Block;
        _filled = 0;
        _blocks++;
        while (_moved + RecordTrack.Block + _reader.Taps < _lineStart + _lineCount)
            Lay();
    }

    // Lays a block of record time on the tape.
    private void Lay()
    {
        var steps = RecordTrack.Block / _perStep;
        _motion.Run(_places.AsSpan(0, steps + 1), _rates.AsSpan(0, steps + 1), _ratios.AsSpan(0, steps + 1));
        var rate = (double)_options.SampleRateHz;
        var next = _flux.End;
        var count = 0;
        for (var k = 0; k < steps; k++)
        {
            var (noiseLeft, noiseRight) = (_noiseNow[0], _noiseNow[1]);
            for (var i = 0; i < 2; i++)
                _noiseNow[i] = _withSound[i]?.Next() ?? 0;
            var stepSeconds = _perStep / rate;
            var bend = 0.5 * (_rates[k + 1] - _rates[k]) / stepSeconds;
            for (; next < _places[k + 1] * rate; next++, count++)
            {
                // When the head stood at this place: the speed runs straight between points, the bend being parts in a million of it.
                var beyond = (next / rate) - _places[k];
                var t = beyond / _rates[k];
                t = beyond / (_rates[k] + (bend * t));
                var frame = _moved - _lineStart + (k * (double)_perStep) + (t * rate);
                var share = t / stepSeconds;
                _out[0][count] = _reader.At(_line[0], frame) * (float)(1 + noiseLeft + (share * (_noiseNow[0] - noiseLeft)));
                _out[1][count] = _reader.At(_line[1], frame) * (float)(1 + noiseRight + (share * (_noiseNow[1] - noiseRight)));
            }
        }

        _moved += steps * _perStep;
        var left = _out[0].AsSpan(0, count);
        var right = _out[1].AsSpan(0, count);
        _erased.Run(_over, next - count, left, right, _options.Tracks);
        _flux.Append(left, right);
        var keep = (int)(_moved - _lineStart) - _reader.Taps;
        if (keep > 0)
        {
            foreach (var line in _line)
                line.AsSpan(keep, _lineCount - keep).CopyTo(line);
            (_lineStart, _lineCount) = (_lineStart + keep, _lineCount - keep);
        }
    }
}
