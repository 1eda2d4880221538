using BenchmarkDotNet.Attributes;
using Spoolwright.Bench.Standards;
using Spoolwright.Signal.Flutter;
using Spoolwright.Signal.Spectra;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Benchmarks;

/// <summary>
/// The flutter meter and its parts on ten seconds of 96 kHz stereo. A 10-minute capture takes 60 times as long as <see cref="Meter"/>; the
/// whole process is to take about a second, so the meter has to stay under 16 ms.
/// </summary>
[MemoryDiagnoser]
public class FlutterBenchmarks
{
    private const int Rate = 96000;
    private const int Block = 1 << 15;
    private readonly float[] _left = new float[10 * Rate];
    private readonly float[] _right = new float[10 * Rate];
    private readonly double[] _speed = new double[10 * 2182];
    private readonly double[] _re = new double[1 << 15];
    private readonly double[] _im = new double[1 << 15];
    private readonly double[] _outRe = new double[Block];
    private readonly double[] _outIm = new double[Block];
    private readonly Fft _fft = new(1 << 15);
    private readonly ToneDownconverter _downconverter = new(3150, 1197, 2992, 22, Rate);
    private readonly QuasiPeakDetector _detector = new(Iec60386Edition1988.Detector, 2182);
    private readonly LogHistogram _histogram = new();
    private FlutterMeter _meter = null!;

    /// <summary>Makes the sound, and a meter that has found its tone.</summary>
    [GlobalSetup]
    public void Setup()
    {
        var random = new Random(1);
        for (var i = 0; i < _left.Length; i++)
        {
            var t = (double)i / Rate;
            var phase = 2 * Math.PI * 3150 * (t - (0.0005 / (2 * Math.PI * 4) * Math.Cos(2 * Math.PI * 4 * t)));
            _left[i] = (float)((0.5 * Math.Sin(phase)) + (0.0005 * (random.NextDouble() - 0.5)));
            _right[i] = (float)((0.5 * Math.Sin(phase)) + (0.0005 * (random.NextDouble() - 0.5)));
        }

        for (var i = 0; i < _speed.Length; i++)
        {
            _speed[i] = Math.Sin(2 * Math.PI * 4 * i / 2182);
        }

        _meter = new FlutterMeter(FlutterPractice.Settings(null), Rate, 2, 600);
        Meter();
    }

    /// <summary>Ten seconds of sound fed to the meter.</summary>
    [Benchmark]
    public void Meter()
    {
        for (var i = 0; i < _left.Length; i += Block)
        {
            var n = Math.Min(Block, _left.Length - i);
            _meter.Add(_left.AsSpan(i, n), _right.AsSpan(i, n));
        }
    }

    /// <summary>A whole measurement of ten seconds, start and figures included.</summary>
    [Benchmark]
    public FlutterResult Measurement()
    {
        var meter = new FlutterMeter(FlutterPractice.Settings(null), Rate, 2, 10);
        meter.Add(_left, _right);
        return meter.Finish();
    }

    /// <summary>One channel brought down to 0 Hz.</summary>
    [Benchmark]
    public int Downconverter()
    {
        var outputs = 0;
        for (var i = 0; i < _left.Length; i += Block)
        {
            outputs += _downconverter.Add(_left.AsSpan(i, Math.Min(Block, _left.Length - i)), _outRe, _outIm);
        }

        return outputs;
    }

    /// <summary>One transform of 32,768 points.</summary>
    [Benchmark]
    public void Transform() => _fft.Forward(_re, _im);

    /// <summary>The quasi-peak detector and its histogram on ten seconds of speed.</summary>
    [Benchmark]
    public double Detector()
    {
        foreach (var x in _speed)
        {
            _histogram.Add(_detector.Next(x));
        }

        return _histogram.Quantile(0.95);
    }
}
