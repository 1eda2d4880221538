using Spoolwright.Signal;
using Spoolwright.Signal.Levels;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>A tone that was recorded, as it was found in the capture.</summary>
/// <param name="FrequencyHz">Its nominal frequency, Hz.</param>
/// <param name="SentDb">Level it was sent with, dB.</param>
/// <param name="Sides">Sides that carried it.</param>
/// <param name="IsReference">Whether the others are held against it.</param>
/// <param name="Figures">What was measured of it.</param>
internal sealed record RecordedTone(double FrequencyHz, double SentDb, Sides Sides, bool IsReference, ToneFigures Figures);

/// <summary>A product of two tones, as it was found in one channel.</summary>
internal sealed record RecordedProduct(ToneProduct Product, Channel Channel, LinePower Power);

/// <summary>Everything that was found of a recorded program.</summary>
internal sealed record RecordedProgram
{
    public required IReadOnlyList<RecordedTone> Tones { get; init; }

    /// <summary>Monitor delay, its uncertainty (k = 2), ms, and how it is known; null where the capture does not show it.</summary>
    public (double Ms, double Uncertainty, string How)? MonitorDelay { get; init; }

    /// <summary>Capture channels (0, 1) that hold the tape, not the source.</summary>
    public required IReadOnlyList<Channel> TapeChannels { get; init; }

    /// <summary>What was found of products of tones.</summary>
    public IReadOnlyList<RecordedProduct> Products { get; init; } = [];

    public required IReadOnlyList<Note> Notes { get; init; }
}
