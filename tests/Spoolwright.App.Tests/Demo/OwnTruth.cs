using System.Globalization;
using System.Text.RegularExpressions;
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
        if (pass.Kind == OwnCapture.Tone)
            CompareDropouts(pass, filed);
        foreach (var reading in filed.Result.Readings.Where(r => r.Judgeable))
        {
            var side = reading.Channel == Channel.Right ? PracticeSide.Right : PracticeSide.Left;
            var (expected, allowed) = Expected(pass, truth, reading, side);
            if (double.IsNaN(expected))
                continue;
            Assert.True(
                Math.Abs(reading.Value - expected) <= reading.Uncertainty!.Value + allowed,
                $"{pass.FileName}: {reading.Quantity} {reading.Channel} at {reading.FrequencyHz} Hz reads {reading.Value} ± {reading.Uncertainty}, true is {expected}"
            );
        }
    }

    private static (double Expected, double Allowed) Expected(OwnPass pass, RecordTruth truth, Reading reading, PracticeSide side)
    {
        double Interface(double hertz) => BenchInterface.ResponseDb(side == PracticeSide.Left, hertz, pass.SampleRateHz);
        var hz = reading.FrequencyHz ?? 1000;
        return reading.Quantity switch
        {
            // The interface's response is taken out by the loopback. Tones that stand together are brought up by each other's flux, which
            // the truth of one tone leaves out: up to 0.04 dB at 12.5 kHz and the slow speed (computed with the practice deck, one tone
            // against all). Tones that the deck as found leaves 20 dB down lie among the products of the others, which nobody can tell from
            // them.
            "response" when truth.ResponseDb(side, hz, ToneDb) > -20 => (truth.ResponseDb(side, hz, ToneDb), 0.05),
            "bias-peak" => (truth.BiasPeakDbfs(side, hz) + Interface(hz), 0.15),
            "overbias" => (truth.BiasDropDb(side, hz), 0.1),
            "mol" => (truth.MolDbfs(side), 0.1),

            // The realised noise of some seconds; bias folded into the capture counts in it.
            "noise-a" => (Noise(truth, side, NoiseWeight.A, Interface), Chance(reading)),
            "noise-unweighted" => (Noise(truth, side, NoiseWeight.Unweighted, Interface), Chance(reading)),
            "saturation" => (truth.SaturationDbfs(side, hz) + Interface(hz), 0),

            // Of the step of the ramp that was read, found by its level.
            "thd" when pass.Kind == OwnCapture.Ramp => (truth.ThdPercent(side, hz, StepRead(pass, truth, reading, side)), 0.01),
            "third-harmonic" when pass.Kind == OwnCapture.Ramp => (
                truth.ThirdHarmonicPercent(side, hz, StepRead(pass, truth, reading, side)),
                0.01
            ),

            // Against the reference level that the reading itself names: that one is held against its own truth among the test tape's
            // readings.
            "reverse-leak" => (Told(reading, "reference level given, ") - truth.OtherDirectionDbfs(side, pass.OtherTruth, hz, 0), 0.05),
            "erase-depth" => (truth.EraseDepthDb(1000), 0.2),
            "separation" when pass.Kind == OwnCapture.Pair => (truth.SeparationDb(side, hz, 0), 0.15),
            _ => (double.NaN, 0),
        };
    }

    // By how much another capture of such noise may differ, as the reading says to two decimals: of a hundred some lie beyond k = 2. Two
    // more hundredths lie between the two rooms' weightings.
    private static double Chance(Reading reading) =>
        0.02 + 1.5 * double.Parse(Regex.Match(reading.Method, "up to ([0-9.]+) dB").Groups[1].Value, CultureInfo.InvariantCulture);

    private static double Noise(RecordTruth truth, PracticeSide side, NoiseWeight weight, Func<double, double> through)
    {
        var power = Math.Pow(10, truth.NoiseDbfs(side, weight, through: through) / 10);
        if (truth.BiasLeak(side) is var (hertz, dbfs))
            power += Math.Pow(10, (dbfs + RecordTruth.WeightDb(weight, hertz) + through(hertz)) / 10);
        return 10 * Math.Log10(power);
    }

    private static double StepRead(OwnPass pass, RecordTruth truth, Reading reading, PracticeSide side)
    {
        var level = Told(reading, ", at ");
        return pass
            .Program.Steps.SelectMany(s => s.Tones)
            .Select(t => t.LevelDb)
            .MinBy(db => Math.Abs(truth.LevelDbfs(side, reading.FrequencyHz!.Value, db) - level));
    }

    private static double Told(Reading reading, string after) =>
        double.Parse(Regex.Match(reading.Method, Regex.Escape(after) + "(-?[0-9.]+) dBFS").Groups[1].Value, CultureInfo.InvariantCulture);

    /// <summary>
    /// Every dropout that the tape surely has is counted, and none that it surely has not: those longer or deeper than asked for by more
    /// than the edges' slope and the band allow, or less.
    /// </summary>
    private static void CompareDropouts(OwnPass pass, FiledMeasurement filed)
    {
        // The tone begins and ends with the markers; a second at either end is left open.
        var seconds = pass.Program.Seconds;
        var all = pass.Truth.Dropouts(seconds);
        foreach (var reading in filed.Result.Readings.Where(r => r.Quantity == "dropout-count"))
        {
            int Count(double db, double ms, double open) =>
                all.Count(d =>
                    (reading.Channel == Channel.Right ? d.Right : d.Left)
                    && d.DepthDb > db
                    && d.Milliseconds > ms
                    && d.StartSeconds > open
                    && d.StartSeconds < seconds - open
                );
            var (least, most) = (Count(7, 12, 4), Count(5.5, 5, 0));
            Assert.True(
                reading.Value >= least && reading.Value <= most,
                $"{pass.FileName}: {reading.Value} dropouts {reading.Channel}, {least} to {most} are true"
            );
        }
    }
}
