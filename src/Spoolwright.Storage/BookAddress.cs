using System.Text.RegularExpressions;

namespace Spoolwright.Storage;

/// <summary>Tells how a book was named: by a file, or by a PostgreSQL database.</summary>
public static partial class BookAddress
{
    /// <summary>
    /// Whether the text names a database: <c>postgres://…</c>, <c>postgresql://…</c>, or keywords with a host, such as
    /// <c>Host=bench;Database=book</c> and <c>host=bench dbname=book</c>. Everything else is a file.
    /// </summary>
    public static bool IsDatabase(string where)
    {
        ArgumentNullException.ThrowIfNull(where);
        return IsUri(where) || Keywords().IsMatch(where);
    }

    internal static bool IsUri(string where) =>
        where.StartsWith("postgres://", StringComparison.OrdinalIgnoreCase) || where.StartsWith("postgresql://", StringComparison.OrdinalIgnoreCase);

    [GeneratedRegex(@"^\s*(host|server|hostaddr|service|dbname|database|user|username|user id|port)\s*=",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Keywords();
}
