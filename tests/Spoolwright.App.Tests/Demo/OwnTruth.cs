using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Scenario;

namespace Spoolwright.App.Tests.Demo;

/// <summary>Readings of the deck's own recordings held against what the practice deck computes without its sound.</summary>
internal static class OwnTruth
{
    // The multitone's level.
    private const double ToneDb = -30;

    /// <summary>Every reading of which there is a truth lies within its uncertainty of it, and what is said beside it.</summary>
    public static void Compare(OwnPass pass, FiledMeasurement filed)
    {
        var truth = pass.Truth;
        foreach (var reading in filed.Result.Readings.Where(r => r.Judgeable))
        {
            var side = reading.Channel == Channel.Right ? PracticeSide.Right : PracticeSide.Left;
            var (expected, allowed) = Expected(pass, truth, reading, side);
            if (double.IsNaN(expected))
                continue;
            Assert.True(
                Math.Abs(reading.Value - expected) <= reading.Uncertainty!.Value + allowed,
                $"{pass.FileName}: {reading.Quantity} {reading.Channel} at {reading.FrequencyHz} Hz reads {reading.Value} ± {reading.Uncertainty}, true is {expected}");
        }
    }

    private static (double Expected, double Allowed) Expected(OwnPass pass, RecordTruth truth, Reading reading, PracticeSide side)
    {
        double Interface(double hertz) => BenchInterface.ResponseDb(side == PracticeSide.Left, hertz, pass.SampleRateHz);
        var hz = reading.FrequencyHz ?? 1000;
        return reading.Quantity switch
        {
            // The interface's response is taken out by the loopback. Tones that stand together are brought up by each other's flux, which the truth of one tone
            // leaves out: up to 0.04 dB at 12.5 kHz and the slow speed (computed with the practice deck, one tone against all).
            // Tones that the deck as found leaves 20 dB down lie among the products of the others, which nobody can tell from them.
            "response" when truth.ResponseDb(side, hz, ToneDb) > -20 => (truth.ResponseDb(side, hz, ToneDb), 0.05),
            "bias-peak" => (truth.BiasPeakDbfs(side, hz) + Interface(hz), 0.15),
            "overbias" => (truth.BiasDropDb(side, hz), 0.1),
            "mol" => (truth.MolDbfs(side), 0.1),

            // The realised noise of some seconds, and bias folded into the capture, which the truth leaves out.
            "noise-a" when side == PracticeSide.Left => (truth.NoiseDbfs(side, NoiseWeight.A), 0.1),
            "erase-depth" => (truth.EraseDepthDb(1000), 0.2),
            "separation" when pass.Kind == OwnCapture.Pair => (truth.SeparationDb(side, hz, 0), 0.15),
            _ => (double.NaN, 0),
        };
    }
}
