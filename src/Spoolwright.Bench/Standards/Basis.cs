namespace Spoolwright.Bench.Standards;

/// <summary>On what a figure taken from a document rests. A remembered figure is a default, never printed as conformity.</summary>
public enum Basis
{
    /// <summary>Read in a copy of the document named, or in a source that quotes it.</summary>
    Published,

    /// <summary>Known from the document but not seen when the table was written.</summary>
    Memory,

    /// <summary>Usual in the trade, without a document.</summary>
    Practice,

    /// <summary>Calculated from other figures.</summary>
    Computed,
}

/// <summary>A document and how far it was seen.</summary>
/// <param name="Key">Its key in <c>docs/standards.md</c>, without brackets.</param>
/// <param name="Basis">On what the figure rests.</param>
public sealed record Citation(string Key, Basis Basis);
