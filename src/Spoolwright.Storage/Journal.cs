using System.Data.Common;
using Dapper;

namespace Spoolwright.Storage;

/// <summary>
/// Adds, changes and removes rows that people may edit, and writes down each row before and after. All that goes through one journal is
/// one act.
/// Rows that were measured do not come here: they are append-only.
/// </summary>
internal sealed class Journal(DbConnection connection, DbTransaction transaction, Act act)
{
    private int changes;

    /// <summary>For what the act reads, or adds to tables that are append-only.</summary>
    public DbConnection Connection => connection;

    public DbTransaction Transaction => transaction;

    /// <summary>Whether anything was changed; an act that changed nothing is not written down.</summary>
    public bool Changed => changes > 0;

    /// <summary>Adds a row.</summary>
    /// <param name="table">The table.</param>
    /// <param name="key">Its key.</param>
    /// <param name="values">Its other columns.</param>
    public void Insert(string table, Columns key, Columns values)
    {
        using DbCommand command = Command();
        var all = key.Concat(values).ToList();
        string names = string.Join(", ", all.Select(c => RowState.Name(c.Key)));
        command.CommandText =
            $"INSERT INTO {RowState.Name(table)} ({names}) VALUES ({string.Join(", ", all.Select(c => RowState.Bind(command, c.Key, c.Value)))})";
        command.ExecuteNonQuery();
        Write(table, key, before: null, RowState.Read(connection, transaction, table, key));
    }

    /// <summary>Changes the named columns of a row; the others stay as another bench may have left them.</summary>
    /// <param name="table">The table.</param>
    /// <param name="key">The row's key.</param>
    /// <param name="values">The columns to change.</param>
    /// <param name="seen">What the person was shown of them; null: whatever stands there is written over.</param>
    /// <exception cref="ServiceBookException">
    /// There is no such row (<c>not-found</c>), or another has changed it meanwhile (<c>changed-meanwhile</c>).
    /// </exception>
    public void Update(string table, Columns key, Columns values, Columns? seen = null)
    {
        string before =
            RowState.Read(connection, transaction, table, key)
            ?? throw new ServiceBookException(
                "not-found",
                $"What was to be changed is not in the book any more ({table} {RowState.Key(key)}); nothing was written."
            );
        if (seen is not null && !RowState.Agrees(before, seen))
        {
            throw new ServiceBookException(
                "changed-meanwhile",
                $"Another bench has changed this meanwhile ({table} {RowState.Key(key)}); nothing was written. Look at it as it is now, and enter yours again."
            );
        }

        if (values.Count == 0 || RowState.Agrees(before, values))
            return;
        using DbCommand command = Command();
        string set = string.Join(", ", values.Select(c => $"{RowState.Name(c.Key)} = {RowState.Bind(command, c.Key, c.Value)}"));
        command.CommandText = $"UPDATE {RowState.Name(table)} SET {set} WHERE {RowState.Where(command, key)}";
        command.ExecuteNonQuery();
        Write(table, key, before, RowState.Read(connection, transaction, table, key));
    }

    /// <summary>Removes a row; it stays in the journal and can be brought back.</summary>
    /// <exception cref="ServiceBookException">There is no such row.</exception>
    public void Remove(string table, Columns key)
    {
        string before =
            RowState.Read(connection, transaction, table, key)
            ?? throw new ServiceBookException(
                "not-found",
                $"What was to be removed is not in the book any more ({table} {RowState.Key(key)}); nothing was written."
            );
        using DbCommand command = Command();
        command.CommandText = $"DELETE FROM {RowState.Name(table)} WHERE {RowState.Where(command, key)}";
        command.ExecuteNonQuery();
        Write(table, key, before, after: null);
    }

    /// <summary>Takes one change back: the row becomes as it was before, if nobody has changed it since.</summary>
    /// <exception cref="ServiceBookException"><c>changed-since</c>: a later change must be undone first.</exception>
    public void TakeBack(RowChange change)
    {
        Columns key = RowState.Parse(change.Key);
        string? now = RowState.Read(connection, transaction, change.Table, key);
        bool untouched = change.After is null ? now is null : now is not null && RowState.Agrees(now, RowState.Parse(change.After));
        if (!untouched)
        {
            throw new ServiceBookException("changed-since",
                $"This was changed again since ({change.Table} {change.Key}), so it was left as it is. Undo the later change first.");
        }

        if (change.Before is null)
        {
            Remove(change.Table, key);
            return;
        }

        var was = RowState.Parse(change.Before);
        foreach (string column in key.Keys)
            was.Remove(column);
        if (now is null)
            Insert(change.Table, key, was);
        else
            Update(change.Table, key, was);
    }

    private void Write(string table, Columns key, string? before, string? after)
    {
        // What is searched for by an edited row is made anew with it.
        if (SearchIndex.HasKind(table) && key.Count == 1 && key.TryGetValue("id", out object? id))
            SearchIndex.Put(connection, transaction, table, id is Guid guid ? guid : StoredText.Id((string)id!));
        if (changes == 0)
        {
            connection.Execute(
                "INSERT INTO act (id, at, who, what, undoes) VALUES (@Id, @At, @Who, @What, @Undoes)",
                new
                {
                    Id = StoredText.Id(act.Id),
                    At = StoredText.Time(act.At),
                    act.Who,
                    act.What,
                    Undoes = StoredText.Id(act.Undoes),
                },
                transaction
            );
        }

        connection.Execute(
            """
            INSERT INTO act_change (act_id, ordinal, table_name, row_key, before_json, after_json)
            VALUES (@Act, @Ordinal, @Table, @Key, @Before, @After)
            """,
            new
            {
                Act = StoredText.Id(act.Id),
                Ordinal = changes++,
                Table = table,
                Key = RowState.Key(key),
                Before = before,
                After = after,
            },
            transaction
        );
    }

    private DbCommand Command()
    {
        DbCommand command = connection.CreateCommand();
        command.Transaction = transaction;
        return command;
    }
}
