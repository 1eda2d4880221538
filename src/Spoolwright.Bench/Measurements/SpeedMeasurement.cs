using System.Globalization;
using Spoolwright.Bench.Standards;
using Spoolwright.Signal;
using Spoolwright.Signal.Flutter;
using Spoolwright.Signal.Levels;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Measurements;

/// <summary>The <c>speed</c> measurement: speed error, drift, wow and flutter by every detector, and the lines that turning parts
/// leave.</summary>
public static class SpeedMeasurement
{
    /// <summary>How everything else knows it.</summary>
    public static MeasurementEntry Entry { get; } = new(
        "speed",
        "Speed and flutter",
        "Reads speed error, drift, wow and flutter by every usual detector, and the lines that rotating parts leave.",
        "Play the steady tone of a speed and flutter test tape (3150 or 3000 Hz, or any other tone given by its nominal frequency) for 30 seconds "
        + "or more, and capture both channels. A longer capture shows slower parts: two turns of a full reel take 5 to 20 seconds.",
        [
            Quantity.SpeedError, Quantity.Drift, Quantity.QuasiPeak, Quantity.QuasiPeakMaximum, Quantity.TwoSigma, Quantity.WeightedRms,
            Quantity.UnweightedRms, Quantity.WowRms, Quantity.FlutterRms, Quantity.ScrapeRms, Quantity.FlutterLine, Quantity.MainsFrequency,
        ],
        "[IEC60386:1972] [AES6:2008]",
        Measure)
    {
        Takes = SettingKinds.Nominal | SettingKinds.TestTape | SettingKinds.Deck | SettingKinds.ReelRadii | SettingKinds.Clock,
    };

    // One channel's noise is told in a note where it may hide more of the scrape than this share.
    private const double ScrapeToldWithin = 0.05;

    private const string Demodulated = "tone demodulated, both channels by signal to noise";

    /// <summary>Measures a source from its start to its end.</summary>
    /// <exception cref="CannotMeasureException">There is no steady tone to measure by.</exception>
    public static MeasurementResult Measure(SoundSource source, MeasurementSettings settings, IProgress<double>? progress)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(settings);
        double? seconds = source.Frames is { } frames ? (double)frames / source.SampleRateHz : null;
        var meter = new FlutterMeter(FlutterPractice.Settings(settings.NominalHz), source.SampleRateHz, source.Channels, seconds);
        var inspector = new SoundInspector(source.SampleRateHz, source.Channels);
        var mains = new MainsWatch(source.SampleRateHz, source.Channels);
        SoundPump.Run(
            source,
            meter.Add,
            (left, right) =>
            {
                inspector.Add(left, right);
                mains.Add(left, right);
            },
            progress);
        Breaks.Refuse(inspector);
        var result = meter.Finish();
        var notes = new List<Note>(source.Notes);
        notes.AddRange(inspector.Notes());
        var report = Report(result, settings, notes);
        return report with { Readings = [.. report.Readings, .. mains.Finish().Take(1).Select(m => Mains(m, settings))] };
    }

    /// <summary>The mains frequency by its hum lines.</summary>
    internal static Reading Mains(MainsFrequency mains, MeasurementSettings settings) =>
        Uncertain.Reading(
            Quantity.MainsFrequency,
            mains.Hz,
            [
                new UncertaintyPart("noise", 2 * mains.Sigma),
                new UncertaintyPart("interface-clock", settings.ClockUncertaintyPpm is { } ppm ? ppm * 1e-6 * mains.Hz : null),
            ],
            FormattableString.Invariant(
                $"centre of {mains.Lines} hum {(mains.Lines == 1 ? "line" : "lines")} of the {mains.Family} Hz family, each by its power"
            )
        );

    /// <summary>Turns what the meter found into readings.</summary>
    public static MeasurementResult Report(FlutterResult result, MeasurementSettings settings, List<Note> notes)
    {
        var readings = new List<Reading>
        {
            SpeedError(result, settings),
            Simple(
                Quantity.Drift,
                result.Drift,
                $"straight line fitted to the speed over {Number(result.Seconds)} s, its change from start to end"
            ),
        };
        var band =
            $"{Demodulated}, stopped at {Number(result.HighestHz)} Hz (flat to there, −80 dB a fifth above, less so in the last 0.1 s at either end)";
        if (result.QuasiPeak is { } quasiPeak)
        {
            var detector =
                $"{band}; weighting and quasi-peak detector after [IEC60386:1988], table from memory; half of peak to peak, after {FlutterPractice.SettlingSeconds:0} s of settling";
            readings.Add(Simple(Quantity.QuasiPeak, quasiPeak, detector + ", 95th percentile in time"));
            readings.Add(Simple(Quantity.QuasiPeakMaximum, result.QuasiPeakMaximum!.Value, detector + ", highest"));
        }

        if (result.TwoSigma is { } twoSigma)
        {
            readings.Add(
                Simple(
                    Quantity.TwoSigma,
                    twoSigma,
                    $"{band}; weighting after [IEC60386:1988], deviation exceeded for 5 % of {Number(result.Seconds)} s after [AES6:2008]"
                )
            );
        }

        readings.Add(Simple(Quantity.WeightedRms, result.WeightedRms, $"{band}; weighting after [IEC60386:1988], root mean square"));
        readings.Add(
            Simple(
                Quantity.UnweightedRms,
                result.UnweightedRms,
                $"{band}; {Number(FlutterPractice.LowestHz)} to {Number(result.HighestHz)} Hz, root mean square"
            )
        );
        readings.Add(
            Simple(
                Quantity.WowRms,
                result.WowRms,
                $"{band}; {Number(FlutterPractice.LowestHz)} to {Number(FlutterPractice.WowFlutterHz)} Hz, root mean square"
            )
        );
        readings.Add(
            Simple(
                Quantity.FlutterRms,
                result.FlutterRms,
                $"{band}; {Number(FlutterPractice.WowFlutterHz)} to {Number(result.HighestHz)} Hz, root mean square"
            )
        );
        if (result.ScrapeRms is { } scrape)
        {
            readings.Add(Scrape(result, scrape));
            if (result.ScrapeUntold is { } untold && untold > ScrapeToldWithin * scrape.Value)
            {
                notes.Add(Note.Hint("scrape-at-least", string.Create(CultureInfo.InvariantCulture,
                    $"{(result.OneChannel ? "One channel" : "Two channels with the same noise")} cannot tell broad scrape flutter from the carrier's noise: read the figure as at least so much. "
                    + $"If all of that noise were scrape, it would be {scrape.Value + untold:0.####} %. Capture both channels of the deck.")));
            }
        }

        readings.AddRange(SpeedLines.Readings(result, settings, notes));
        AddNotes(result, settings, notes);
        return new MeasurementResult("speed", readings, notes, Traces(result));
    }

    private static Reading SpeedError(FlutterResult result, MeasurementSettings settings)
    {
        var value = 100 * ((result.MeanHz.Value / result.NominalHz) - 1);
        var parts = new List<UncertaintyPart>
        {
            new("noise", 100 * result.MeanHz.Noise / result.NominalHz),
            new("method", 100 * result.MeanHz.Method / result.NominalHz),
            new("interface-clock", settings.ClockUncertaintyPpm is { } ppm ? ppm * 1e-4 : null),
            new("test-tape", settings.TestTape?.SpeedUncertaintyPercent),
        };
        return Uncertain.Reading(
            Quantity.SpeedError,
            value,
            parts,
            $"{Demodulated}; time mean over {Number(result.Seconds)} s against {result.NominalHz.ToString("0.##", CultureInfo.InvariantCulture)} Hz"
        );
    }

    // What one channel leaves open is no matter of chance: it is counted whole.
    private static Reading Scrape(FlutterResult result, Estimate scrape) => Uncertain.Reading(
        Quantity.ScrapeRms, scrape.Value,
        [
            new UncertaintyPart("noise", scrape.Noise), new UncertaintyPart("method", scrape.Method),
            .. result.ScrapeUntold is { } untold ? (UncertaintyPart[])[new("scrape-or-noise", untold)] : [],
        ],
        $"{Demodulated}; {Number(result.HighestHz)} to {Number(result.ScrapeHighestHz)} Hz (the carrier sets the upper end), noise taken out, root mean square");

    private static Reading Simple(Quantity quantity, Estimate estimate, string method) =>
        Uncertain.Reading(
            quantity,
            estimate.Value,
            [new UncertaintyPart("noise", estimate.Noise), new UncertaintyPart("method", estimate.Method)],
            method
        );

    private static void AddNotes(FlutterResult result, MeasurementSettings settings, List<Note> notes)
    {
        if (settings.NominalHz is null)
        {
            var usual = result.NominalHz is 3150 or 3000;
            notes.Add(Note.Hint("nominal-assumed", usual
                ? $"The tone was taken for {result.NominalHz:0} Hz. Speed counts from that; if the tape says otherwise, give --nominal."
                : $"The tone was taken for {result.NominalHz:0} Hz, which is not the usual 3150 or 3000 Hz of a speed tape. Give --nominal to be sure."));
        }

        if (result.QuasiPeak is null)
        {
            notes.Add(
                Note.Warning(
                    "too-short-for-quasi-peak",
                    $"Only {result.Seconds:0.0} s of unbroken tone: the quasi-peak detector needs {FlutterPractice.SettlingSeconds:0} s to settle and some more to read. Record 30 s."
                )
            );
        }

        if (result.TwoSigma is null)
        {
            notes.Add(
                Note.Warning(
                    "too-short-for-two-sigma",
                    $"Only {result.Seconds:0.0} s of tone: the two-sigma figure needs {Aes6Edition2008.ShortestSeconds:0} s. Record 30 s."
                )
            );
        }
        else if (result.Seconds < 20)
        {
            notes.Add(
                Note.Hint(
                    "short",
                    $"{result.Seconds:0.0} s of tone is little for slow wow: reels turn once in 1 to 4 s. Record 30 s or more."
                )
            );
        }

        if (result.Gaps > 0)
        {
            notes.Add(
                Note.Warning(
                    "tone-lost",
                    $"The tone was lost {result.Gaps} {(result.Gaps == 1 ? "time" : "times")}, {result.LostSeconds:0.00} s in all; those places were left out. Look for dropouts, and clean heads and tape path."
                )
            );
        }

        if (result.StartSeconds > 0.5)
        {
            notes.Add(
                Note.Hint(
                    "late-start",
                    $"The tone begins {result.StartSeconds:0.0} s into the capture; what stands before it was left out."
                )
            );
        }

        if (result.SnrDb < 40)
        {
            notes.Add(
                Note.Warning(
                    "low-signal-to-noise",
                    $"The tone lies only {result.SnrDb:0} dB over its noise (in 20 kHz); flutter figures carry more noise. Check level, head and cable."
                )
            );
        }

        // A channel of exact zeros is told by the inspector, and one channel alone has no right amplitude.
        if (!result.OneChannel && (result.WeightLeft < 0.001 || (result.WeightLeft > 0.999 && result.AmplitudeRight > 0)))
        {
            notes.Add(
                Note.Hint(
                    "one-channel",
                    result.WeightLeft > 0.5
                        ? "Only the left channel carried the tone; it was measured alone."
                        : "Only the right channel carried the tone; it was measured alone."
                )
            );
        }

        if (result.HighestHz < FlutterPractice.HighestHz)
        {
            notes.Add(
                Note.Warning(
                    "narrow-band",
                    $"A tone of {result.NominalHz:0} Hz carries flutter only up to {result.HighestHz:0} Hz; the figures stop there."
                )
            );
        }
    }

    private static Trace[] Traces(FlutterResult result) =>
    [
        new("flutter-spectrum", Channel.Both, "Hz", "%", result.Spectrum.Hz, result.Spectrum.PeakPercent),
        new("speed", Channel.Both, "s", "%", result.Speed.Seconds, result.Speed.Percent),
    ];

    private static string Number(double value) => value.ToString(value >= 100 ? "0" : "0.##", CultureInfo.InvariantCulture);
}
