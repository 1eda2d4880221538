namespace Spoolwright.Bench.Service;

/// <summary>Something a figure leans on: an audio interface, a test tape, a gauge, a stopwatch.</summary>
/// <param name="Kind"><c>audio-interface</c>, <c>test-tape</c>, <c>tension-gauge</c>, <c>stopwatch</c> …</param>
/// <param name="Name">The name its owner knows it by.</param>
/// <param name="Remark">Calibration, certificate, age or doubt, in a line; null: nothing is known.</param>
public sealed record Instrument(string Kind, string Name, string? Remark = null);
