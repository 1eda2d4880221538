using BenchmarkDotNet.Attributes;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Benchmarks;

/// <summary>Ten minutes of a level and response tape at 96 kHz, stereo: the survey alone, one long tone alone, and the whole
/// measurement.</summary>
[MemoryDiagnoser]
public class ToneBenchmarks
{
    private const int Rate = 96000;
    private const int Minute = 60 * Rate;
    private static readonly double[] Hz = [1000, 10000, 31.5, 63, 125, 250, 500, 2000, 4000, 8000, 12500, 16000];
    private static readonly TestTape Tape = new()
    {
        Name = "Twelve tones",
        SpeedCmPerS = 19.05,
        Tones =
        [
            .. Hz.Select(
                (f, i) =>
                    new TestTone(
                        f,
                        -10,
                        45,
                        i switch
                        {
                            0 => ToneRole.Reference,
                            1 => ToneRole.Azimuth,
                            _ => ToneRole.Response,
                        }
                    )
            ),
        ],
    };

    private float[] _left = [];
    private float[] _right = [];

    /// <summary>Ten minutes: twelve tones of 45 s with gaps of 5 s.</summary>
    [GlobalSetup]
    public void Setup()
    {
        _left = new float[10 * Minute];
        _right = new float[10 * Minute];
        var random = new Random(1);
        for (var i = 0; i < _left.Length; i++)
        {
            var at = i / (50 * Rate);
            var a = i % (50 * Rate) < 45 * Rate ? 0.2 : 0;
            var w = 2 * Math.PI * Hz[at] * i / Rate;
            _left[i] = (float)((a * Math.Cos(w)) + (1e-4 * (random.NextDouble() - 0.5)));
            _right[i] = (float)((a * Math.Cos(w - 0.1)) + (1e-4 * (random.NextDouble() - 0.5)));
        }
    }

    [Benchmark]
    public int Survey()
    {
        var survey = new ToneSurvey([.. Hz.Order()], TapeTones.SpeedWithin, Rate, 2);
        survey.Add(_left, _right);
        return survey.Runs().Count;
    }

    [Benchmark]
    public double Probe()
    {
        var probe = new ToneProbe(10000, 60, Rate, 2);
        probe.Add(_left.AsSpan(50 * Rate, 45 * Rate), _right.AsSpan(50 * Rate, 45 * Rate));
        return probe.Finish()!.Left.LevelDb;
    }

    [Benchmark]
    public int Playback() => PlaybackMeasurement.Measure(new Memory(_left, _right), new() { TestTape = Tape }, null).Readings.Count;

    private sealed class Memory(float[] left, float[] right) : SoundSource
    {
        private int _at;

        public override int SampleRateHz => Rate;

        public override int Channels => 2;

        public override long? Frames => left.Length;

        public override IReadOnlyList<Note> Notes => [];

        public override bool CanRewind => true;

        public override void Rewind() => _at = 0;

        public override int Read(Span<float> toLeft, Span<float> toRight)
        {
            var n = Math.Min(toLeft.Length, left.Length - _at);
            left.AsSpan(_at, n).CopyTo(toLeft);
            right.AsSpan(_at, n).CopyTo(toRight);
            _at += n;
            return n;
        }
    }
}
