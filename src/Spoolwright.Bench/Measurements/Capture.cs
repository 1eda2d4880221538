namespace Spoolwright.Bench.Measurements;

/// <summary>Sound from the deck as the interface heard it. Immutable, known by its hash.</summary>
/// <param name="File">The file's name as it was given.</param>
/// <param name="Sha256">Hash of the whole file, lower-case hex.</param>
/// <param name="SampleRateHz">Frames per second.</param>
/// <param name="Channels">Channels in the file.</param>
/// <param name="Seconds">Length.</param>
public sealed record Capture(string File, string Sha256, int SampleRateHz, int Channels, double Seconds);
