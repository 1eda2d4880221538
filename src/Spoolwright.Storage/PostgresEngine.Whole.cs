using System.Data.Common;
using Dapper;
using Npgsql;
using NpgsqlTypes;

namespace Spoolwright.Storage;

/// <content>The book as a whole: told row by row, filled and checked.</content>
internal sealed partial class PostgresEngine
{
    // Everything that a step can make, by kind and name, with its definition; the schema's own name is taken out of it.
    private const string SelectSchema =
        """
        SELECT 'column ' || c.relname || '.' || a.attname, format_type(a.atttypid, a.atttypmod) || ' ' || a.attnotnull::text || ' ' || COALESCE(l.collname, '')
        FROM pg_attribute a JOIN pg_class c ON c.oid = a.attrelid LEFT JOIN pg_collation l ON l.oid = a.attcollation
        WHERE c.relnamespace = current_schema()::regnamespace AND c.relkind = 'r' AND a.attnum > 0 AND NOT a.attisdropped
        UNION ALL SELECT 'constraint ' || conrelid::regclass::text || '.' || conname, pg_get_constraintdef(oid) || convalidated::text
        FROM pg_constraint WHERE connamespace = current_schema()::regnamespace AND conrelid <> 0
        UNION ALL SELECT 'index ' || indexname, REPLACE(indexdef, current_schema() || '.', '') FROM pg_indexes WHERE schemaname = current_schema()
        UNION ALL SELECT 'trigger ' || t.tgname, REPLACE(pg_get_triggerdef(t.oid), current_schema() || '.', '') || t.tgenabled::text
        FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid WHERE c.relnamespace = current_schema()::regnamespace AND NOT t.tgisinternal
        """;

    private const string SelectKeys =
        """
        SELECT con.conname, con.conrelid::regclass::text, con.confrelid::regclass::text,
            (SELECT array_agg(a.attname::text ORDER BY k.n) FROM unnest(con.conkey) WITH ORDINALITY k (num, n)
                JOIN pg_attribute a ON a.attrelid = con.conrelid AND a.attnum = k.num),
            (SELECT array_agg(a.attname::text ORDER BY k.n) FROM unnest(con.confkey) WITH ORDINALITY k (num, n)
                JOIN pg_attribute a ON a.attrelid = con.confrelid AND a.attnum = k.num)
        FROM pg_constraint con WHERE con.contype = 'f' AND con.connamespace = current_schema()::regnamespace ORDER BY con.conname
        """;

    public override IReadOnlyList<BookTable> Tables(DbConnection connection, DbTransaction? transaction) => connection
        .Query<(string Table, string Column, string Type, int? Key)>(
            """
            SELECT c.relname, a.attname, format_type(a.atttypid, a.atttypmod), array_position(i.indkey::int2[], a.attnum)
            FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid LEFT JOIN pg_index i ON i.indrelid = c.oid AND i.indisprimary
            WHERE c.relnamespace = current_schema()::regnamespace AND c.relkind = 'r' AND a.attnum > 0 AND NOT a.attisdropped
            ORDER BY c.relname, a.attnum
            """,
            transaction: transaction)
        .GroupBy(c => c.Table, StringComparer.Ordinal)
        .Select(t => new BookTable(t.Key, [.. t.Select(c => new BookColumn(c.Column, Kind(c.Type)))],
            [.. t.Where(c => c.Key is not null).OrderBy(c => c.Key).Select(c => c.Column)]))
        .ToList();

    public override void Fill(IReadOnlySet<int> had, IEnumerable<TableRows> tables, DateTimeOffset now)
    {
        IReadOnlyList<SchemaStep> steps = Steps(had);
        // Not run again when the server is lost: the rows come from a reader that has gone on.
        Read(connection => connection.ExecuteScalar<int>("SELECT 1"));
        bool begun = false;
        Write((connection, transaction) =>
        {
            if (begun)
                throw new ServiceBookException("gone", $"The server of {Book} was lost while the book was being filled; nothing was written. Try again.");
            begun = true;
            if (HasBook(connection, transaction))
                throw new ServiceBookException("refused", $"There is a service book in {Book} already; nothing was written. Name an empty database or schema.");
            SchemaSteps.Apply(connection, transaction, steps, Book, now);
            // Rows may name others that come later; the keys are checked at the end, before the commit.
            var keys = connection.Query<(string Name, string Table)>(SelectKeys, transaction: transaction).ToList();
            foreach ((string name, string table) in keys)
                connection.Execute($"ALTER TABLE {table} ALTER CONSTRAINT \"{name}\" DEFERRABLE INITIALLY DEFERRED", transaction: transaction);
            IReadOnlyList<BookTable> known = Tables(connection, transaction);
            foreach (TableRows rows in tables)
            {
                Known(known, rows);
                Import((NpgsqlConnection)connection, rows);
            }

            connection.Execute("SET CONSTRAINTS ALL IMMEDIATE", transaction: transaction);
            foreach ((string name, string table) in keys)
                connection.Execute($"ALTER TABLE {table} ALTER CONSTRAINT \"{name}\" NOT DEFERRABLE", transaction: transaction);
            SchemaSteps.Apply(connection, transaction, SchemaSteps.For(Dialect), Book, now);
        });
    }

    public override IReadOnlyList<string> Faults() => Read<IReadOnlyList<string>>(connection =>
    {
        var faults = new List<string>();
        foreach ((string _, string table, string parent, string[] columns, string[] theirs) in
            connection.Query<(string, string, string, string[], string[])>(SelectKeys).ToList())
        {
            string joined = string.Join(" AND ", columns.Zip(theirs, (mine, other) => $"p.{other} = c.{mine}"));
            string whole = string.Join(" AND ", columns.Select(c => $"c.{c} IS NOT NULL"));
            long lost = connection.ExecuteScalar<long>($"SELECT COUNT(*) FROM {table} c WHERE {whole} AND NOT EXISTS (SELECT 1 FROM {parent} p WHERE {joined})");
            if (lost > 0)
                faults.Add($"{lost} rows of {table} name rows of {parent} that are not there.");
        }

        Dictionary<string, string> found = Schema(connection, null);
        try
        {
            // A book made anew beside this one, and never committed.
            using DbTransaction transaction = connection.BeginTransaction();
            connection.Execute("CREATE SCHEMA spoolwright_check; SET LOCAL search_path TO spoolwright_check", transaction: transaction);
            SchemaSteps.Apply(connection, transaction, SchemaSteps.For(Dialect), Book, DateTimeOffset.UnixEpoch);
            faults.AddRange(SchemaFaults.Of(Schema(connection, transaction), found));
            transaction.Rollback();
        }
        catch (PostgresException e) when (e.SqlState is "42501" or "25006" or "53100")
        {
            // No right or no room to make one: what could not be compared is never called whole.
            faults.Add($"The schema was not compared with a new one: {e.MessageText}.");
        }

        return faults;
    });

    private static Dictionary<string, string> Schema(DbConnection connection, DbTransaction? transaction) =>
        connection.Query<(string Thing, string Definition)>(SelectSchema, transaction: transaction)
            .ToDictionary(o => o.Thing, o => o.Definition, StringComparer.Ordinal);

    private static void Import(NpgsqlConnection connection, TableRows rows)
    {
        var declared = connection
            .Query<(string Column, string Type)>(
                "SELECT column_name::text, data_type::text FROM information_schema.columns WHERE table_schema = current_schema() AND table_name = @Name",
                new { rows.Name }
            )
            .ToDictionary(c => c.Column, c => c.Type, StringComparer.Ordinal);
        NpgsqlDbType[] types = [.. rows.Columns.Select(c => declared[c.Name] switch
        {
            "integer" => NpgsqlDbType.Integer,
            "bigint" => NpgsqlDbType.Bigint,
            "double precision" => NpgsqlDbType.Double,
            "bytea" => NpgsqlDbType.Bytea,
            _ => NpgsqlDbType.Text,
        })];
        using NpgsqlBinaryImporter import = connection.BeginBinaryImport(
            $"COPY {RowState.Name(rows.Name)} ({string.Join(", ", rows.Columns.Select(c => RowState.Name(c.Name)))}) FROM STDIN (FORMAT BINARY)"
        );
        foreach (object?[] row in rows.Rows)
        {
            import.StartRow();
            for (int i = 0; i < row.Length; i++)
            {
                if (row[i] is not { } value)
                    import.WriteNull();
                else if (types[i] == NpgsqlDbType.Integer)
                    import.Write(checked((int)(long)value), types[i]);
                else
                    import.Write(value, types[i]);
            }
        }

        import.Complete();
    }

    private static ColumnKind Kind(string type) => type switch
    {
        "text" => ColumnKind.Text,
        "integer" or "bigint" => ColumnKind.Whole,
        "double precision" => ColumnKind.Real,
        "bytea" => ColumnKind.Bytes,
        _ => throw new InvalidOperationException($"the schema has a column of type {type}, which has no form on both engines"),
    };
}
