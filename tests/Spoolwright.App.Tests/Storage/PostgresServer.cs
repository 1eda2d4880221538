using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using System.Runtime.InteropServices;
using Npgsql;

[assembly: AssemblyFixture(typeof(Spoolwright.App.Tests.Storage.SharedPostgres))]

namespace Spoolwright.App.Tests.Storage;

/// <summary>
/// A PostgreSQL server of the tests' own, in a temporary folder, on a socket there and on the loopback address. It ends with the tests,
/// even when they are killed.
/// Its database sorts as English does, so that an order which hangs on the language shows.
/// </summary>
internal sealed partial class PostgresServer : IDisposable
{
    public const string Password = "open:reel/7@ips";

    private readonly string folder;
    private readonly string programs;
    private Process? process;

    public PostgresServer()
    {
        programs = FindPrograms();
        folder = Directory.CreateTempSubdirectory("spoolwright-pg-").FullName;
        Port = FreePort();
        File.WriteAllText(Path.Combine(folder, "password"), Password + "\n");
        if (IsRoot)
            Run("chown", "-R", "postgres", folder);
        string initdb = string.Join(
            ' ',
            Path.Combine(programs, "initdb"),
            "-D",
            Path.Combine(folder, "data"),
            "-U",
            "bench",
            "--pwfile",
            Path.Combine(folder, "password"),
            "--auth-local=trust --auth-host=scram-sha-256 --encoding=UTF8 --locale=C.UTF-8 --locale-provider=icu --icu-locale=en-US --no-sync"
        );
        string[] words = initdb.Split(' ');
        if (IsRoot)
            words = ["setpriv", "--reuid=postgres", "--regid=postgres", "--clear-groups", "--", .. words];
        Run(words[0], words[1..]);
        Start();
        Execute("CREATE DATABASE books");
    }

    public int Port { get; }

    /// <summary>The address of the database, or of a schema in it, over the socket.</summary>
    public string Address(string? schema = null) =>
        $"postgres://bench@/books?host={folder}&port={Port}" + (schema is null ? "" : $"&search_path={schema}");

    /// <summary>The address of a new database whose tables lie in a folder of their own.</summary>
    public string AddressOn(string space)
    {
        if (IsRoot)
            Run("chown", "postgres", space);
        Execute($"CREATE TABLESPACE elsewhere LOCATION '{space}'");
        Execute("CREATE DATABASE small TABLESPACE elsewhere");
        return $"postgres://bench@/small?host={folder}&port={Port}";
    }

    /// <summary>Starts it (again) and waits until it answers.</summary>
    public void Start()
    {
        using var started = new ManualResetEventSlim();
        // A thread of its own that stays: the server is told to end when the thread that started it ends.
        var keeper = new Thread(() =>
        {
            string[] words =
            [
                "setpriv",
                .. IsRoot ? (string[])["--reuid=postgres", "--regid=postgres", "--clear-groups"] : [],
                "--pdeathsig",
                "INT",
                "--",
                Path.Combine(programs, "postgres"),
                "-D",
                Path.Combine(folder, "data"),
                "-k",
                folder,
                "-p",
                $"{Port}",
                "-c", "listen_addresses=127.0.0.1", "-c", "fsync=off", "-c", "max_connections=200", "-c", "logging_collector=on", "-c",
                $"log_directory={folder}",
            ];
            process = Process.Start(
                new ProcessStartInfo(words[0], words[1..])
                {
                    WorkingDirectory = folder,
                    RedirectStandardError = true,
                    RedirectStandardOutput = true,
                    UseShellExecute = false,
                }
            )!;
            started.Set();
            process.WaitForExit();
        })
        { IsBackground = true };
        keeper.Start();
        started.Wait();
        var waited = Stopwatch.StartNew();
        while (true)
        {
            try
            {
                Execute("SELECT 1", "postgres");
                return;
            }
            catch (NpgsqlException) when (waited.Elapsed < TimeSpan.FromSeconds(30) && !process!.HasExited)
            {
                Thread.Sleep(50);
            }
        }
    }

    /// <summary>Ends it as a power cut would: no connection is told, nothing is tidied.</summary>
    public void Crash() => Stop(3); // SIGQUIT: immediate shutdown

    public void Execute(string sql, string database = "postgres")
    {
        using var connection = new NpgsqlConnection($"Host={folder};Port={Port};Username=bench;Database={database};Pooling=false");
        connection.Open();
        using var command = new NpgsqlCommand(sql, connection);
        command.ExecuteNonQuery();
    }

    public void Dispose()
    {
        NpgsqlConnection.ClearAllPools();
        Stop(2); // SIGINT: fast shutdown
        Directory.Delete(folder, recursive: true);
    }

    private static bool IsRoot => Environment.IsPrivilegedProcess;

    private static string FindPrograms() =>
        (
            Directory.Exists("/usr/lib/postgresql")
                ? Directory
                    .GetDirectories("/usr/lib/postgresql")
                    .Order(StringComparer.Ordinal)
                    .Reverse()
                    .Select(d => Path.Combine(d, "bin"))
                : []
        )
            .Concat((Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator))
            .FirstOrDefault(d => File.Exists(Path.Combine(d, "initdb")) && File.Exists(Path.Combine(d, "postgres")))
        ?? throw new InvalidOperationException("PostgreSQL's programs are missing; ./test installs postgresql-15");

    private static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }

    private static void Run(string program, params string[] arguments)
    {
        using var run = Process.Start(
            new ProcessStartInfo(program, arguments)
            {
                RedirectStandardError = true,
                RedirectStandardOutput = true,
                UseShellExecute = false,
                WorkingDirectory = "/",
            }
        )!;
        Task<string> output = run.StandardOutput.ReadToEndAsync();
        string error = run.StandardError.ReadToEnd();
        run.WaitForExit();
        if (run.ExitCode != 0)
            throw new InvalidOperationException(
                $"{program} {string.Join(' ', arguments)} ended with {run.ExitCode}: {output.Result}{error}"
            );
    }

    private void Stop(int signal)
    {
        if (process is not { HasExited: false } running)
            return;
        _ = Kill(running.Id, signal);
        if (!running.WaitForExit(20_000))
            running.Kill();
    }

    [LibraryImport("libc", EntryPoint = "kill")]
    private static partial int Kill(int process, int signal);
}

/// <summary>The server that most tests share; started by the first that needs it.</summary>
public sealed class SharedPostgres : IDisposable
{
    private static readonly Lazy<PostgresServer> Lazily = new(() => new PostgresServer());

    private static int books;

    internal static PostgresServer Server => Lazily.Value;

    /// <summary>The address of a new, empty schema.</summary>
    internal static string NewAddress()
    {
        string schema = $"book_{Interlocked.Increment(ref books)}";
        Server.Execute($"CREATE SCHEMA {schema}", "books");
        return Server.Address(schema);
    }

    public void Dispose()
    {
        if (Lazily.IsValueCreated)
            Lazily.Value.Dispose();
    }
}
