using Spoolwright.App.Desk;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;
using Spoolwright.Storage;

namespace Spoolwright.App.Web;

/// <summary>The service book that the bench works in, and where sound lies until it is filed.</summary>
internal sealed class BookShelf : IDisposable
{
    private BookShelf(ServiceBook book, string folder)
    {
        (Book, Arriving) = (book, Path.Combine(folder, "arriving"));
        try
        {
            Directory.CreateDirectory(Arriving);
        }
        catch (UnauthorizedAccessException)
        {
            book.Dispose();
            throw new EntryException(
                $"the bench writes in {folder}, and may not there; give yourself the right to, or copy the book to a folder of your own. The commands that only read need no such right"
            );
        }

        Adjusted = new AdjustedLog(book);
        Learner = new CauseLearner(book);
    }

    public ServiceBook Book { get; }

    /// <summary>Folder for sound on its way in.</summary>
    public string Arriving { get; }

    /// <summary>What was turned on the decks of the book's jobs.</summary>
    public AdjustedLog Adjusted { get; }

    /// <summary>Weighs what finished jobs teach of causes, once somebody has asked for it.</summary>
    public CauseLearner Learner { get; }

    /// <summary>Opens the book that a file, a folder or a PostgreSQL database is named for, or makes it there.</summary>
    /// <exception cref="ServiceBookException">It cannot be opened.</exception>
    public static BookShelf Open(string where) => BookAddress.IsDatabase(where)
        ? new(ServiceBook.Open(where), OwnFolder())
        : new(ServiceBook.Open(where), Path.GetDirectoryName(BookAddress.FileOf(where))!);

    /// <summary>Takes a book that is open already.</summary>
    /// <param name="book">The book; the shelf lets go of it.</param>
    /// <param name="folder">Where sound waits until it is filed.</param>
    internal static BookShelf Of(ServiceBook book, string folder) => new(book, folder);

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
        return Path.Combine(
            Arriving,
            Guid.NewGuid().ToString("N") + (ending is ".wav" or ".flac" or ".aif" or ".aiff" or ".aifc" ? ending : ".sound")
        );
    }

    // Sound on its way into a book that lies elsewhere waits on this machine, where only this user reads it.
    private static string OwnFolder() =>
        Path.Combine(
            Environment.GetFolderPath(Environment.SpecialFolder.LocalApplicationData, Environment.SpecialFolderOption.Create),
            "spoolwright"
        );

    public void Dispose()
    {
        Learner.Dispose();
        Book.Dispose();
    }
}
