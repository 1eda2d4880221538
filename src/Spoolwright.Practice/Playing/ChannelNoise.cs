using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Playing;

/// <summary>What one channel adds to the tape's tones: hiss while the tape runs; noise of amplifier and interface, and hum,
/// always.</summary>
internal sealed class ChannelNoise
{
    private readonly NoiseStream _tapeStream;
    private readonly NoiseStream _amplifierStream;
    private readonly HissColour? _hiss;
    private readonly double _white;
    private readonly double _rateHz;
    private readonly double[] _hum;
    private readonly double _humTurnsPerSample;
    private readonly double _humStart;
    private readonly double[] _turns = new double[PracticeSound.ChunkFrames];
    private readonly double[] _level = new double[PracticeSound.ChunkFrames];

    public ChannelNoise(PracticeDeck deck, PracticeTape tape, PlayOptions options, PracticeSide side)
    {
        _rateHz = options.SampleRateHz;
        var channel = deck.Head(options.Direction).Channel(side);
        var gain = side == PracticeSide.Right ? options.InterfaceRightGainDb : 0;
        _tapeStream = new NoiseStream(options.Seed, $"hiss {side}");
        _amplifierStream = new NoiseStream(options.Seed, $"amplifier {side}");
        var reference = options.ReferenceDbfs + channel.LevelTrimDb + gain;
        if (tape.HissDb > -300)
            _hiss = new HissColour(
                deck.Speed(options.SpeedCmPerS).Curve.TrebleMicroseconds,
                Rms(reference + tape.HissDb),
                options.SampleRateHz
            );
        var amplifier = channel.NoiseDb > -300 ? Rms(reference + channel.NoiseDb) : 0;
        var wide = Math.Sqrt(Math.Max(options.SampleRateHz / 2.0 / 20000, 1));
        var listener = options.InterfaceNoiseDbfs > -300 ? Rms(options.InterfaceNoiseDbfs) : 0;
        _white = Math.Sqrt((amplifier * amplifier) + (listener * listener)) * wide;
        _hum = [.. channel.HumDb.Select(db => db > -300 ? ReplayPath.Decibels(options.ReferenceDbfs + gain + db) : 0)];
        _humTurnsPerSample = deck.MainsHz / options.SampleRateHz / (1 + (options.InterfaceClockPpm * 1e-6));
        _humStart = new NoiseStream(options.Seed, "hum").NextUniform();
    }

    /// <summary>Power in 1 Hz of everything but hum, while the tape runs.</summary>
    public double Density(double hertz) => (_hiss?.Density(hertz) ?? 0) + (_white * _white * 2 / _rateHz);

    /// <summary>Hum: frequency and peak of each line.</summary>
    public IEnumerable<(double Hertz, double Peak)> Hum => _hum.Select((peak, k) => ((k + 1) * _humTurnsPerSample * _rateHz, peak));

    /// <summary>Adds to a stretch of samples.</summary>
    /// <param name="samples">One channel.</param>
    /// <param name="firstFrame">Number of the first frame in the capture.</param>
    /// <param name="running">Whether the tape runs.</param>
    public void AddTo(Span<double> samples, long firstFrame, bool running)
    {
        if (running && _hiss is not null)
        {
            foreach (ref var sample in samples)
                sample += _hiss.Next(_tapeStream.NextGaussian());
        }

        if (_white > 0)
        {
            foreach (ref var sample in samples)
                sample += _white * _amplifierStream.NextGaussian();
        }

        for (var k = 0; k < _hum.Length; k++)
        {
            if (_hum[k] == 0)
                continue;
            for (var i = 0; i < samples.Length; i++)
                _turns[i] = (k + 1) * (_humStart + ((firstFrame + i) * _humTurnsPerSample));
            _level.AsSpan(0, samples.Length).Fill(_hum[k]);
            TurnSine.AddScaled(_turns.AsSpan(0, samples.Length), _level.AsSpan(0, samples.Length), samples);
        }
    }

    // Noise is told on the scale of sines: 0 dBFS is the rms of a full-scale sine.
    private static double Rms(double dbfs) => ReplayPath.Decibels(dbfs) / Math.Sqrt(2);
}
