using System.Globalization;

namespace Spoolwright.Storage;

/// <content>Backup while others work, restoring into either engine, and checking the whole.</content>
public sealed partial class ServiceBook
{
    private const string LinesEnding = ".lines", FileEnding = ".db";

    /// <summary>
    /// Copies the book of one moment into a folder, with its captures beside it, while others work. A copy never takes the place of an
    /// earlier one;
    /// captures that lie there whole already are not copied again.
    /// </summary>
    /// <param name="folder">Where to; made where it is not there.</param>
    /// <param name="asLines">
    /// True: rows as readable lines, which restore into either engine. A book in PostgreSQL is always copied so.
    /// </param>
    /// <exception cref="ServiceBookException">It could not be copied; no half of it bears a copy's name.</exception>
    public BookCopy Backup(string folder, bool asLines = false)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(folder);
        folder = Path.GetFullPath(folder);
        bool lines = asLines || engine is not SqliteEngine;
        string day = clock.GetUtcNow().UtcDateTime.ToString("yyyy-MM-dd'T'HHmmss.fff'Z'", CultureInfo.InvariantCulture);
        string target = Path.Combine(folder, $"book-{day}{(lines ? LinesEnding : FileEnding)}"), passing = target + ".arriving";
        try
        {
            Directory.CreateDirectory(folder);
            if (lines)
            {
                using var file = new FileStream(passing, FileMode.Create, FileAccess.Write, FileShare.None, 1 << 16);
                BookLines.Write(engine, file);
                file.Flush(flushToDisk: true);
            }
            else
            {
                ((SqliteEngine)engine).CopyTo(passing);
                using var file = new FileStream(passing, FileMode.Open, FileAccess.ReadWrite);
                file.Flush(flushToDisk: true);
            }

            // Captures are only ever added, and before the row that names them: all that the copy names are there by now.
            var faults = CopyCaptures(CapturesIn(), new CaptureFolder(Path.Combine(folder, "captures")), out int captures);
            File.Move(passing, target);
            DirectorySync.Flush(folder);
            return new BookCopy(target, captures, faults);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw ServiceBookException.From(e, $"the backup folder {folder}");
        }
        finally
        {
            if (File.Exists(passing))
                File.Delete(passing);
        }
    }

    /// <summary>Makes a book from a backup, its captures among it. The book must not be there yet.</summary>
    /// <param name="backup">A copy, or a folder of copies: the newest of them.</param>
    /// <param name="where">The new book: a file or a database, whichever engine the backup is of.</param>
    /// <param name="clock">Gives the time; null: the system's.</param>
    /// <exception cref="ServiceBookException">The copy is not whole, or there is a book already; nothing was made.</exception>
    public static BookCopy Restore(string backup, string where, TimeProvider? clock = null)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(backup);
        ArgumentException.ThrowIfNullOrWhiteSpace(where);
        string copy = NewestCopy(backup);
        DateTimeOffset now = (clock ?? TimeProvider.System).GetUtcNow();
        if (BookAddress.IsDatabase(where))
        {
            using BookEngine made = Engine(where, TimeSpan.FromSeconds(10));
            FromLines(copy, lines => BookLines.Read(lines, (had, tables) => made.Fill(had, tables, now)));
        }
        else
        {
            RestoreFile(copy, BookAddress.FileOf(where), now);
        }

        using ServiceBook book = OpenExisting(where, clock: clock);
        var faults = book.Heal(backup, out int captures);
        return new BookCopy(book.Name, captures, faults);
    }

    /// <summary>Puts captures that are missing or damaged back from a backup.</summary>
    /// <param name="backup">A copy, or the folder it lies in.</param>
    /// <returns>What is still missing or damaged.</returns>
    public IReadOnlyList<CaptureFault> Heal(string backup) => Heal(backup, out _);

    /// <summary>Everything that is wrong with the book, in plain sentences: its tables, its schema, its captures.</summary>
    public IReadOnlyList<string> Check() => [.. engine.Faults(), .. CheckCaptures().Select(f => f.Text)];

    private IReadOnlyList<CaptureFault> Heal(string backup, out int captures)
    {
        string folder = Path.GetFullPath(Directory.Exists(backup) ? backup : Path.GetDirectoryName(Path.GetFullPath(backup))!);
        return CopyCaptures(new CaptureFolder(Path.Combine(folder, "captures")), CapturesIn(), out captures);
    }

    private List<CaptureFault> CopyCaptures(ICaptureStore from, ICaptureStore to, out int captures)
    {
        var faults = new List<CaptureFault>();
        var all = StoredCaptures();
        foreach ((string sha256, string storedAs) in all)
        {
            try
            {
                to.Take(() => from.Open(sha256, storedAs), sha256, storedAs, storedAs);
            }
            catch (ServiceBookException e) when (e.Code is "capture-missing" or "capture-damaged")
            {
                faults.Add(new CaptureFault(sha256, from.Place, e.Code, e.Message));
            }
        }

        captures = all.Count;
        return faults;
    }

    private static string NewestCopy(string backup)
    {
        if (File.Exists(backup))
            return Path.GetFullPath(backup);
        string? newest = Directory.Exists(backup)
            ? Directory
                .EnumerateFiles(backup, "book-*")
                .Where(f => f.EndsWith(LinesEnding, StringComparison.Ordinal) || f.EndsWith(FileEnding, StringComparison.Ordinal))
                .MaxBy(Path.GetFileName, StringComparer.Ordinal)
            : null;
        return newest ?? throw new ServiceBookException("not-found", $"There is no backup in {Path.GetFullPath(backup)}; check the name.");
    }

    private static void RestoreFile(string copy, string file, DateTimeOffset now)
    {
        if (File.Exists(file))
            throw new ServiceBookException("refused", $"There is a file {file} already; nothing was written. Name a new one.");
        string passing = $"{file}.arriving-{Guid.NewGuid():N}";
        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(file)!);
            if (copy.EndsWith(LinesEnding, StringComparison.Ordinal))
            {
                using var made = new SqliteEngine(passing, TimeSpan.FromSeconds(10));
                BookLines.Read(copy, (had, tables) => made.Fill(had, tables, now));
            }
            else
            {
                // The copy is never opened for writing, and the new book is looked over before it gets its name.
                File.Copy(copy, passing);
                using var made = new SqliteEngine(passing, TimeSpan.FromSeconds(10));
                made.Prepare(mayMake: false, now);
                if (made.Faults() is [var fault, ..])
                    throw new ServiceBookException("damaged", $"The copy {copy} is not whole: {fault} Take another.");
            }

            using (var stream = new FileStream(passing, FileMode.Open, FileAccess.ReadWrite))
                stream.Flush(flushToDisk: true);
            File.Move(passing, file);
            DirectorySync.Flush(Path.GetDirectoryName(file)!);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw ServiceBookException.From(e, $"the folder {Path.GetDirectoryName(file)}");
        }
        finally
        {
            foreach (string ending in (string[])["", "-wal", "-shm"])
                File.Delete(passing + ending);
        }
    }

    // A copy that is a file is told in lines first.
    private static void FromLines(string copy, Action<string> work)
    {
        if (copy.EndsWith(LinesEnding, StringComparison.Ordinal))
        {
            work(copy);
            return;
        }

        string folder = Directory.CreateTempSubdirectory("spoolwright-restore-").FullName;
        try
        {
            string file = Path.Combine(folder, "book.db"), lines = Path.Combine(folder, "book.lines");
            RestoreFile(copy, file, DateTimeOffset.UnixEpoch);
            using (var told = new SqliteEngine(file, TimeSpan.FromSeconds(10)))
            using (var stream = new FileStream(lines, FileMode.CreateNew))
                BookLines.Write(told, stream);
            work(lines);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
