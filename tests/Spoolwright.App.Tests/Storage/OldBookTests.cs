using Dapper;
using Microsoft.Data.Sqlite;
using Spoolwright.Bench;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>A book written by an earlier program opens, keeps every row, and takes what the newer program files.</summary>
public sealed class OldBookTests
{
    private const string First = "01990000-0000-7000-8000-000000000001";
    private const string Second = "01990000-0000-7000-8000-000000000002";
    private const string Job = "01980000-0000-7000-8000-000000000001";
    private const string Deck = "01970000-0000-7000-8000-000000000001";

    [Fact]
    public void Book_OfTheSecondSchemaStep_IsBroughtUpWithEveryRow()
    {
        using var folder = new OldBook(2);
        using (ServiceBook book = ServiceBook.OpenExisting(folder.Path))
        {
            var file = book.ReadJob(Guid.Parse(Job));
            Assert.Equal(2, file.Measurements.Count);
            var old = file.Measurements[0];
            Assert.Equal(new Bench.Measurements.Capture("one.wav", OldBook.Hash, 96000, 2, 30), old.Entry.Capture);
            Assert.Equal(new Reading
            {
                Quantity = "speed-error",
                Value = 0.45,
                Unit = "%",
                Uncertainty = 0.002,
                Method = "time mean",
                Judgeable = false,
                Parts = old.Result.Readings[0].Parts,
            }, old.Result.Readings[0]);
            Assert.Equal("noise", Assert.Single(old.Result.Readings[0].Parts).Name);
            Assert.Equal(Guid.Parse(Second), old.SupersededBy);
            Assert.Equal(0, file.Measurements[1].Readings[0].Supersedes!.Value.Ordinal);
            Assert.Equal("clipped", Assert.Single(old.Result.Notes).Code);
            Assert.Equal("Bench interface", Assert.Single(old.Entry.Instruments).Name);
            using var typed = new BookOnDisk();
            book.FileMeasurement(typed.Filing() with
            {
                JobId = file.Job.Id,
                Capture = new Bench.Measurements.Capture("", "", null, null, null),
                OpenCapture = null,
            });
            Assert.Equal(3, book.ReadJob(file.Job.Id).Measurements.Count);
        }

        using var raw = folder.Raw();
        Assert.Empty(raw.Query("PRAGMA foreign_key_check"));
        Assert.Equal("ok", raw.ExecuteScalar<string>("PRAGMA integrity_check"));
        // The rebuilt tables keep their keys, indices and the triggers that forbid changes.
        Assert.Contains(
            "append-only",
            Assert.Throws<SqliteException>(() => raw.Execute("UPDATE capture SET bytes = 0")).Message,
            StringComparison.Ordinal
        );
        Assert.Contains(
            "append-only",
            Assert.Throws<SqliteException>(() => raw.Execute("DELETE FROM measurement")).Message,
            StringComparison.Ordinal
        );
        var refused = Assert.Throws<SqliteException>(() =>
            raw.Execute("PRAGMA foreign_keys = ON; INSERT INTO note VALUES ('nobody', 0, 'hint', 'a', 'b')")
        );
        Assert.Contains("FOREIGN KEY", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Book_BroughtUp_HasTheSchemaOfANewOne()
    {
        using var old = new OldBook(2);
        ServiceBook.OpenExisting(old.Path).Dispose();
        using var fresh = new BookOnDisk();
        Assert.Equal(Schema(fresh.Path), Schema(old.Path));

        static List<string> Schema(string path)
        {
            using var raw = new SqliteConnection($"Data Source={path};Pooling=False");
            return [.. raw.Query<string>("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL ORDER BY type, name")];
        }
    }

    [Fact]
    public void Book_WithARowThatNamesNothing_IsLeftAtItsStep()
    {
        using var folder = new OldBook(2);
        using (var raw = folder.Raw())
            raw.Execute(
                "PRAGMA foreign_keys = OFF; INSERT INTO note (measurement_id, ordinal, severity, code, text) VALUES ('nobody', 0, 'hint', 'a', 'b')"
            );
        var damaged = Assert.Throws<ServiceBookException>(() => ServiceBook.OpenExisting(folder.Path));
        Assert.Equal("damaged", damaged.Code);
        ServiceBookSafetyTests.AssertOneLine(damaged);
        using var after = folder.Raw();
        Assert.Equal(2, after.ExecuteScalar<int>("SELECT MAX(number) FROM schema_step"));
    }

    /// <summary>A book as the program of an earlier step left it: its schema by the released steps, its rows by hand.</summary>
    private sealed class OldBook : IDisposable
    {
        public const string Hash = "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa";

        private readonly string folder = Directory.CreateTempSubdirectory("spoolwright-old-").FullName;

        public OldBook(int step)
        {
            using var raw = Raw();
            raw.Open();
            using (var transaction = raw.BeginTransaction())
            {
                SchemaSteps.Apply(raw, transaction, [.. SchemaSteps.For("sqlite").Take(step)], Path, BookOnDisk.Day);
                transaction.Commit();
            }

            raw.Execute($"""
                INSERT INTO deck VALUES ('{Deck}', 'Meridian A7', '[]', 'A7-1', 'deck');
                INSERT INTO job VALUES ('{Job}', '{Deck}', '2026-03-14T08:00:00.0000000Z', NULL, 'work');
                INSERT INTO instrument VALUES ('{Deck}', 'audio-interface', 'Bench interface', '');
                INSERT INTO capture VALUES ('{Hash}', 'aa/{Hash}.wav', 100, 96000, 2, 30);
                INSERT INTO measurement VALUES ('{First}', '{Job}', '{Hash}', 'one.wav', 'speed', 'forward', 19.05, NULL, 'as-found', '2026-03-14T09:00:00.0000000Z', '0.1.0', '[]', NULL);
                INSERT INTO measurement VALUES ('{Second}', '{Job}', '{Hash}', 'one.wav', 'speed', 'forward', 19.05, NULL, 'as-found', '2026-03-14T10:00:00.0000000Z', '0.1.0', '[]', '{First}');
                INSERT INTO measurement_instrument VALUES ('{First}', 0, '{Deck}');
                INSERT INTO reading VALUES ('{First}', 0, 'speed-error', 0.45, '%', 0.002, '[{Part}]', 'both', NULL, 'time mean', NULL, NULL, 0, NULL, NULL);
                INSERT INTO reading VALUES ('{Second}', 0, 'speed-error', 0.05, '%', 0.002, NULL, 'both', NULL, 'time mean', NULL, NULL, 1, '{First}', 0);
                INSERT INTO note VALUES ('{First}', 0, 'warning', 'clipped', 'Left clips.');
                """);
        }

        public string Path => System.IO.Path.Combine(folder, "service.book");

        private static string Part => """{"name":"noise","expanded":0.002}""";

        public SqliteConnection Raw() => new($"Data Source={Path};Pooling=False");

        public void Dispose()
        {
            SqliteConnection.ClearAllPools();
            Directory.Delete(folder, recursive: true);
        }
    }
}
