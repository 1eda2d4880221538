using Spoolwright.App.Web;
using Spoolwright.Bench.Decks;

namespace Spoolwright.App.Tests.Browser;

/// <summary>The bench served on a free port with a book of its own, one deck taken in.</summary>
public sealed class Bench : IAsyncDisposable
{
    private Bench(string folder, BookShelf shelf, BenchHost host, Guid job) => (Folder, Shelf, Host, Job) = (folder, shelf, host, job);

    public string Folder { get; }

    public Uri Address => Host.Address;

    /// <summary>Where its pages are, as browsers name it.</summary>
    public string Origin => Address.GetLeftPart(UriPartial.Authority);

    public Guid Job { get; }

    internal BookShelf Shelf { get; }

    internal BenchHost Host { get; }

    /// <param name="practiceSpecimen">Specimen of the practice deck that stands on it, three faults in it; null: whichever the bench
    /// draws.</param>
    /// <param name="listen">Another address to listen at.</param>
    /// <param name="clock">Tells how old a pairing is.</param>
    public static async Task<Bench> Start(long? practiceSpecimen = null, System.Net.IPAddress? listen = null, TimeProvider? clock = null)
    {
        var folder = Directory.CreateTempSubdirectory("spoolwright-bench").FullName;
        var shelf = BookShelf.Open(folder);
        var profile = BookCalls.ExampleProfile();
        var deck = shelf.Book.AddDeck(DeckProfileFile.Parse(profile).Value!.Name, profile, "1207", "test");
        var job = shelf.Book.OpenJob(deck.Id, "Restoration", DateTimeOffset.UnixEpoch);
        if (practiceSpecimen is { } specimen)
            PracticeInput.Folder(shelf).Create(Spoolwright.Practice.Hidden.LearnersDeck.Draw(specimen, 3));
        return new Bench(folder, shelf, await BenchHost.Start(shelf, port: 0, listen, clock), job.Id);
    }

    /// <summary>The bench on a book that is there already: a small shop's invented year.</summary>
    internal static async Task<Bench> StartOnYear(YearBook year)
    {
        var folder = year.Copy();
        var shelf = BookShelf.Open(folder);
        return new Bench(folder, shelf, await BenchHost.Start(shelf, port: 0), year.Own);
    }

    public async ValueTask DisposeAsync()
    {
        await Host.DisposeAsync();
        Shelf.Dispose();
        Directory.Delete(Folder, recursive: true);
    }
}
