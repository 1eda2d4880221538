namespace Spoolwright.Bench.Measurements;

/// <summary>
/// What readings were taken from: sound from the deck as the interface heard it, or a sheet of readings typed in from gauges. Immutable,
/// known by its hash.
/// </summary>
/// <param name="File">The file's name as it was given; empty for a reading typed in the call itself.</param>
/// <param name="Sha256">Hash of the whole file, lower-case hex; empty without a file.</param>
/// <param name="SampleRateHz">Frames per second; null: no sound.</param>
/// <param name="Channels">Channels in the file; null: no sound.</param>
/// <param name="Seconds">Length; null: no sound.</param>
public sealed record Capture(string File, string Sha256, int? SampleRateHz, int? Channels, double? Seconds);
