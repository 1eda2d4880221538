using Dapper;
using Spoolwright.Bench.Service;

namespace Spoolwright.Storage;

/// <summary>An entry made lately.</summary>
/// <param name="Table">Its table.</param>
/// <param name="Id">Its key.</param>
/// <param name="Entered">When.</param>
/// <param name="Withdrawn">Why it takes something back; null: it does not.</param>
public sealed record LateEntry(string Table, Guid Id, DateTimeOffset Entered, string? Withdrawn);

/// <content>What people wrote lately, and undoing it.</content>
public sealed partial class ServiceBook
{
    // A click writes a few entries; laying out writes dozens.
    private const int MostUndone = 20;

    /// <summary>Entries made lately, newest first, over every table.</summary>
    /// <param name="most">How many at most.</param>
    public IReadOnlyList<LateEntry> Lately(int most) => With(c =>
    {
        // Each table gives no more than are wanted in all. Ids are made in the order of time, and their index stands: nothing is sorted.
        var found = new List<LateEntry>();
        foreach (var table in EntryTables.All)
        {
            // What the program noted while a screw turned is nothing that a person wrote, and nothing to undo: the screw was turned.
            if (table.Type == typeof(TurnedControl))
                continue;
            found.AddRange(c.Query<(string Id, string Entered, string? Withdrawn)>(
                $"SELECT id, entered, withdrawn FROM {table.Name} ORDER BY id DESC LIMIT @most", new { most })
                .Select(r => new LateEntry(table.Name, StoredText.Id(r.Id), StoredText.Time(r.Entered), r.Withdrawn)));
        }

        return found.OrderByDescending(e => e.Entered).ThenByDescending(e => StoredText.Id(e.Id), StringComparer.Ordinal).Take(most)
            .ToList();
    });

    /// <summary>The entries themselves, by their ids: a question for each table, not for each entry.</summary>
    public IReadOnlyDictionary<Guid, BookEntry> Read(IEnumerable<LateEntry> entries)
    {
        ArgumentNullException.ThrowIfNull(entries);
        return With(c =>
        {
            var found = new Dictionary<Guid, BookEntry>();
            foreach (var group in entries.GroupBy(e => e.Table))
            {
                var table = EntryTables.All.First(t => t.Name == group.Key);
                foreach (
                    var entry in SqlList
                        .Of(group.Select(e => StoredText.Id(e.Id)))
                        .SelectMany(ids => table.Query(c, $"{table.All} AND e.id IN {ids.In}", ids.Values, null))
                )
                    found[entry.Id] = entry;
            }

            return found;
        });
    }

    /// <summary>
    /// Undoes the last thing that anybody did, of either kind: what was written down as one, or a change of a deck, a job or a setting.
    /// Undoing is itself the last thing then, so doing it twice does it again.
    /// </summary>
    /// <returns>What was undone, in words.</returns>
    /// <exception cref="ServiceBookException">
    /// <c>not-found</c>: nothing was done yet; <c>refused</c>: a plan or a list was laid out, or it was corrected meanwhile.
    /// </exception>
    public string UndoLast()
    {
        // One more than is undone as one: a plan or a list of checks that was laid out.
        var late = Lately(MostUndone + 1);
        Act? act = Acts(1) is [var a] ? a : null;
        if (late.Count == 0 && act is null)
            throw new ServiceBookException("not-found", $"Nothing was written into {Name} yet; there is nothing to undo.");
        if (act is not null && (late.Count == 0 || act.At > late[0].Entered))
            return Undo(act.Id).What;
        var together = late.TakeWhile(e => e.Entered == late[0].Entered).ToList();
        if (together.Count > MostUndone)
            throw new ServiceBookException(
                "refused",
                "A plan or a list of checks was laid out last, and that has no undo; close the job instead. Nothing was written."
            );
        Work(w =>
        {
            foreach (LateEntry entry in together)
                w.Undo(EntryTables.All.First(t => t.Name == entry.Table), entry.Id);
            return 0;
        });
        return "Undone: " + string.Join(", ", together.Select(e => TableWords.Of(e.Table)).Distinct());
    }

    /// <summary>
    /// Undoes an entry by a new one: what was added is taken back, what was corrected becomes as it was before, what was taken back
    /// stands again. So an undoing can be undone.
    /// </summary>
    /// <exception cref="ServiceBookException"><c>refused</c>: it was corrected or taken back meanwhile; <c>not-found</c>.</exception>
    public BookEntry UndoEntry(LateEntry entry)
    {
        ArgumentNullException.ThrowIfNull(entry);
        var table = EntryTables.All.FirstOrDefault(t => t.Name == entry.Table)
            ?? throw new ArgumentException($"the book keeps no entries in {entry.Table}", nameof(entry));
        return Work(w => w.Undo(table, entry.Id));
    }
}
