using System.Text.Json;

namespace Spoolwright.App.Web.Book;

/// <summary>What a column holds.</summary>
internal enum ColumnKind
{
    Text,

    /// <summary>Numbers, set to the right.</summary>
    Figures,

    /// <summary>A word that says how something stands; the page puts a sign before it, so that it is never told by colour alone.</summary>
    State,
}

/// <summary>A column of a table.</summary>
/// <param name="Key">Its name in CSV and JSON.</param>
/// <param name="Head">Its heading on the page.</param>
/// <param name="Kind">What it holds.</param>
internal sealed record PageColumn(string Key, string Head, ColumnKind Kind = ColumnKind.Text);

/// <summary>A row of a table.</summary>
/// <param name="Cells">Texts, numbers, or nothing.</param>
/// <param name="Id">What calls name it by; null: nothing can be done with it.</param>
/// <param name="To">The page it leads to; null: none.</param>
internal sealed record PageRow(IReadOnlyList<object?> Cells, string? Id = null, string? To = null);

/// <summary>A table of a page: the same rows go to the page, to CSV and to JSON.</summary>
/// <param name="Id">Its name in addresses.</param>
/// <param name="Title">Its title.</param>
/// <param name="Columns">Its columns.</param>
/// <param name="Rows">Its rows.</param>
internal sealed record PageTable(string Id, string Title, IReadOnlyList<PageColumn> Columns, IReadOnlyList<PageRow> Rows)
{
    /// <summary>What stands there where there is no row.</summary>
    public string Empty { get; init; } = "Nothing yet.";

    /// <summary>How many rows there are in all, where those that stand here are the first of them; null: these are all.</summary>
    public int? Count { get; init; }
}

/// <summary>A way out of a page.</summary>
/// <param name="Text">What it is called.</param>
/// <param name="To">Where it leads.</param>
/// <param name="Apart">Whether it opens beside the bench, such as a record.</param>
internal sealed record PageLink(string Text, string To, bool Apart = false);

/// <summary>What a page of the service book shows.</summary>
internal sealed record BookPage(string Title)
{
    /// <summary>Facts, a line each.</summary>
    public IReadOnlyList<string> Lines { get; init; } = [];

    /// <summary>What somebody must know before going on.</summary>
    public IReadOnlyList<string> Warnings { get; init; } = [];

    public IReadOnlyList<PageLink> Links { get; init; } = [];

    public IReadOnlyList<PageTable> Tables { get; init; } = [];

    /// <summary>Whatever else the page's own screen needs.</summary>
    public Action<Utf8JsonWriter>? More { get; init; }
}
