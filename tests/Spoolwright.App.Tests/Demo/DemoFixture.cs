using Spoolwright.App.Tests.Cli;

namespace Spoolwright.App.Tests.Demo;

/// <summary>The demonstration, run once for all tests of it, in a folder of its own.</summary>
public sealed class DemoFixture : IDisposable
{
    public DemoFixture()
    {
        Folder = Path.Combine(Path.GetTempPath(), $"spoolwright-demo-{Guid.NewGuid():N}");
        Run = CliRun.Of("demo", "--folder", Folder);
    }

    public string Folder { get; }

    public string Book => Path.Combine(Folder, "book", "service-book.db");

    internal CliRun Run { get; }

    public void Dispose()
    {
        Microsoft.Data.Sqlite.SqliteConnection.ClearAllPools();
        Directory.Delete(Folder, recursive: true);
    }
}
