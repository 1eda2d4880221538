using System.Diagnostics;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Tests.Recording;

public class RecordReproducibilityTests
{
    private static PracticeDeck Uneven => AutoReverseDeck.AsFound with { Recorder = new PracticeRecorder() };

    private static MonitorSession Session(long seed = 3, int rate = 44100) =>
        Uneven.Monitor(
            RecordedTape.Blank(TapeStock.Polwen, 19.05, rate),
            Recorders.Options(rate: rate) with
            {
                Seed = seed,
                BiasMoves = [new(0.2, 0), new(0.9, -3)],
            },
            Fed.Tone(6300, -10, rate),
            1.2
        );

    [Fact]
    public void Monitor_OfTheSameSeed_IsTheSameSampleForSample()
    {
        var (left, right) = Listening.Record(Session().Sound);
        var again = Listening.Record(Session().Sound);
        Assert.Equal(left, again.Left);
        Assert.Equal(right, again.Right);
        Assert.NotEqual(left, Listening.Record(Session(4).Sound).Left);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(977)]
    [InlineData(60000)]
    public void Monitor_ReadInBlocksOfAnySize_IsTheSameSampleForSample(int block)
    {
        var whole = Listening.Record(Session().Sound);
        var (left, right) = Listening.Record(Session().Sound, block);
        Assert.Equal(whole.Left, left);
        Assert.Equal(whole.Right, right);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(4097)]
    public void Flux_FedInBlocksOfAnySize_IsTheSameSampleForSample(int block)
    {
        static float[] Flux(int block)
        {
            var session = Uneven.Record(RecordedTape.Blank(TapeStock.Hembury, 19.05, 48000), Recorders.Options(rate: 48000));
            var program = Fed.Tone(900, 0, 48000);
            var (left, right) = (new float[block], new float[block]);
            for (var done = 0; done < 30000; done += block)
            {
                var take = Math.Min(block, 30000 - done);
                program.Read(left.AsSpan(0, take), right);
                session.Feed(left.AsSpan(0, take), right.AsSpan(0, take));
            }

            var flux = new float[30000];
            session.Finish().CopyFlux(TapeDirection.Forward, 0, flux, new float[30000]);
            return flux;
        }

        Assert.Equal(Flux(3000), Flux(block));
    }

    [Fact]
    public void Monitor_OfLongProgram_HoldsMemoryFlat()
    {
        using var session = Recorders.Perfect().Monitor(Recorders.Blank(), Recorders.Options(), Fed.Tone(1000, -10), 90);
        var (left, right) = (new float[96000], new float[96000]);
        for (var i = 0; i < 5; i++)
            session.Sound.Read(left, right);
        var before = GC.GetTotalMemory(forceFullCollection: true);
        while (session.Sound.Read(left, right) > 0)
        {
        }

        // Flux of 85 s would be 65 MB; other tests run beside this one.
        Assert.InRange(GC.GetTotalMemory(forceFullCollection: true) - before, -500_000_000, 30_000_000);
    }

    [Fact]
    public void Recording_LongerThanTapesAreKept_IsRefused()
    {
        var session = Recorders.Perfect().Record(Recorders.Blank(rate: 32000), Recorders.Options(rate: 32000));
        Assert.Throws<ArgumentException>(() => session.Feed(new float[10], new float[9]));
        var tape = session.Finish();
        Assert.Throws<InvalidOperationException>(() => session.Feed(new float[10], new float[10]));
        Assert.Throws<ArgumentException>(() =>
            Recorders
                .Perfect()
                .Play(
                    tape,
                    new PlayOptions
                    {
                        SpeedCmPerS = 19.05,
                        DurationSeconds = 1,
                        SampleRateHz = 96000,
                    }
                )
        );
        Assert.Throws<ArgumentException>(() =>
            Recorders.Perfect().Record(Recorders.Blank(), Recorders.Options() with { Setting = "none" })
        );
        Assert.Throws<ArgumentException>(() => Decks.Perfect().Record(Recorders.Blank(), Recorders.Options()));
    }

    /// <summary>A guard against slips by a factor, not a benchmark: other work may share the machine.</summary>
    [Fact]
    [Trait("Category", "Long")]
    public void Monitor_OfAWholeDeckWithEveryNoise_RunsManyTimesFasterThanTape()
    {
        using var session = Uneven.Monitor(RecordedTape.Blank(TapeStock.Hembury, 19.05), Recorders.Options(), Fed.Tone(1000, -10), 120);
        var (left, right) = (new float[4096], new float[4096]);
        for (var i = 0; i < 24 * 20; i++)
            session.Sound.Read(left, right);
        var clock = Process.GetCurrentProcess().TotalProcessorTime;
        while (session.Sound.Read(left, right) > 0)
        {
        }

        var seconds = (Process.GetCurrentProcess().TotalProcessorTime - clock).TotalSeconds;
        TestContext.Current.SendDiagnosticMessage($"recording and playing at once, whole deck: {99.5 / seconds:F0} times real time");
        Assert.InRange(99.5 / seconds, 15, 10000);
    }
}
