using System.Text.RegularExpressions;
using Npgsql;

namespace Spoolwright.Storage;

/// <summary>Reads the ways in which people name a PostgreSQL database, and shows one without its password.</summary>
internal static partial class PostgresAddress
{
    /// <summary>
    /// The settings that an address stands for; what it does not say comes from PGPASSWORD, PGPASSFILE and the like, as usual.
    /// </summary>
    /// <exception cref="ServiceBookException">
    /// <c>cannot-open</c>: it cannot be understood. The message never repeats it, for it may hold a password.
    /// </exception>
    public static NpgsqlConnectionStringBuilder Parse(string where)
    {
        var settings = new NpgsqlConnectionStringBuilder();
        try
        {
            if (BookAddress.IsUri(where))
            {
                FromUri(settings, where);
            }
            else
            {
                // Semicolons between keywords, or spaces as in PostgreSQL's own programs.
                MatchCollection words = where.Contains(';', StringComparison.Ordinal)
                    ? Semicolons().Matches(where)
                    : Spaces().Matches(where);
                foreach (Match word in words)
                    Put(settings, word.Groups["key"].Value.Trim(), word.Groups["value"].Value.Trim().Trim('\''));
            }
        }
        catch (Exception e) when (e is ArgumentException or FormatException or OverflowException or InvalidCastException)
        {
            throw new ServiceBookException("cannot-open",
                "The address of the PostgreSQL book cannot be understood; write it as postgres://USER@HOST:PORT/DATABASE.");
        }

        if (settings.Port is < 1 or > 65535)
            throw new ServiceBookException(
                "cannot-open",
                $"The address of the PostgreSQL book has no such port: {settings.Port}; a port is 1 to 65535."
            );
        if (string.IsNullOrEmpty(settings.Host) || string.IsNullOrEmpty(settings.Database))
        {
            throw new ServiceBookException("cannot-open",
                "The address of the PostgreSQL book lacks its host or its database; write it as postgres://USER@HOST:PORT/DATABASE.");
        }

        return settings;
    }

    /// <summary>The address for messages: no password, whatever it was given with.</summary>
    public static string Shown(NpgsqlConnectionStringBuilder settings)
    {
        string user = string.IsNullOrEmpty(settings.Username) ? "" : Uri.EscapeDataString(settings.Username) + "@";
        bool socket = settings.Host!.StartsWith('/');
        string query = (socket ? $"?host={settings.Host}" : "")
            + (string.IsNullOrEmpty(settings.SearchPath) ? "" : $"{(socket ? "&" : "?")}search_path={settings.SearchPath}");
        return $"postgres://{user}{(socket ? "" : settings.Host)}{(settings.Port == 5432 ? "" : $":{settings.Port}")}/{settings.Database}{query}";
    }

    private static void FromUri(NpgsqlConnectionStringBuilder settings, string where)
    {
        // The library's own URIs know no empty host, which stands for a socket here.
        Match uri = Uris().Match(where);
        if (!uri.Success)
            throw new FormatException("not an address");
        foreach (string name in (string[])["Host", "Port", "Database", "Username", "Password"])
        {
            if (uri.Groups[name].Value is { Length: > 0 } value)
                settings[name] = Uri.UnescapeDataString(value);
        }

        foreach (string pair in uri.Groups["query"].Value.Split('&', StringSplitOptions.RemoveEmptyEntries))
        {
            string[] parts = pair.Split('=', 2);
            Put(settings, Uri.UnescapeDataString(parts[0]), Uri.UnescapeDataString(parts.ElementAtOrDefault(1) ?? ""));
        }
    }

    // PostgreSQL's own words beside the driver's.
    private static void Put(NpgsqlConnectionStringBuilder settings, string key, string value) => settings[key.ToLowerInvariant() switch
    {
        "dbname" => "Database",
        "user" => "Username",
        "hostaddr" => "Host",
        "sslmode" => "SSL Mode",
        "sslrootcert" => "Root Certificate",
        "passfile" => "Passfile",
        "search_path" => "Search Path",
        "connect_timeout" => "Timeout",
        "application_name" => "Application Name",
        _ => key,
    }] = key.Equals("sslmode", StringComparison.OrdinalIgnoreCase) ? value.Replace("-", "", StringComparison.Ordinal) : value;

    [GeneratedRegex(
        @"^postgres(ql)?://((?<Username>[^:@/?]*)(:(?<Password>[^@/?]*))?@)?(?<Host>\[[^\]]*\]|[^:/?]*)(:(?<Port>[^/?]*))?(/(?<Database>[^?]*))?(\?(?<query>.*))?$",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Uris();

    [GeneratedRegex(
        @"(?<key>[A-Za-z][A-Za-z ]*)\s*=\s*(?<value>'[^']*'|[^;]*)(;|$)",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture
    )]
    private static partial Regex Semicolons();

    [GeneratedRegex(@"(?<key>[A-Za-z_]+)\s*=\s*(?<value>'[^']*'|\S*)", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Spaces();
}
