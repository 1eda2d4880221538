using Spoolwright.Bench.Causes;

namespace Spoolwright.Bench.Tests.Causes;

/// <summary>Readings made from closed forms written here, not from the program's laws.</summary>
internal static class Synthetic
{
    public static readonly double[] Tones = [40, 63, 125, 250, 500, 2000, 4000, 6300, 8000, 10000, 12500, 16000];

    /// <summary>Loss by tape held off the gap, dB: 54.575 dB a wavelength.</summary>
    public static double Spacing(double micrometres, double hertz, double speed) => -54.575 * micrometres * hertz / (speed * 1e4);

    /// <summary>Loss by an open gap of an effective length, dB.</summary>
    public static double Gap(double effectiveMicrometres, double hertz, double speed) => Sinc(effectiveMicrometres * hertz / (speed * 1e4));

    /// <summary>Loss by a lean over a track 1 mm wide, dB.</summary>
    public static double Azimuth(double arcmin, double hertz, double speed) =>
        Sinc(1000 * Math.Tan(arcmin / 3437.747) * hertz / (speed * 1e4));

    /// <summary>A treble time constant that is off, dB.</summary>
    public static double Treble(double microseconds, double percent, double hertz)
    {
        double Db(double t) => 10 * Math.Log10(1 + Math.Pow(2e-6 * Math.PI * hertz * t, 2));
        return Db(microseconds * (1 + (percent / 100))) - Db(microseconds);
    }

    /// <summary>Playback of both channels under a condition; each response is what the functions give, held against 1 kHz.</summary>
    public static MeasuredUnder Playback(
        Condition condition,
        Func<double, double> left,
        Func<double, double> right,
        double uncertainty = 0.1
    )
    {
        var readings = new List<Reading>();
        foreach (var (channel, loss) in new[] { (Channel.Left, left), (Channel.Right, right) })
        {
            readings.AddRange(
                Tones
                    .Where(f => f < 13000 || condition.SpeedCmPerS > 15)
                    .Select(f => Reading("response", loss(f) - loss(1000), "dB", uncertainty, channel, f))
            );
            readings.Add(Reading("playback-level", -12 + loss(1000), "dBFS", 0.05, channel));
        }

        return new MeasuredUnder("playback", condition, readings);
    }

    public static Reading Reading(
        string quantity,
        double value,
        string unit,
        double? uncertainty,
        Channel channel = Channel.Both,
        double? hertz = null
    ) =>
        new()
        {
            Quantity = quantity,
            Value = value,
            Unit = unit,
            Uncertainty = uncertainty,
            Channel = channel,
            FrequencyHz = hertz,
            Method = "closed form",
        };

    private static double Sinc(double u) => u < 1e-9 ? 0 : 20 * Math.Log10(Math.Abs(Math.Sin(Math.PI * u) / (Math.PI * u)));
}
