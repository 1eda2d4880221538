using System.Globalization;
using Dapper;
using Microsoft.Data.Sqlite;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>A book of every schema step there ever was is brought up to date by either engine, and keeps every row.</summary>
public sealed class OldBookSampleTests
{
    private static readonly Guid Job = Guid.Parse("01980000-0000-7000-8000-000000000001");

    public static TheoryData<int, BookKind> Samples
    {
        get
        {
            var samples = new TheoryData<int, BookKind>();
            foreach (string file in Directory.GetFiles(OldBooks.Folder, "*.db.gz").Order(StringComparer.Ordinal))
            {
                foreach (BookKind kind in Enum.GetValues<BookKind>())
                    samples.Add(int.Parse(Path.GetFileName(file)[..4], CultureInfo.InvariantCulture), kind);
            }

            return samples;
        }
    }

    [Fact]
    public void Step_OfTheSchema_HasItsSample() => // tools/sample-book makes the next one
        Assert.All(
            SchemaSteps.For("sqlite"),
            step => Assert.True(File.Exists(OldBooks.Sample(step.Number)), $"tools/sample-book {step.Number}")
        );

    [Theory]
    [MemberData(nameof(Samples))]
    public void Book_OfAnEarlierStep_IsBroughtUpWithEveryRow(int step, BookKind kind)
    {
        using var disk = new BookOnDisk(kind);
        string old = Path.Combine(disk.Folder, "old.db"), where = kind == BookKind.Sqlite ? old : SharedPostgres.NewAddress();
        OldBooks.Unpack(step, old);
        List<string> before;
        using (var raw = new SqliteConnection($"Data Source={old};Pooling=False"))
        {
            raw.Open();
            before = Rows(raw, new SqliteEngine(old, TimeSpan.FromSeconds(1)), null);
            Assert.Equal(step, raw.ExecuteScalar<int>("SELECT MAX(number) FROM schema_step"));
        }

        if (kind == BookKind.Postgres)
        {
            // The rows as they are, into tables of that step; then PostgreSQL's own steps bring them up.
            string lines = Path.Combine(disk.Folder, "old.lines");
            using (var engine = new SqliteEngine(old, TimeSpan.FromSeconds(1)))
            using (var stream = File.Create(lines))
                BookLines.Write(engine, stream);
            ServiceBook.Restore(lines, where);
        }

        using (ServiceBook book = ServiceBook.OpenExisting(where))
        {
            var file = book.ReadJob(Job);
            Assert.Equal(0.1 + 0.2, file.Measurements.Single(m => m.SupersededBy is not null).Result.Readings[0].Value);
            Assert.DoesNotContain(book.Check(), f => !f.Contains("is missing from", StringComparison.Ordinal)); // its captures never were
            Assert.NotEmpty(book.Search("belts"));
            book.FileMeasurement(disk.Filing() with { JobId = Job });
        }

        using BookEngine after =
            kind == BookKind.Sqlite ? new SqliteEngine(where, TimeSpan.FromSeconds(9)) : new PostgresEngine(where, TimeSpan.FromSeconds(9));
        var kept = after.Read(c => Rows(c, after, before)).ToHashSet(StringComparer.Ordinal);
        Assert.DoesNotContain(before, row => !kept.Contains(row));
        Assert.True(before.Count >= 12);
    }

    /// <summary>
    /// Every row as one line, <c>table: column=value, …</c>; where lines are given, with the columns that those name alone.
    /// </summary>
    private static List<string> Rows(System.Data.Common.DbConnection connection, BookEngine engine, List<string>? like)
    {
        var lines = new List<string>();
        foreach (BookTable table in engine.Tables(connection, null).Where(t => !BookTable.Apart.Contains(t.Name)))
        {
            var columns = like is null
                ? table.Columns
                : table
                    .Columns.Where(c =>
                        like.Any(l =>
                            l.StartsWith(table.Name + ": ", StringComparison.Ordinal)
                            && l.Contains($", {c.Name}=", StringComparison.Ordinal)
                        )
                    )
                    .ToList();
            if (columns.Count == 0)
                continue;
            using var row = (System.Data.IDataReader)connection.ExecuteReader((table with { Columns = columns }).Select);
            while (row.Read())
            {
                lines.Add(table.Name + ": " + string.Concat(columns.Select((c, i) => c.Plain(row.GetValue(i)) switch
                {
                    byte[] bytes => $", {c.Name}={Convert.ToHexString(bytes)}",
                    double real => string.Create(CultureInfo.InvariantCulture, $", {c.Name}={real:R}"),
                    var value => $", {c.Name}={value ?? "NULL"}",
                })));
            }
        }

        return lines;
    }
}
