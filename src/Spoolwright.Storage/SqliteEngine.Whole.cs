using System.Data.Common;
using Dapper;
using Microsoft.Data.Sqlite;

namespace Spoolwright.Storage;

/// <content>The book as a whole: told row by row, filled, copied and checked.</content>
internal sealed partial class SqliteEngine
{
    public override IReadOnlyList<BookTable> Tables(DbConnection connection, DbTransaction? transaction)
    {
        var tables = connection.Query<string>(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite~_%' ESCAPE '~'",
            transaction: transaction
        );
        return tables
            .Select(table =>
            {
                var columns = connection
                    .Query<(string Name, string Type, long Key)>(
                        "SELECT name, type, pk FROM pragma_table_info(@table) ORDER BY cid",
                        new { table },
                        transaction
                    )
                    .ToList();
                return new BookTable(
                    table,
                    [.. columns.Select(c => new BookColumn(c.Name, Kind(c.Type)))],
                    [.. columns.Where(c => c.Key > 0).OrderBy(c => c.Key).Select(c => c.Name)]
                );
            })
            .ToList();
    }

    /// <summary>As <see cref="BookEngine.Fill"/>; the file must be a new one, under a passing name, for a kill leaves it empty.</summary>
    public override void Fill(IReadOnlySet<int> had, IEnumerable<TableRows> tables, DateTimeOffset now) => Read(connection =>
    {
        IReadOnlyList<SchemaStep> steps = Steps(had);
        connection.Execute("PRAGMA journal_mode = WAL");
        connection.Execute("PRAGMA foreign_keys = OFF");
        using (DbTransaction transaction = connection.BeginTransaction())
        {
            SchemaSteps.Apply(connection, transaction, steps, Book, now);
            IReadOnlyList<BookTable> known = Tables(connection, transaction);
            foreach (TableRows rows in tables)
            {
                Known(known, rows);
                Insert(connection, transaction, rows);
            }

            transaction.Commit();
        }

        BringUp(connection, SchemaSteps.For(Dialect), now);
        return 0;
    });

    /// <summary>Copies the book of one moment into a new file while others write; the copy is one file, without a log beside it.</summary>
    public void CopyTo(string path) => Read(connection =>
    {
        using (var copy = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = path, Pooling = false }.ConnectionString))
        {
            copy.Open();
            ((SqliteConnection)connection).BackupDatabase(copy);
            copy.Execute("PRAGMA journal_mode = DELETE");
        }

        return 0;
    });

    public override IReadOnlyList<string> Faults() =>
        Read<IReadOnlyList<string>>(connection =>
        {
            var faults = new List<string>();
            faults.AddRange(
                connection.Query<string>("PRAGMA integrity_check").Where(f => f != "ok").Select(f => $"The file is damaged: {f}.")
            );
            faults.AddRange(
                connection
                    .Query<(string Table, long? Row, string Parent)>("SELECT \"table\", rowid, parent FROM pragma_foreign_key_check")
                    .Select(f => $"Row {f.Row} of {f.Table} names a row of {f.Parent} that is not there.")
            );
            using var fresh = new SqliteConnection("Data Source=:memory:");
            fresh.Open();
            BringUp(fresh, SchemaSteps.For(Dialect), DateTimeOffset.UnixEpoch);
            faults.AddRange(SchemaFaults.Of(Schema(fresh), Schema(connection)));
            return faults;
        });

    private static Dictionary<string, string> Schema(DbConnection connection) =>
        connection.Query<(string Type, string Name, string Sql)>("SELECT type, name, sql FROM sqlite_master WHERE sql IS NOT NULL")
            .ToDictionary(o => $"{o.Type} {o.Name}", o => o.Sql, StringComparer.Ordinal);

    private static void Insert(DbConnection connection, DbTransaction transaction, TableRows rows)
    {
        using DbCommand command = connection.CreateCommand();
        command.Transaction = transaction;
        command.CommandText =
            $"INSERT INTO {RowState.Name(rows.Name)} ({string.Join(", ", rows.Columns.Select(c => RowState.Name(c.Name)))}) "
            + $"VALUES ({string.Join(", ", rows.Columns.Select(c => RowState.Bind(command, c.Name, null)))})";
        command.Prepare();
        foreach (object?[] row in rows.Rows)
        {
            for (int i = 0; i < row.Length; i++)
                command.Parameters[i].Value = row[i] ?? DBNull.Value;
            command.ExecuteNonQuery();
        }
    }

    // As SQLite's rules of affinity have it, for the words that the schema uses.
    private static ColumnKind Kind(string type) => type.ToUpperInvariant() switch
    {
        "TEXT" => ColumnKind.Text,
        "INTEGER" or "BIGINT" => ColumnKind.Whole,
        "DOUBLE PRECISION" => ColumnKind.Real,
        "BYTEA" or "BLOB" => ColumnKind.Bytes,
        _ => throw new InvalidOperationException($"the schema has a column of type {type}, which has no form on both engines"),
    };
}
