using Spoolwright.App.Demo;
using Spoolwright.App.Desk;
using Spoolwright.App.Tests.Cli;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Browser;

/// <summary>The demonstration's year, written once and copied for each test.</summary>
public sealed class YearBook : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("spoolwright-yearbook-").FullName;

    public YearBook()
    {
        var path = Path.Combine(folder, "service-book.db");
        Own = ShopYear
            .Write(
                path,
                File.ReadAllText(Path.Combine(Tree.Root, "examples/deck-profile.json")),
                DateTimeOffset.UtcNow.AddDays(-1),
                Path.Combine(folder, "key.pem"),
                Path.Combine(folder, "handover")
            )
            .Id;
        // Chances that move between two questions are another test's.
        using var book = ServiceBook.OpenExisting(path);
        new CauseDesk(book).Learn(TimeSpan.MaxValue);
    }

    /// <summary>The demonstration's own job, open.</summary>
    public Guid Own { get; }

    /// <summary>A folder of its own with the book in it.</summary>
    public string Copy()
    {
        var to = Directory.CreateTempSubdirectory("spoolwright-bench").FullName;
        foreach (var file in Directory.EnumerateFiles(folder, "service-book.db*"))
            File.Copy(file, Path.Combine(to, Path.GetFileName(file)));
        return to;
    }

    public void Dispose() => Directory.Delete(folder, recursive: true);
}
