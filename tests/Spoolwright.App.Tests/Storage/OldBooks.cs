using System.Globalization;
using System.IO.Compression;
using Dapper;
using Microsoft.Data.Sqlite;
using Spoolwright.App.Tests.Cli;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>A sample book of each schema step, kept as it was made (<c>tools/sample-book</c>).</summary>
internal static class OldBooks
{
    public static string Folder => Path.Combine(Tree.Root, "tests/Spoolwright.App.Tests/Storage/OldBooks");

    public static string Sample(int step) => Path.Combine(Folder, step.ToString("0000", CultureInfo.InvariantCulture) + ".db.gz");

    /// <summary>Makes the sample of the schema steps up to that one.</summary>
    public static void Make(int step, string packed)
    {
        string folder = Directory.CreateTempSubdirectory("spoolwright-sample-").FullName;
        string file = Path.Combine(folder, "book.db");
        using (var raw = new SqliteConnection($"Data Source={file};Pooling=False"))
        {
            raw.Open();
            using (var engine = new SqliteEngine(file, TimeSpan.FromSeconds(1)))
                engine.BringUp(raw, [.. SchemaSteps.For("sqlite").Where(s => s.Number <= step)], BookOnDisk.Day);
            foreach (string section in File.ReadAllText(Path.Combine(Folder, "rows.sql")).Split("\n-- step ")[1..])
            {
                int end = section.IndexOf('\n', StringComparison.Ordinal);
                if (int.Parse(section[..end], CultureInfo.InvariantCulture) <= step)
                    raw.Execute(section[end..]);
            }

            raw.Execute("VACUUM");
        }

        using (var from = File.OpenRead(file))
        using (var to = new GZipStream(File.Create(packed), CompressionLevel.SmallestSize))
            from.CopyTo(to);
        Directory.Delete(folder, recursive: true);
    }

    public static void Unpack(int step, string file)
    {
        using var from = new GZipStream(File.OpenRead(Sample(step)), CompressionMode.Decompress);
        using var to = File.Create(file);
        from.CopyTo(to);
    }
}
