using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tests.Recording;

namespace Spoolwright.Practice.Tests.Scenario;

public class AutoReverseRecorderTests
{
    [Theory]
    [InlineData(AutoReverseRecorder.Normal)]
    [InlineData(AutoReverseRecorder.High)]
    public void Deck_AsLeft_RecordsWithinTheUsualLimits_AndAsFoundDoesNot(string setting)
    {
        // Common practice, no source: overall response of a good deck within 3 dB, here to 16 kHz at 19.05 cm/s.
        var response = new List<(double Left, double Found)>();
        foreach (var direction in new[] { TapeDirection.Forward, TapeDirection.Reverse })
        {
            foreach (var side in new[] { PracticeSide.Left, PracticeSide.Right })
            {
                foreach (var hertz in new[] { 40.0, 100, 400, 3000, 8000, 12500, 16000 })
                    response.Add(
                        (
                            Truth(AutoReverseDeck.AsLeft, setting, direction).ResponseDb(side, hertz),
                            Truth(AutoReverseDeck.AsFound, setting, direction).ResponseDb(side, hertz)
                        )
                    );
            }
        }

        Assert.All(response, r => Assert.InRange(r.Left, -3, 3));
        Assert.Contains(response, r => Math.Abs(r.Found) > 3.5);
    }

    [Fact]
    public void Deck_AsFound_ErasesPoorlyInReverse_AndLeaksBias()
    {
        var found = Truth(AutoReverseDeck.AsFound, AutoReverseRecorder.Normal, TapeDirection.Reverse);
        var left = Truth(AutoReverseDeck.AsLeft, AutoReverseRecorder.Normal, TapeDirection.Reverse);
        Assert.Equal(48, found.EraseDepthDb(1000), 0.2);
        Assert.InRange(left.EraseDepthDb(1000), 65, 80);
        Assert.True(found.BiasLeak(PracticeSide.Right)!.Value.Dbfs > left.BiasLeak(PracticeSide.Right)!.Value.Dbfs + 20);
        Assert.True(Math.Abs(found.TimeSkewMicroseconds) > 2 && Math.Abs(left.TimeSkewMicroseconds) < 3);
    }

    private static RecordTruth Truth(PracticeDeck deck, string setting, TapeDirection direction)
    {
        var stock = deck.Recorder!.Setting(setting).LaidOutFor;
        using var session = deck.Monitor(
            RecordedTape.Blank(stock, 19.05),
            new RecordOptions
            {
                SpeedCmPerS = 19.05,
                Setting = setting,
                Direction = direction,
            },
            Fed.Tone(1000, -20),
            1
        );
        return session.Truth;
    }
}
