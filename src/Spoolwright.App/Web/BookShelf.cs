using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;
using Spoolwright.Storage;

namespace Spoolwright.App.Web;

/// <summary>The service book that the bench works in, and where sound lies until it is filed.</summary>
internal sealed class BookShelf : IDisposable
{
    private const string BookName = "service-book.db";

    private BookShelf(ServiceBook book, string folder)
    {
        (Book, Arriving) = (book, Path.Combine(folder, "arriving"));
        Directory.CreateDirectory(Arriving);
        Adjusted = new AdjustedLog(book);
    }

    public ServiceBook Book { get; }

    /// <summary>Folder for sound on its way in.</summary>
    public string Arriving { get; }

    /// <summary>What was turned on the decks of the book's jobs.</summary>
    public AdjustedLog Adjusted { get; }

    /// <summary>Opens the book in a folder, or makes one there; or opens it in a PostgreSQL database.</summary>
    /// <exception cref="ServiceBookException">It cannot be opened.</exception>
    public static BookShelf Open(string where) => BookAddress.IsDatabase(where)
        ? new(ServiceBook.Open(where), OwnFolder())
        : new(ServiceBook.Open(Path.Combine(where, BookName)), Path.GetFullPath(where));

    /// <summary>A job with its deck's profile, both as they are in the book.</summary>
    /// <exception cref="ServiceBookException">There is no such job.</exception>
    public (JobFile File, DeckProfile? Profile) Job(Guid id)
    {
        var file = Book.ReadJob(id);
        return (file, DeckProfileFile.Parse(file.Deck.ProfileJson).Value);
    }

    /// <summary>A new file name in <see cref="Arriving"/>; nothing a browser sends becomes part of it but a plain ending.</summary>
    public string NewArrival(string fileName)
    {
        var ending = Path.GetExtension(fileName).ToLowerInvariant();
        return Path.Combine(Arriving, Guid.NewGuid().ToString("N") + (ending is ".wav" or ".flac" or ".aif" or ".aiff" or ".aifc" ? ending : ".sound"));
    }

    // Sound on its way into a book that lies elsewhere waits on this machine, where only this user reads it.
    private static string OwnFolder() =>
        Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.LocalApplicationData, Environment.SpecialFolderOption.Create), "spoolwright");

    public void Dispose() => Book.Dispose();
}
