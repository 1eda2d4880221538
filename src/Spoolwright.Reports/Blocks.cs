using SkiaSharp;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Reports;

/// <summary>One piece of a record's running text. The formats set blocks; none of them decides what stands in the record.</summary>
internal abstract record Block;

/// <summary>A heading; level 1 is the record's title and stands once.</summary>
/// <param name="Level">1 to 3.</param>
/// <param name="Text">The words.</param>
/// <param name="Anchor">Name to link to; null: none.</param>
/// <param name="NewPage">Begins a page where there are pages.</param>
internal sealed record Heading(int Level, string Text, string? Anchor = null, bool NewPage = false) : Block;

/// <summary>A paragraph; lines in it are kept.</summary>
internal sealed record Paragraph(string Text, bool Small = false) : Block;

/// <summary>A sentence with the verdict it speaks of; null: none.</summary>
internal sealed record Finding(Verdict? Verdict, string Lead, string Text);

/// <summary>A list of sentences, each with its verdict's mark.</summary>
internal sealed record Findings(IReadOnlyList<Finding> Items) : Block;

/// <summary>What the marks mean, in one line.</summary>
internal sealed record MarkLegend : Block;

/// <summary>A column.</summary>
/// <param name="Title">Heading of the column.</param>
/// <param name="Share">Its share of the width, against the other columns'.</param>
/// <param name="Figures">Holds figures, set to the right.</param>
internal sealed record Column(string Title, double Share, bool Figures = false);

/// <summary>A cell: a line, perhaps with a smaller one under it, perhaps with a verdict's mark.</summary>
internal sealed record Cell(string Text, string? Sub = null, Verdict? Mark = null, bool Strong = false)
{
    /// <summary>Anchor of what it leads to; null: nowhere.</summary>
    public string? LeadsTo { get; init; }

    public static implicit operator Cell(string text) => new(text);
}

/// <summary>A heading over several columns; an empty one leaves them bare.</summary>
internal sealed record ColumnGroup(string Title, int Span);

/// <summary>A table.</summary>
internal sealed record Table(IReadOnlyList<Column> Columns, IReadOnlyList<IReadOnlyList<Cell>> Rows) : Block
{
    public IReadOnlyList<ColumnGroup> Groups { get; init; } = [];

    /// <summary>Said over the table, and to those who hear it read.</summary>
    public string? Caption { get; init; }

    /// <summary>Set smaller, for the long tables at the end.</summary>
    public bool Dense { get; init; }

    /// <summary>Names and values without column headings.</summary>
    public bool Facts { get; init; }
}

/// <summary>A drawing, whatever it is drawn on.</summary>
/// <param name="Caption">Said under it.</param>
/// <param name="Description">Said instead of it, to those who cannot see it.</param>
/// <param name="Draw">Draws it into a space of that width and height, in points.</param>
internal sealed record Drawing(string Caption, string Description, Action<SKCanvas, float, float> Draw);

/// <summary>Drawings beside each other, all of one height.</summary>
/// <param name="Drawings">One to three.</param>
/// <param name="HeightShare">Height of each against its width.</param>
internal sealed record DrawingRow(IReadOnlyList<Drawing> Drawings, double HeightShare) : Block;

/// <summary>A photo.</summary>
/// <param name="Jpeg">The picture.</param>
/// <param name="Caption">Said under it, and to those who cannot see it.</param>
internal sealed record Picture(byte[] Jpeg, string Caption);

/// <summary>Photos beside each other.</summary>
internal sealed record PictureRow(IReadOnlyList<Picture> Pictures) : Block;
