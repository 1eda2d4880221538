using BenchmarkDotNet.Attributes;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Standards;
using Spoolwright.Signal;
using Spoolwright.Signal.Levels;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Benchmarks;

/// <summary>Two minutes at 96 kHz, stereo: the noise meter alone, and each measurement of levels whole.</summary>
[MemoryDiagnoser]
public class LevelBenchmarks
{
    private const int Rate = 96000;
    private const int Frames = 120 * Rate;
    private float[] _noise = [];
    private float[] _tone = [];
    private float[] _leak = [];
    private float[] _erased = [];

    /// <summary>Hiss; a tone in it; a hundredth of the tone; a tone that ends after a quarter.</summary>
    [GlobalSetup]
    public void Setup()
    {
        (_noise, _tone, _leak, _erased) = (new float[Frames], new float[Frames], new float[Frames], new float[Frames]);
        var random = new Random(1);
        for (var i = 0; i < Frames; i++)
        {
            var tone = 0.3 * Math.Sin(2 * Math.PI * 1000 * i / Rate);
            _noise[i] = (float)(1e-3 * (random.NextDouble() - 0.5));
            _tone[i] = (float)(tone + _noise[i]);
            _leak[i] = (float)((0.01 * tone) + _noise[i]);
            _erased[i] = (float)((i < Frames / 4 ? tone : 0.001 * tone) + _noise[i]);
        }
    }

    [Benchmark]
    public double NoiseMeterAlone()
    {
        var meter = new NoiseMeter(NoisePractice.Settings, Rate, 2, 120);
        for (var i = 0; i < Frames; i += 1 << 14)
        {
            var n = Math.Min(1 << 14, Frames - i);
            meter.Add(_noise.AsSpan(i, n), _noise.AsSpan(i, n));
        }

        return meter.Finish()!.Channels[0].First.Db;
    }

    [Benchmark]
    public int Noise() => Count("noise", _noise, _noise);

    [Benchmark]
    public int Crosstalk() => Count("crosstalk", _tone, _leak);

    [Benchmark]
    public int Erase() => Count("erase", _erased, _erased);

    [Benchmark]
    public int Dropouts() => Count("dropouts", _tone, _tone);

    private static int Count(string id, float[] left, float[] right) =>
        Catalogue.Find(id)!.Measure!(new Memory(left, right), MeasurementSettings.None, null).Readings.Count;

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
