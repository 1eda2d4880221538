using Spoolwright.Signal.Flutter;

namespace Spoolwright.Signal.Tests.Flutter;

/// <summary>The parts between demodulator and figures: bridge, phase record, histogram.</summary>
public class SpeedSignalTests
{
    private sealed class Sink : ISpeedSink
    {
        public List<(double Value, bool Counts)> Samples { get; } = [];

        public int Breaks { get; private set; }

        public void Next(double common, double difference, bool counts) => Samples.Add((common, counts));

        public void Break() => Breaks++;
    }

    [Fact]
    public void Bridge_OverAShortGap_DrawsALineBetweenTheLevels()
    {
        var sink = new Sink();
        var bridge = new GapBridge(sink, 10, 100);
        for (var i = 0; i < 300; i++)
        {
            bridge.Next(i < 150 ? 1 : 2, 0, i is < 140 or >= 160);
        }

        bridge.Finish();
        Assert.Equal(300, sink.Samples.Count);
        Assert.Equal(0, sink.Breaks);
        Assert.Equal((1, 40L), (bridge.Gaps, bridge.LostSamples)); // the gap and its guards
        var bridged = sink.Samples.Select((s, i) => (s, i)).Where(x => !x.s.Counts).ToArray();
        Assert.Equal(130, bridged[0].i);
        Assert.Equal(40, bridged.Length);
        Assert.All(bridged, x => Assert.Equal(1 + ((x.i - 129) / 41.0), x.s.Value, 1e-9));
    }

    [Fact]
    public void Bridge_OverALongGap_BreaksTheSignal()
    {
        var sink = new Sink();
        var bridge = new GapBridge(sink, 10, 100);
        for (var i = 0; i < 600; i++)
        {
            bridge.Next(1, 0, i is < 200 or >= 400);
        }

        bridge.Finish();
        Assert.Equal(1, sink.Breaks);
        Assert.All(sink.Samples, s => Assert.True(s.Counts));
    }

    [Fact]
    public void Bridge_BeforeTheFirstGoodSample_CountsItAsLate()
    {
        var sink = new Sink();
        var bridge = new GapBridge(sink, 10, 100);
        for (var i = 0; i < 200; i++)
        {
            bridge.Next(1, 0, i >= 50);
        }

        bridge.Finish();
        Assert.Equal(60, bridge.LateSamples);
        Assert.Equal(0, bridge.Gaps);
        Assert.Equal(140, sink.Samples.Count);
    }

    [Fact]
    public void PhaseRecord_HoweverLong_StaysWithinItsBlocks()
    {
        var record = new PhaseRecord(4000);
        for (var i = 0; i < 4_000_000; i++)
        {
            record.Next(2.5, true);
        }

        Assert.InRange(record.Blocks, 2048, 4096);
        Assert.Equal(1000, record.SpanSeconds, 1e-9);
        Assert.Equal(2500, record.Cycles, 1e-6);
        Assert.Equal(2.5 * record.BlockSeconds, record.Phase(100) - record.Phase(99), 1e-7);
        Assert.Equal((2.5, record.SamplesPerBlock), record.Speed(7));
        Assert.Equal(2.5, record.EdgeSpeed.First, 1e-9);
        Assert.Equal(2.5, record.EdgeSpeed.Last, 1e-6);
    }

    [Theory]
    [InlineData(1e-6)]
    [InlineData(1e-3)]
    [InlineData(1e4)]
    public void LogHistogram_OfEvenMagnitudes_GivesTheirQuantiles(double top)
    {
        var histogram = new LogHistogram();
        for (var i = 0; i < 100_000; i++)
        {
            histogram.Add(top * (i + 0.5) / 100_000);
        }

        foreach (var share in new[] { 0.01, 0.5, 0.95, 1.0 })
        {
            Assert.Equal(share * top, histogram.Quantile(share), share * top * 0.001);
        }
    }

    [Fact]
    public void LogHistogram_OfNothing_GivesNothing()
    {
        var histogram = new LogHistogram();
        Assert.Equal(0, histogram.Quantile(0.95));
        histogram.Add(0);
        Assert.Equal(0, histogram.Quantile(0.95));
    }
}
