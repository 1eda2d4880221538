namespace Spoolwright.Storage;

/// <summary>A backup that was made, or a book that was restored.</summary>
/// <param name="File">The copy or the book.</param>
/// <param name="Captures">How many captures it has.</param>
/// <param name="Faults">Captures that are missing from it or damaged; the rest is whole.</param>
public sealed record BookCopy(string File, int Captures, IReadOnlyList<CaptureFault> Faults);
