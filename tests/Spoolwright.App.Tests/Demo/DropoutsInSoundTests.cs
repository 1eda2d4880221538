using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Tests.Demo;

/// <summary>Dropouts of a poor tape, recorded and heard on the practice deck, against where the practice deck puts them.</summary>
public sealed class DropoutsInSoundTests
{
    private const int Rate = 48_000;
    private const double Seconds = 60;

    // The tape's dropouts last 10 to 40 ms from edge to edge and are 7 to 21 dB deep; their edges are a fifth of that on either side.
    [Fact]
    public void Dropouts_OfAPoorTape_AreCountedWhereTheTruthHasThem()
    {
        var options = new RecordOptions
        {
            SpeedCmPerS = 19.05,
            Setting = AutoReverseRecorder.Normal,
            SampleRateHz = Rate,
            ReferenceDbfs = -16,
            Seed = 4,
        };
        var stock = TapeStock.Polwen with { Dropouts = new TapeDropouts(20, 14, 20) };
        using var program = new ProgramSound(ProgramList.Make(ProgramList.Find("dropouts")!, 3150, Seconds), Rate, -16);
        using var session = AutoReverseDeck.AsLeft.Monitor(RecordedTape.Blank(stock, 19.05, Rate, 120), options, program, Seconds + 8);
        using var sound = Captured(session.Sound);
        var result = DropoutMeasurement.Measure(sound, MeasurementSettings.None, null);
        var all = session.Truth.Dropouts(Seconds + 8);
        foreach (
            var (channel, has) in new (Channel, Func<TrueDropout, bool>)[] { (Channel.Left, d => d.Left), (Channel.Right, d => d.Right) }
        )
        {
            // Between the markers.
            const double First = 5,
                Last = Seconds;
            double[] found =
            [
                .. Assert
                    .Single(result.Traces, t => t.Id == "dropout-depth" && t.Channel == channel)
                    .X.Where(x => x is > First and < Last)
                    .Order(),
            ];
            TrueDropout[] truth = [.. all.Where(d => has(d) && d.StartSeconds is > First and < Last).OrderBy(d => d.StartSeconds)];
            Assert.InRange(truth.Length, 8, 40);
            Assert.Equal(truth.Length, found.Length);
            Assert.All(truth.Zip(found), p => Assert.Equal(p.First.StartSeconds, p.Second, 0.01));
        }
    }

    private static SoundFileReader Captured(SoundSource sound)
    {
        var stream = new MemoryStream();
        using (var writer = new WavWriter(stream, Rate, 2, WavSamples.Float32))
        {
            var (left, right) = (new float[4096], new float[4096]);
            for (int n; (n = sound.Read(left, right)) > 0;)
                writer.Write(left.AsSpan(0, n), right.AsSpan(0, n));
        }

        return SoundFile.Open(new MemoryStream(stream.ToArray()));
    }
}
