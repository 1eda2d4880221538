using Spoolwright.Signal.Live;

namespace Spoolwright.Signal.Tests.Live;

/// <summary>Lost samples seen by a tone's phase, and what looks like it and is none: flutter, a gap between tones, a dropout, one channel
/// alone.</summary>
public sealed class PhaseJumpTests
{
    private const int Rate = 48_000;

    [Theory]
    [InlineData(1000, 17, 0.0005)]
    [InlineData(1000, 512, 0.0005)]
    [InlineData(3150, 128, 0.0005)]
    [InlineData(10_000, 2, 0.00005)] // a high tone wanders far by itself: what it shows is seen on a steady deck alone
    public void Samples_LostFromATone_AreSeenOnce(double hz, int lost, double flutter) =>
        Assert.Equal(1, Jumps(hz, flutter, lost, fault: 0));

    [Theory]
    [InlineData(1000, 0.002, 0)]
    [InlineData(3150, 0.003, 0)]
    [InlineData(10_000, 0.001, 0)]
    [InlineData(1000, 0.0005, 1)]
    [InlineData(1000, 0.0005, 2)]
    [InlineData(1000, 0.0005, 3)]
    [InlineData(1000, 0.0005, 4)]
    public void WhatADeckDoes_IsNoLoss(double hz, double flutter, int fault) => Assert.Equal(0, Jumps(hz, flutter, 0, fault));

    // fault: 1 a gap of 0.2 s after which the tone begins anew; 2 a dropout of 10 ms in both channels; 3 a jump in one channel alone; 4 a
    // step of level.
    private static int Jumps(double hz, double flutter, int lost, int fault)
    {
        var tones = new LiveTones(Rate);
        float[] left = new float[6 * Rate], right = new float[6 * Rate];
        var random = new Random(5);
        for (var i = 0; i < left.Length; i++)
        {
            var late = i > 3 * Rate;
            var at = i + (late ? lost : 0) + (fault == 1 && late ? 23 : 0);
            var t = (double)at / Rate;
            var place =
                t
                + (flutter / (2 * Math.PI * 7) * Math.Sin(2 * Math.PI * 7 * t))
                + (flutter / (2 * Math.PI * 1.3) * Math.Sin(2 * Math.PI * 1.3 * t));
            var loud =
                fault == 1 && late && i < 3.2 * Rate ? 0
                : fault == 2 && late && i < 3.01 * Rate ? 0.1
                : fault == 4 && late ? 1.6
                : 1;
            double Noise() => 3e-5 * (random.NextDouble() - 0.5);
            left[i] = (float)((0.2 * loud * Math.Sin(2 * Math.PI * hz * place)) + Noise());
            right[i] = (float)((0.2 * loud * Math.Sin((2 * Math.PI * hz * place) - 0.4 - (fault == 3 && late ? 1.2 : 0))) + Noise());
        }

        for (var at = 0; at < left.Length; at += 480)
            tones.Add(left.AsSpan(at, 480), right.AsSpan(at, 480));
        return tones.Jumps;
    }
}
