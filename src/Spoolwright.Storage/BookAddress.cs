using System.Text.RegularExpressions;

namespace Spoolwright.Storage;

/// <summary>Tells how a book was named: by a file, by the folder it lies in, or by a PostgreSQL database.</summary>
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

    /// <summary>The name of a book's file in its folder.</summary>
    public const string FileName = "service-book.db";

    /// <summary>
    /// The file that a name means where it is no database: the file itself, or <see cref="FileName"/> in the folder that is named. What is
    /// not there yet is a file where its name has an ending, else a folder.
    /// </summary>
    /// <param name="where">What was typed.</param>
    /// <returns>A whole path.</returns>
    public static string FileOf(string where)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(where);
        bool folder =
            Directory.Exists(where)
            || Path.EndsInDirectorySeparator(where)
            || (!File.Exists(where) && Path.GetExtension(where).Length == 0);
        return Path.GetFullPath(folder ? Path.Combine(where, FileName) : where);
    }

    internal static bool IsUri(string where) =>
        where.StartsWith("postgres://", StringComparison.OrdinalIgnoreCase)
        || where.StartsWith("postgresql://", StringComparison.OrdinalIgnoreCase);

    [GeneratedRegex(@"^\s*(host|server|hostaddr|service|dbname|database|user|username|user id|port)\s*=",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Keywords();
}
