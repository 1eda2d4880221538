using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;

namespace Spoolwright.Storage;

/// <summary>A measurement on its way into the book: the sound, what was read from it, and the limits it is held to.</summary>
public sealed record Filing
{
    public required Guid JobId { get; init; }

    public required Condition Condition { get; init; }

    public required Mark Mark { get; init; }

    /// <summary>The sound that was measured; its hash is checked against the bytes that are copied.</summary>
    public required Capture Capture { get; init; }

    /// <summary>Opens the sound's bytes for copying; called once, or not at all where the book holds the capture already.</summary>
    public required Func<Stream> OpenCapture { get; init; }

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
        if (Capture.Sha256.Length != 64 || !Capture.Sha256.All(char.IsAsciiHexDigitLower))
            throw new ArgumentException($"a capture's hash is 64 lower-case hexadecimal digits, not '{Capture.Sha256}'", filing);
        foreach (Reading r in Result.Readings)
        {
            if (!double.IsFinite(r.Value) || r.Uncertainty is { } u && !double.IsFinite(u) || r.FrequencyHz is { } f && !double.IsFinite(f))
                throw new ArgumentException($"the reading {r.Quantity} is not finite: {r.Value} ± {r.Uncertainty} at {r.FrequencyHz} Hz",
                    filing);
        }

        foreach (Trace t in Result.Traces)
        {
            if (t.X.Count != t.Y.Count)
                throw new ArgumentException($"the curve {t.Id} has {t.X.Count} x and {t.Y.Count} y", filing);
            if (!t.X.All(double.IsFinite) || !t.Y.All(double.IsFinite))
                throw new ArgumentException($"the curve {t.Id} holds a number that is not finite", filing);
        }
    }
}
