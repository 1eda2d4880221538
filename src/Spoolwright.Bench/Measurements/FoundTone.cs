using Spoolwright.Bench.Instruments;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>A tone of the tape as it was found in the capture.</summary>
/// <param name="Tone">The tone on the tape.</param>
/// <param name="Runs">Where it stood: once, or oftener where a section was repeated.</param>
/// <param name="Figures">What was measured of it, over all of its runs.</param>
public sealed record FoundTone(TestTone Tone, IReadOnlyList<ToneRun> Runs, ToneFigures Figures);
