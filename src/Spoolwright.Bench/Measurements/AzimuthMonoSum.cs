namespace Spoolwright.Bench.Measurements;

/// <summary>
/// Level lost when both channels are summed to mono: |a + b·exp(jφ)| against a + b, so channels of unequal level cannot cancel wholly.
/// </summary>
internal static class MonoSumLoss
{
    /// <summary>The reading at one tone.</summary>
    public static Reading Reading(FoundTone tone)
    {
        var left = tone.Figures.Left;
        var right = tone.Figures.Right!.Value;
        var phase = tone.Figures.Phase!.Value.Value;
        var reach = AzimuthMeasurement.PhaseUncertainty(tone);
        var balance = right.LevelDb - left.LevelDb;

        // The loss is curved, and flat at 0°: what the phase's whole interval can give is a range; its middle is the value, half of it the
        // uncertainty. So the truth lies within as often as the phase's does.
        double from = Math.Abs(phase) - reach, to = Math.Abs(phase) + reach;
        var least = from <= 0 ? 0 : Db(from, balance);
        var most = Db(Math.Min(to, 180), balance);
        var byBalance = double.Hypot(
            double.Hypot(left.LevelNoiseDb, right.LevelNoiseDb), tone.Figures.BalanceMethodDb);
        var spread = Math.Abs(Db(phase, balance + byBalance) - Db(phase, balance - byBalance)) / 2;
        return Uncertain.Reading(
            Quantity.MonoSumLoss,
            (least + most) / 2,
            [new("phase", (most - least) / 2), new("balance", spread)],
            "levels and phase of both channels added; the middle of what the phase's uncertainty allows",
            frequencyHz: tone.Tone.FrequencyHz
        );
    }

    private static double Db(double degrees, double balanceDb)
    {
        var ratio = Math.Pow(10, balanceDb / 20);
        var cos = Math.Cos(double.DegreesToRadians(degrees));
        var power = (1 + (ratio * ratio) + (2 * ratio * cos)) / ((1 + ratio) * (1 + ratio));
        return -10 * Math.Log10(Math.Max(power, 1e-12));
    }
}
