using Spoolwright.Bench.Service;

namespace Spoolwright.App.Web.Book;

/// <summary>How entries stand, where a page shows the earlier ones beside those that stand.</summary>
internal static class EntryStates
{
    /// <summary>Rows of all entries ever made, the newest first, each with how it stands; only what stands can be chosen.</summary>
    /// <param name="entries">Every entry, those that were corrected or taken back among them.</param>
    /// <param name="cells">What an entry shows before its state and, of one that was taken back, the reason.</param>
    public static IReadOnlyList<PageRow> Rows<T>(IReadOnlyList<T> entries, Func<T, IReadOnlyList<object?>> cells)
        where T : BookEntry
    {
        var replaced = entries.Select(e => e.Supersedes).OfType<Guid>().ToHashSet();
        return
        [
            .. entries.Reverse().Select(e => new PageRow(
                [.. cells(e), replaced.Contains(e.Id) ? "corrected later" : e.Withdrawn is not null ? "taken back" : "stands", e.Withdrawn],
                replaced.Contains(e.Id) || e.Withdrawn is not null ? null : e.Id.ToString())),
        ];
    }

    /// <summary>The columns that <see cref="Rows"/> adds.</summary>
    public static IReadOnlyList<PageColumn> Columns { get; } =
    [new("state", "State", ColumnKind.State), new("why", "Why it was taken back")];
}
