using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Instruments;

/// <summary>The interface's own figures at one frequency.</summary>
/// <param name="FrequencyHz">Frequency, Hz.</param>
/// <param name="LeftDb">Left response against the reference frequency, dB; null: not measured.</param>
/// <param name="LeftUncertaintyDb">k = 2, dB.</param>
/// <param name="RightDb">The same, right.</param>
/// <param name="RightUncertaintyDb">k = 2, dB.</param>
/// <param name="PhaseDegrees">Right minus left, degrees; null: not measured.</param>
/// <param name="PhaseUncertaintyDegrees">k = 2, degrees.</param>
/// <param name="LeftMostThdPercent">The most total harmonic distortion of a tone there, its uncertainty (k = 2) added, %; null: not
/// measured.</param>
/// <param name="RightMostThdPercent">The same, right.</param>
public sealed record LoopbackTone(
    double FrequencyHz,
    double? LeftDb,
    double LeftUncertaintyDb,
    double? RightDb,
    double RightUncertaintyDb,
    double? PhaseDegrees,
    double PhaseUncertaintyDegrees,
    double? LeftMostThdPercent = null,
    double? RightMostThdPercent = null
);

/// <summary>
/// What an audio interface does to sound by itself, from its output wired to its input: kept as its calibration and taken out of later
/// figures. Between the frequencies measured a smooth curve is drawn over their logarithm, never beyond them.
/// </summary>
public sealed record LoopbackCalibration
{
    // Between two points the curve may be off by a part of their difference; a tenth for curves as smooth as an interface's, common
    // practice, no source.
    private const double BetweenShare = 0.1;

    /// <summary>The interface, as its owner calls it.</summary>
    public required string Interface { get; init; }

    /// <summary>Day of the capture.</summary>
    public required DateOnly MeasuredOn { get; init; }

    public required int SampleRateHz { get; init; }

    /// <summary>Hash of the capture it was read from, lower-case hex.</summary>
    public required string CaptureSha256 { get; init; }

    /// <summary>Frequency at which the responses are 0, Hz.</summary>
    public required double ReferenceHz { get; init; }

    /// <summary>Delay of the right channel against the left, µs; null with one channel.</summary>
    public double? SkewMicroseconds { get; init; }

    /// <summary>k = 2, µs.</summary>
    public double SkewUncertaintyMicroseconds { get; init; }

    /// <summary>At least one, by rising frequency.</summary>
    public required IReadOnlyList<LoopbackTone> Tones { get; init; }

    /// <summary>Lowest frequency measured, Hz.</summary>
    public double LowestHz => Tones[0].FrequencyHz;

    /// <summary>Highest frequency measured, Hz.</summary>
    public double HighestHz => Tones[^1].FrequencyHz;

    /// <summary>Whether a frequency lies among those measured (to a thousandth at the ends).</summary>
    public bool Reaches(double frequencyHz) => frequencyHz >= LowestHz * 0.999 && frequencyHz <= HighestHz * 1.001;

    /// <summary>Makes the calibration of what <c>loopback</c> read.</summary>
    /// <exception cref="CannotMeasureException">The readings hold no tone.</exception>
    public static LoopbackCalibration Of(MeasurementResult result, Capture capture, string interfaceName, DateOnly measuredOn)
    {
        ArgumentNullException.ThrowIfNull(result);
        ArgumentNullException.ThrowIfNull(capture);
        Reading? Find(Quantity quantity, Channel channel, double? hz) =>
            result.Readings.FirstOrDefault(r => r.Quantity == quantity.Id && r.Channel == channel && r.FrequencyHz.Equals(hz));
        var responses = result.Readings.Where(r => r.Quantity == Quantity.Response.Id).ToArray();
        if (responses.Length == 0)
        {
            throw new CannotMeasureException("no-tone", "Nothing was read that could calibrate the interface.");
        }

        double? Most(Channel channel, double hz) =>
            Find(Quantity.Thd, channel, hz) is { Uncertainty: { } spread } thd ? thd.Value + spread : null;
        var skew = Find(Quantity.TimeSkew, Channel.Both, null);
        return new LoopbackCalibration
        {
            Interface = interfaceName,
            MeasuredOn = measuredOn,
            SampleRateHz = capture.SampleRateHz ?? throw new ArgumentException("A calibration is made of sound.", nameof(capture)),
            CaptureSha256 = capture.Sha256,
            ReferenceHz = responses.MinBy(r => r.Value == 0 ? 0 : 1)!.FrequencyHz!.Value,
            SkewMicroseconds = skew?.Value,
            SkewUncertaintyMicroseconds = skew?.Uncertainty ?? 0,
            Tones =
            [
                .. responses
                    .Select(r => r.FrequencyHz!.Value)
                    .Distinct()
                    .Order()
                    .Select(hz =>
                    {
                        Reading? left = Find(Quantity.Response, Channel.Left, hz),
                            right = Find(Quantity.Response, Channel.Right, hz),
                            phase = Find(Quantity.Phase, Channel.Both, hz);
                        return new LoopbackTone(
                            hz,
                            left?.Value,
                            left?.Uncertainty ?? 0,
                            right?.Value,
                            right?.Uncertainty ?? 0,
                            phase?.Value,
                            phase?.Uncertainty ?? 0,
                            Most(Channel.Left, hz),
                            Most(Channel.Right, hz)
                        );
                    }),
            ],
        };
    }

    /// <summary>Refuses a capture that this calibration says nothing of.</summary>
    /// <exception cref="CannotMeasureException">Another rate or interface, or too long before or after.</exception>
    public void MustFit(int sampleRateHz, MeasurementSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        if (sampleRateHz != SampleRateHz)
        {
            throw Unfit(
                $"was made at {SampleRateHz} Hz and the capture at {sampleRateHz} Hz: an interface's filters differ with its rate. Make one at {sampleRateHz} Hz"
            );
        }

        if (settings.InterfaceName is { } name && !string.Equals(name.Trim(), Interface.Trim(), StringComparison.OrdinalIgnoreCase))
        {
            throw Unfit($"is of the interface \"{Interface}\" and the capture of \"{name}\". Give the one that made the capture");
        }

        if (
            settings.LoopbackMaxAgeDays is { } most
            && settings.CapturedOn is { } day
            && Math.Abs(day.DayNumber - MeasuredOn.DayNumber) > most
        )
        {
            throw Unfit(
                FormattableString.Invariant(
                    $"is of {MeasuredOn:yyyy-MM-dd}, {Math.Abs(day.DayNumber - MeasuredOn.DayNumber)} days from the capture's {day:yyyy-MM-dd}, and {most:0.##} are allowed. Make a new one"
                )
            );
        }
    }

    /// <summary>Response at a frequency less that at another, dB, with its uncertainty (k = 2); null where either lies outside or was not
    /// measured.</summary>
    public (double Db, double Uncertainty)? ResponseBetween(double frequencyHz, double referenceHz, Channel channel)
    {
        var here = At(frequencyHz, Value, Spread);
        var there = At(referenceHz, Value, Spread);
        return here is { } a && there is { } b
            ? frequencyHz.Equals(referenceHz) ? (0, 0) : (a.Value - b.Value, double.Hypot(a.Uncertainty, b.Uncertainty))
            : null;

        double? Value(LoopbackTone t) => channel == Channel.Right ? t.RightDb : t.LeftDb;
        double Spread(LoopbackTone t) => channel == Channel.Right ? t.RightUncertaintyDb : t.LeftUncertaintyDb;
    }

    /// <summary>Phase of right minus left at a frequency, degrees, with its uncertainty (k = 2); null where it lies outside or was not
    /// measured.</summary>
    public (double Degrees, double Uncertainty)? PhaseAt(double frequencyHz)
    {
        // The delay goes as the frequency itself; what is left beside it is smooth.
        var slope = -360e-6 * (SkewMicroseconds ?? 0);
        return
            At(
                frequencyHz,
                t => t.PhaseDegrees is { } p ? Math.IEEERemainder(p - (slope * t.FrequencyHz), 360) : null,
                t => t.PhaseUncertaintyDegrees
            )
                is { } rest
            ? (Math.IEEERemainder(rest.Value + (slope * frequencyHz), 360), rest.Uncertainty)
            : null;
    }

    /// <summary>The most of its own distortion that the interface may add to a tone, as a ratio: the larger of the two tones beside it;
    /// null where it was not measured.</summary>
    public double? MostDistortion(double frequencyHz, Channel channel)
    {
        double? Of(LoopbackTone? t) => channel == Channel.Right ? t?.RightMostThdPercent : t?.LeftMostThdPercent;
        var known = Tones.Where(t => Of(t) is not null).ToArray();
        var beside = new[]
        {
            known.LastOrDefault(t => t.FrequencyHz <= frequencyHz * 1.03),
            known.FirstOrDefault(t => t.FrequencyHz >= frequencyHz * 0.97),
        };
        return beside.Any(b => b is null) ? null : beside.Max(Of) / 100;
    }

    private (double Value, double Uncertainty)? At(double frequencyHz, Func<LoopbackTone, double?> value, Func<LoopbackTone, double> spread)
    {
        var points = Tones.Where(t => value(t) is not null).ToArray();
        if (points.Length == 0 || frequencyHz < points[0].FrequencyHz * 0.999 || frequencyHz > points[^1].FrequencyHz * 1.001)
        {
            return null;
        }

        double[] x = [.. points.Select(t => Math.Log(t.FrequencyHz))], y = [.. points.Select(t => value(t)!.Value)];
        var at = Math.Clamp(Math.Log(frequencyHz), x[0], x[^1]);
        var i = Math.Max(0, Math.Min(x.Length - 2, Array.FindLastIndex(x, v => v <= at)));
        if (points.Length == 1)
        {
            return (y[0], spread(points[0]));
        }

        var u = (at - x[i]) / (x[i + 1] - x[i]);
        var bend = 4 * u * (1 - u); // 0 at the points, 1 half way
        var own = double.Hypot((1 - u) * spread(points[i]), u * spread(points[i + 1]));
        // The first and the last piece know the curve's bend from one side only.
        var share = i == 0 || i == x.Length - 2 ? 2 * BetweenShare : BetweenShare;
        return (SmoothCurve.At(x, y, i, u), double.Hypot(own, share * bend * Math.Abs(y[i + 1] - y[i])));
    }

    private CannotMeasureException Unfit(string why) =>
        new("loopback-does-not-fit", $"The loopback calibration {why}, or leave --loopback out.");
}
