using System.Text;
using System.Text.RegularExpressions;

namespace Spoolwright.Storage;

/// <summary>
/// Puts the portable text of a schema step into an engine's words. Two things only: a line <c>-- append-only: TABLE, TABLE</c> becomes
/// the triggers that refuse
/// changes, and for PostgreSQL a column of type TEXT compares by its code points, whatever the language of the database, as SQLite's do.
/// </summary>
internal static partial class SchemaText
{
    public static string For(string engine, string sql)
    {
        if (engine == "postgres")
            sql = TextColumn().Replace(sql, """${column}TEXT COLLATE "C" """.TrimEnd());
        return AppendOnlyLine()
            .Replace(sql, line => AppendOnly(engine, line.Groups["tables"].Value.Split(',', StringSplitOptions.TrimEntries)));
    }

    private static string AppendOnly(string engine, string[] tables)
    {
        var triggers = new StringBuilder();
        foreach (string table in tables)
        {
            if (engine == "postgres")
            {
                // The function comes with step 2.
                triggers
                    .Append(
                        $"CREATE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table} FOR EACH ROW EXECUTE FUNCTION refuse_change();\n"
                    )
                    .Append(
                        $"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();\n"
                    );
                continue;
            }

            foreach (string verb in (string[])["UPDATE", "DELETE"])
            {
                triggers
                    .Append($"CREATE TRIGGER {table}_no_{verb.ToLowerInvariant()} BEFORE {verb} ON {table} BEGIN\n")
                    .Append(
                        $"    SELECT RAISE(ABORT, 'append-only: rows of {table} are superseded, never {(verb == "UPDATE" ? "changed" : "removed")}');\nEND;\n"
                    );
            }
        }

        return triggers.ToString();
    }

    [GeneratedRegex(
        @"^-- append-only: (?<tables>[a-z_, ]+)$",
        RegexOptions.Multiline | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture
    )]
    private static partial Regex AppendOnlyLine();

    // Column definitions alone: at the start of a line, or after ADD COLUMN; a cast is left as it is.
    [GeneratedRegex(
        @"(?<column>(^\s+|ADD COLUMN\s+)[a-z_0-9]+\s+)TEXT\b",
        RegexOptions.Multiline | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture
    )]
    private static partial Regex TextColumn();
}
