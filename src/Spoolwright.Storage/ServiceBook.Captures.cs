using System.Data.Common;
using Dapper;

namespace Spoolwright.Storage;

/// <content>Captures: where they lie, and whether they are whole.</content>
public sealed partial class ServiceBook
{
    /// <summary>The word for captures that lie in the database itself.</summary>
    public const string InDatabase = "database";

    private const string CapturesSetting = "captures", BookSetting = "book";

    /// <summary>The folder that holds the captures, or where else they lie, as messages call it.</summary>
    public string CapturesFolder => CapturesIn().Place;

    /// <summary>Opens a capture's bytes after checking them against its hash.</summary>
    /// <exception cref="ServiceBookException">
    /// Not known, missing (<c>capture-missing</c>), damaged (<c>capture-damaged</c>), or its shared folder is not connected
    /// (<c>captures-away</c>).
    /// </exception>
    public Stream OpenCapture(string sha256)
    {
        string stored = With(c => c.QuerySingleOrDefault<string>("SELECT stored_as FROM capture WHERE sha256 = @sha256", new { sha256 }))
            ?? throw new ServiceBookException("not-found", $"The service book {Name} holds no capture with the hash {sha256}.");
        return CapturesIn().Open(sha256, stored);
    }

    /// <summary>Reads every stored capture against its hash; says which are missing or damaged.</summary>
    public IReadOnlyList<CaptureFault> CheckCaptures()
    {
        ICaptureStore captures = CapturesIn();
        return StoredCaptures().Select(row => captures.Fault(row.Sha256, row.StoredAs)).OfType<CaptureFault>().ToList();
    }

    /// <summary>
    /// Says for every bench where captures lie from now on, after each has been copied there and read back. What lay in a folder stays
    /// there; what lay in the
    /// database leaves it.
    /// </summary>
    /// <param name="where"><see cref="InDatabase"/>, or a folder that every bench reaches under the same path.</param>
    /// <returns>How many captures were moved.</returns>
    /// <exception cref="ServiceBookException">
    /// A capture is missing or damaged, or the folder cannot be used; the book stays as it was.
    /// </exception>
    public int MoveCaptures(string where)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(where);
        ICaptureStore from = CapturesIn();
        string id = BookId();
        ICaptureStore to;
        if (where == InDatabase)
        {
            to = new CaptureTable(engine);
        }
        else
        {
            where = Path.GetFullPath(where);
            CaptureFolder.Mark(where, MarkerLine(id));
            to = new CaptureFolder(where, MarkerLine(id));
        }

        // Twice: the second round takes what other benches filed during the first, and holds them off.
        int moved = Copy(StoredCaptures());
        Change(where == InDatabase ? "Moved the captures into the database" : $"Moved the captures to {where}", journal =>
        {
            if (to is CaptureFolder)
                Copy(StoredCaptures());
            Put(journal, CapturesSetting, where);
        });
        if (to is CaptureTable)
            Copy(StoredCaptures());
        else if (from is CaptureTable)
            Write(CaptureTable.Clear);
        return moved;

        int Copy(IReadOnlyList<(string Sha256, string StoredAs)> captures)
        {
            int copied = 0;
            foreach ((string sha256, string storedAs) in captures.Where(c => to.Fault(c.Sha256, c.StoredAs) is not null))
            {
                to.Take(() => from.Open(sha256, storedAs), sha256, storedAs, storedAs);
                copied++;
            }

            return copied;
        }
    }

    private static string MarkerLine(string id) => $"captures of the service book {id}";

    private static void Put(Journal journal, string name, string value)
    {
        var key = new Columns { ["name"] = name };
        if (Setting(journal.Connection, journal.Transaction, name) is null)
            journal.Insert("setting", key, new Columns { ["value"] = value });
        else
            journal.Update("setting", key, new Columns { ["value"] = value });
    }

    private static string? Setting(DbConnection c, DbTransaction? t, string name) =>
        c.QuerySingleOrDefault<string>("SELECT value FROM setting WHERE name = @name", new { name }, t);

    // Asked anew each time: another bench may have moved them.
    private ICaptureStore CapturesIn()
    {
        (string? where, string? id) = With(c => (Setting(c, null, CapturesSetting), Setting(c, null, BookSetting)));
        if (where is null)
            return engine.OwnCapturesFolder is { } own ? new CaptureFolder(own) : new CaptureTable(engine);
        return where == InDatabase ? new CaptureTable(engine) : new CaptureFolder(where, MarkerLine(id ?? ""));
    }

    private IReadOnlyList<(string Sha256, string StoredAs)> StoredCaptures() =>
        With(c => c.Query<(string, string)>("SELECT sha256, stored_as FROM capture ORDER BY sha256").ToList());

    private string BookId()
    {
        string? id = null;
        Write((c, t) =>
        {
            id = Setting(c, t, BookSetting);
            if (id is null)
            {
                id = StoredText.Id(RowId.New());
                c.Execute("INSERT INTO setting (name, value) VALUES (@name, @id)", new { name = BookSetting, id }, t);
            }
        });
        return id!;
    }
}
