using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;

namespace Spoolwright.Storage;

/// <summary>
/// A measurement on its way into the book: the sound or the sheet of typed readings, what was read from it, and the limits it is held to.
/// </summary>
public sealed record Filing
{
    public required Guid JobId { get; init; }

    public required Condition Condition { get; init; }

    public required Mark Mark { get; init; }

    /// <summary>
    /// The sound that was measured, or the sheet of typed readings (no sound fields then); its hash is checked against the bytes that
    /// are copied.
    /// Without a file, for a reading typed in the call itself, name and hash are empty.
    /// </summary>
    public required Capture Capture { get; init; }

    /// <summary>
    /// Opens the file's bytes for copying; called once, or not at all where the book holds the capture already. Null where there is no
    /// file, and only there.
    /// </summary>
    public required Func<Stream>? OpenCapture { get; init; }

    public required MeasurementResult Result { get; init; }

    /// <summary>The limits in force, so that the verdicts can be drawn again from the book alone.</summary>
    public IReadOnlyList<Limit> Limits { get; init; } = [];

    /// <summary>What the figures lean on: interface, test tape.</summary>
    public IReadOnlyList<Instrument> Instruments { get; init; } = [];

    /// <summary>When the sound was taken, with its zone; kept as UTC.</summary>
    public required DateTimeOffset MeasuredAt { get; init; }

    public required string ProgramVersion { get; init; }

    /// <summary>The measurement that this one takes the place of; null: none. It must be of the same job and not yet superseded.</summary>
    public Guid? Supersedes { get; init; }

    /// <summary>Throws where a value is not finite or a list does not fit; the book holds no NaN.</summary>
    internal void Validate(string filing)
    {
        bool noFile = Capture.Sha256.Length == 0;
        if (noFile != OpenCapture is null)
            throw new ArgumentException(
                noFile ? "a capture without a hash has no file to open" : $"nothing opens the capture {Capture.File}",
                filing
            );
        int sound = (Capture.SampleRateHz is null ? 0 : 1) + (Capture.Channels is null ? 0 : 1) + (Capture.Seconds is null ? 0 : 1);
        if (sound is 1 or 2 || (sound == 3 && noFile))
            throw new ArgumentException($"the capture {Capture.File} is half a sound: {Capture}", filing);
        if (!noFile && (Capture.Sha256.Length != 64 || !Capture.Sha256.All(char.IsAsciiHexDigitLower)))
            throw new ArgumentException($"a capture's hash is 64 lower-case hexadecimal digits, not '{Capture.Sha256}'", filing);
        foreach (Reading r in Result.Readings)
        {
            if (
                !double.IsFinite(r.Value)
                || !Finite(r.Uncertainty)
                || !Finite(r.FrequencyHz)
                || !Finite(r.Confidence)
                || !r.Parts.All(p => Finite(p.Expanded))
            )
                throw new ArgumentException(
                    $"the reading {r.Quantity} is not finite: {r.Value} ± {r.Uncertainty} at {r.FrequencyHz} Hz",
                    filing
                );
        }

        foreach (Trace t in Result.Traces)
        {
            if (t.X.Count != t.Y.Count)
                throw new ArgumentException($"the curve {t.Id} has {t.X.Count} x and {t.Y.Count} y", filing);
            if (!t.X.All(double.IsFinite) || !t.Y.All(double.IsFinite))
                throw new ArgumentException($"the curve {t.Id} holds a number that is not finite", filing);
        }
    }

    private static bool Finite(double? value) => value is not { } v || double.IsFinite(v);
}
