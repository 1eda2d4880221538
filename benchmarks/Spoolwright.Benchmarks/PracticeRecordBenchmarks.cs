using BenchmarkDotNet.Attributes;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Benchmarks;

/// <summary>How fast the practice deck records and listens off tape at once: a whole deck with all its noise at 96 kHz. 30 s in so many ms
/// is so many times real time.</summary>
[ShortRunJob]
public class PracticeRecordBenchmarks
{
    private const double Seconds = 30;
    private readonly float[] _left = new float[4096];
    private readonly float[] _right = new float[4096];

    /// <summary>A tone recorded on the demonstration's deck as found, and heard off tape.</summary>
    [Benchmark]
    public long RecordAndListen()
    {
        var deck = AutoReverseDeck.AsFound;
        using var program = new Steady();
        using var session = deck.Monitor(
            RecordedTape.Blank(TapeStock.Hembury, 19.05),
            new RecordOptions { SpeedCmPerS = 19.05, Setting = deck.Recorder!.Settings[0].Name },
            program,
            Seconds
        );
        var frames = 0L;
        for (int got; (got = session.Sound.Read(_left, _right)) > 0;)
            frames += got;
        return frames;
    }

    private sealed class Steady : SoundSource
    {
        public override int SampleRateHz => 96000;

        public override int Channels => 2;

        public override long? Frames => null;

        public override IReadOnlyList<Note> Notes => [];

        public override int Read(Span<float> left, Span<float> right)
        {
            left.Fill(0.05f);
            right[..left.Length].Fill(0.05f);
            return left.Length;
        }
    }
}
