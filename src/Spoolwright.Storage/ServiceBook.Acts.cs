using System.Data.Common;
using Dapper;

namespace Spoolwright.Storage;

/// <content>Edits of what people may edit: each is an act in the journal, and can be undone.</content>
public sealed partial class ServiceBook
{
    private const string SelectAct =
        "SELECT a.id AS Id, a.at AS At, a.who AS Who, a.what AS What, a.undoes AS Undoes, u.id AS UndoneBy FROM act a LEFT JOIN act u ON u.undoes = a.id";

    /// <summary>Who acts, where a call does not say: the bench's name.</summary>
    public string Who { get; init; } = Environment.MachineName;

    /// <summary>What was changed lately, newest first.</summary>
    /// <param name="most">How many at most.</param>
    public IReadOnlyList<Act> Acts(int most = 50) => With(c =>
        c.Query<ActRow>(SelectAct + " ORDER BY a.at DESC, a.id DESC LIMIT @most", new { most }).Select(r => r.ToAct()).ToList());

    /// <summary>The rows that an act changed, in the order it did.</summary>
    public IReadOnlyList<RowChange> Changes(Guid actId) => With(c => ReadChanges(c, null, actId));

    /// <summary>Every act that changed a row, oldest first, with what it did to it.</summary>
    /// <param name="table">The table.</param>
    /// <param name="id">The row's id.</param>
    public IReadOnlyList<(Act Act, RowChange Change)> History(string table, Guid id) =>
        With(c =>
        {
            string key = RowState.Key(Columns.Id(id));
            var acts = c.Query<ActRow>(
                    SelectAct
                        + " WHERE a.id IN (SELECT act_id FROM act_change WHERE table_name = @table AND row_key = @key) ORDER BY a.at, a.id",
                    new { table, key }
                )
                .Select(r => r.ToAct())
                .ToList();
            return acts.SelectMany(a => ReadChanges(c, null, a.Id).Where(x => x.Table == table && x.Key == key).Select(x => (a, x)))
                .ToList();
        });

    /// <summary>
    /// Takes an act back: every row it changed becomes as it was before. That is an act of its own, so it can be undone as well; nothing
    /// leaves the journal.
    /// </summary>
    /// <exception cref="ServiceBookException">
    /// <c>not-found</c>; <c>refused</c>: it has been undone already, or other rows lean on what it added; <c>changed-since</c>: a later
    /// change must be undone first.
    /// </exception>
    public Act Undo(Guid actId, string? who = null)
    {
        Act? done = null;
        Write((c, t) =>
        {
            Act act = c.QuerySingleOrDefault<ActRow>(SelectAct + " WHERE a.id = @id", new { id = StoredText.Id(actId) }, t)?.ToAct()
                ?? throw new ServiceBookException("not-found", $"There is no change {actId} in {Name}.");
            if (act.UndoneBy is not null)
                throw new ServiceBookException("refused", $"“{act.What}” has been undone already; nothing was written.");
            done = new Act(RowId.New(), Stamp(), who ?? Who, $"Undone: {act.What}", act.Id);
            var journal = new Journal(c, t, done);
            foreach (RowChange change in ReadChanges(c, t, actId).Reverse())
                journal.TakeBack(change);
        });
        return done!;
    }

    /// <summary>
    /// Makes one act in one transaction. The work may be run again from its beginning when the server was lost before the commit, so it
    /// changes nothing outside of the book.
    /// </summary>
    /// <param name="what">The act in words, as a person would look for it to undo it.</param>
    /// <param name="work">Adds, changes and removes rows through the journal.</param>
    /// <param name="who">The person; null: <see cref="Who"/>.</param>
    /// <returns>The act; null: nothing was changed, and nothing is written down.</returns>
    internal Act? Change(string what, Action<Journal> work, string? who = null)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(what);
        Act? done = null;
        Write((c, t) =>
        {
            var act = new Act(RowId.New(), Stamp(), who ?? Who, what);
            var journal = new Journal(c, t, act);
            work(journal);
            done = journal.Changed ? act : null;
        });
        return done;
    }

    private static IReadOnlyList<RowChange> ReadChanges(DbConnection c, DbTransaction? t, Guid actId) => c.Query<RowChange>(
        """
        SELECT table_name AS "Table", row_key AS "Key", before_json AS "Before", after_json AS "After" FROM act_change WHERE act_id = @id ORDER BY ordinal
        """,
        new { id = StoredText.Id(actId) }, t).ToList();

    /// <summary>A row of <c>act</c>.</summary>
    private sealed class ActRow
    {
        public required string Id { get; init; }

        public required string At { get; init; }

        public required string Who { get; init; }

        public required string What { get; init; }

        public string? Undoes { get; init; }

        public string? UndoneBy { get; init; }

        public Act ToAct() =>
            new(StoredText.Id(Id), StoredText.Time(At), Who, What, StoredText.MaybeId(Undoes), StoredText.MaybeId(UndoneBy));
    }
}
