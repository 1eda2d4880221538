using System.Net.Sockets;
using Npgsql;

namespace Spoolwright.Storage;

/// <summary>What PostgreSQL's complaints mean, by the codes it publishes (Appendix A of its manual).</summary>
internal static class PostgresComplaint
{
    /// <summary>
    /// Whether the server was lost, or asks for another try: the transaction was not committed unless it was just committing.
    /// </summary>
    public static bool IsLoss(NpgsqlException e) => e is PostgresException told
        ? told.SqlState is "57P01" or "57P02" or "57P03" or "40001" or "40P01" || told.SqlState.StartsWith("08", StringComparison.Ordinal)
        : e.IsTransient || e.InnerException is IOException or SocketException or TimeoutException;

    public static ServiceBookException Said(NpgsqlException e, string book)
    {
        if (e is not PostgresException told)
        {
            return IsLoss(e)
                ? new(
                    "gone",
                    $"The server of {book} cannot be reached; nothing was written. See that it runs and that the network is there, and try again.",
                    e
                )
                : new("io", $"The service book {book} cannot be read or written; nothing was changed: {Line(e.Message)}.", e);
        }

        return told.SqlState switch
        {
            "55P03" or "57014" or "40001" or "40P01" => new(
                "locked",
                $"The service book {book} is held by another program; nothing was written. Let the other finish, or close it, and try again.",
                e
            ),
            "25006" or "42501" => new(
                "read-only",
                $"The service book {book} cannot be written; nothing was changed. Give this user the right to write it: {Line(told.MessageText)}.",
                e
            ),
            "53100" => new(
                "disk-full",
                $"No room is left on the server of {book}; nothing was written. Free some space there and try again.",
                e
            ),
            "53300" => new(
                "locked",
                $"The server of {book} has no connection left; nothing was written. Close other programs that use it, and try again.",
                e
            ),
            "3D000" => new("not-found", $"There is no database as {book} names it; check the name, or make it with createdb.", e),
            "XX001" or "XX002" => new(
                "damaged",
                $"The service book {book} is damaged; nothing was written. Restore the last backup beside it and compare.",
                e
            ),
            ['2', '8', ..] => new("cannot-open", $"The server does not let this user into {book}; check the user and the password.", e),
            ['2', '2', ..] or ['2', '3', ..] or "P0001" => new(
                "refused",
                $"The service book {book} refused the entry, and nothing was written: {Line(told.MessageText)}.",
                e
            ),
            _ when IsLoss(e) => new(
                "gone",
                $"The server of {book} cannot be reached; nothing was written. See that it runs and that the network is there, and try again.",
                e
            ),
            _ => new(
                "io",
                $"The service book {book} cannot be read or written; nothing was changed: {Line(told.MessageText)} ({told.SqlState}).",
                e
            ),
        };
    }

    private static string Line(string text) => text.ReplaceLineEndings(" ").TrimEnd('.', ' ');
}
