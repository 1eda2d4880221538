using System.Data.Common;
using System.Security.Cryptography;
using Dapper;
using Microsoft.Data.Sqlite;
using Npgsql;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Signal;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>
/// What a book lies in. Tests of the book are written once, in a class that takes this, and run by one small class for each engine.
/// </summary>
public enum BookKind
{
    /// <summary>A SQLite file.</summary>
    Sqlite,

    /// <summary>A schema of the tests' PostgreSQL server.</summary>
    Postgres,
}

/// <summary>A service book of its own, and filings to put in it. It goes when the test does.</summary>
internal sealed class BookOnDisk : IDisposable
{
    public static readonly Condition Forward19 = new(Direction.Forward, 19.05);

    public static readonly DateTimeOffset Day = new(2026, 3, 14, 9, 26, 53, 589, TimeSpan.FromHours(1));

    public BookOnDisk(BookKind kind = BookKind.Sqlite)
    {
        Kind = kind;
        Folder = Directory.CreateTempSubdirectory("spoolwright-book-").FullName;
        Path = kind == BookKind.Sqlite ? System.IO.Path.Combine(Folder, "service.book") : SharedPostgres.NewAddress();
        Book = ServiceBook.Open(Path, TimeSpan.FromSeconds(30));
        Deck = Book.AddDeck("Meridian A7", """{ "name": "Meridian A7" }""", "A7-00412", "Auto-reverse deck, two speeds");
        Job = Book.OpenJob(Deck.Id, "Belts and pinch rollers replaced.", Day);
    }

    public BookKind Kind { get; }

    public string Folder { get; }

    /// <summary>The file or the database's address.</summary>
    public string Path { get; }

    public ServiceBook Book { get; }

    public Deck Deck { get; }

    public Job Job { get; }

    public static byte[] Sound(int seed, int length = 5000)
    {
        byte[] bytes = new byte[length];
        new Random(seed).NextBytes(bytes);
        return bytes;
    }

    public Filing Filing(byte[] sound, IReadOnlyList<Reading> readings, string measurement = "speed", IReadOnlyList<Note>? notes = null,
        IReadOnlyList<Trace>? traces = null) => new()
        {
            JobId = Job.Id,
            Condition = Forward19,
            Mark = Mark.AsFound,
            Capture = new Capture(
                "forward 19 as-found.wav",
                Convert.ToHexStringLower(SHA256.HashData(sound)),
                96000,
                2,
                30.000010416666667
            ),
            OpenCapture = () => new MemoryStream(sound),
            Result = new MeasurementResult(measurement, readings, notes ?? [], traces ?? []),
            Limits = [new Limit { Quantity = "speed-error", Min = -0.2, Max = 0.2, Source = "made-up manual, page 12" }],
            Instruments = [new Instrument("audio-interface", "Bench interface"),
            new Instrument("test-tape", "Speed tape 3150", "certificate of 2024")],
            MeasuredAt = Day,
            ProgramVersion = "0.1.0",
        };

    public Filing Filing(int seed = 1) => Filing(Sound(seed), [Speed(0.45)]);

    public static Reading Speed(double value) =>
        new() { Quantity = "speed-error", Value = value, Unit = "%", Uncertainty = 0.002, Method = "time mean" };

    /// <summary>The database behind the program's back, open.</summary>
    public DbConnection Raw() => Raw(Path);

    /// <summary>The same of any book.</summary>
    public static DbConnection Raw(string address)
    {
        DbConnection raw;
        if (BookAddress.IsDatabase(address))
        {
            var settings = PostgresAddress.Parse(address);
            settings.Pooling = false;
            raw = new NpgsqlConnection(settings.ConnectionString);
        }
        else
        {
            raw = new SqliteConnection($"Data Source={address};Pooling=False");
        }

        raw.Open();
        return raw;
    }

    /// <summary>What the database says to a change made behind the program's back.</summary>
    public string RefusalOf(string sql)
    {
        using var raw = Raw();
        return Assert.ThrowsAny<DbException>(() => raw.Execute(sql)).Message;
    }

    /// <summary>Holds the book as another program does while it writes.</summary>
    public IDisposable Held()
    {
        var raw = Raw();
        raw.Execute(
            Kind == BookKind.Sqlite
                ? "BEGIN IMMEDIATE"
                : "BEGIN; SELECT pg_advisory_xact_lock(hashtextextended('spoolwright ' || current_schema(), 0))"
        );
        return raw;
    }

    public void Dispose()
    {
        Book.Dispose();
        Directory.Delete(Folder, recursive: true);
    }
}
