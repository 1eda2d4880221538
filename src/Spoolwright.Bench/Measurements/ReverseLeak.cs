using Spoolwright.Signal;

namespace Spoolwright.Bench.Measurements;

/// <summary>What leaks from a tone on the tracks of the other direction while this direction's tracks hold nothing.</summary>
internal static class ReverseLeak
{
    private const double DefaultHz = 1000;
    private const double SpeedWithin = 0.02;
    private const double HalfWidthHz = 3;

    // Hum of 60 Hz has a line 20 Hz beside 1 kHz.
    private const double SkirtHz = 15;
    private const double ClearSigmas = 20;
    // What flutter carries beyond the band that is read, k = 2: little beyond the skirts, and up to this beyond the narrow one at 0.1 %.
    private const double NarrowMethodDb = 0.1;
    private const double WideMethodDb = 0.02;

    public static MeasurementResult Measure(SelectiveCapture capture, MeasurementSettings settings, List<Note> notes)
    {
        var nominal = settings.NominalHz ?? DefaultHz;
        var band = capture.Listen([(nominal, SelectiveCapture.PassHz, 0, capture.Frames)])[0];
        if (settings.NominalHz is null)
        {
            notes.Add(
                Note.Hint(
                    "nominal-assumed",
                    FormattableString.Invariant(
                        $"The leak was looked for at {DefaultHz:0} Hz within ±2 %. If another tone stands on the other direction's tracks, give --nominal."
                    )
                )
            );
        }

        var readings = new List<Reading>();
        for (var c = 0; c < capture.Channels; c++)
        {
            var channel = c == 0 ? Channel.Left : Channel.Right;
            if ((c == 0 ? settings.ReferenceLevelLeftDb : settings.ReferenceLevelRightDb) is not { } reference)
            {
                continue;
            }

            var spectrum = band.Spectrum(c);
            var (at, line) = Residue.Find(spectrum, 0, SpeedWithin * nominal, HalfWidthHz);
            var full = Math.Pow(10, reference / 10);

            // Flutter of the recording and of the playing spreads a tone: where the leak stands clear of the noise, its skirts are read
            // with it.
            var half = HalfWidthHz;
            if (spectrum.Line(at, SkirtHz) is var wide && wide.Power > ClearSigmas * wide.Sigma)
            {
                (line, half) = (wide, SkirtHz);
            }

            if (line.Power > full / 10)
            {
                throw new CannotMeasureException(
                    "tone-too-strong",
                    FormattableString.Invariant(
                        $"The tone of {nominal:0} Hz stands only {10 * Math.Log10(full / line.Power):0.0} dB under the reference level in the {PlaybackMeasurement.Word(channel)} channel: that is no leak. Play this direction's tracks with nothing on them, and the tone on the other's."
                    )
                );
            }

            if (
                line.IsSeen
                && SelectiveCapture.HumAt(spectrum, nominal + at, nominal, HalfWidthHz, line.Power, PlaybackMeasurement.Word(channel))
                    is { } hum
            )
            {
                notes.Add(hum);
            }

            readings.Add(
                SelectiveReading.Ratio(
                    Quantity.ReverseLeak,
                    full,
                    line,
                    half > HalfWidthHz ? WideMethodDb : NarrowMethodDb,
                    FormattableString.Invariant(
                        $"the reference level given, {reference:0.00} dBFS, over the line found within ±2 % of {nominal:0.##} Hz, ±{half:0} Hz, noise taken off, {spectrum.Seconds:0.0} s; a tone plays backwards as forwards"
                    ),
                    channel,
                    nominal,
                    notes,
                    "distance to the other direction's tone",
                    new UncertaintyPart("reference-level", null)
                )
            );
        }

        return new MeasurementResult("crosstalk", readings, notes, []);
    }
}
