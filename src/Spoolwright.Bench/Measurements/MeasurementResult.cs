using Spoolwright.Signal;

namespace Spoolwright.Bench.Measurements;

/// <summary>A curve that a reading was drawn from, kept so that a record can plot it.</summary>
/// <param name="Id"><c>flutter-spectrum</c> (x Hz, y % peak per line), <c>speed</c> (x s, y % deviation) …</param>
/// <param name="Channel">The channel it speaks of.</param>
/// <param name="XUnit">Unit of x.</param>
/// <param name="YUnit">Unit of y.</param>
/// <param name="X">Abscissae, rising.</param>
/// <param name="Y">Ordinates, as many as <paramref name="X"/>.</param>
public sealed record Trace(string Id, Channel Channel, string XUnit, string YUnit, IReadOnlyList<double> X, IReadOnlyList<double> Y);

/// <summary>What one measurement found in one capture.</summary>
/// <param name="Measurement">The catalogue entry's id: <c>speed</c>, <c>playback</c>, <c>azimuth</c>.</param>
/// <param name="Readings">The readings, in the catalogue's order.</param>
/// <param name="Notes">What a reader of the figures has to know.</param>
/// <param name="Traces">Curves for plots.</param>
public sealed record MeasurementResult(
    string Measurement,
    IReadOnlyList<Reading> Readings,
    IReadOnlyList<Note> Notes,
    IReadOnlyList<Trace> Traces);
