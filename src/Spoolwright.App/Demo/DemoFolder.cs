namespace Spoolwright.App.Demo;

/// <summary>The demonstration's own folder: captures, leaflets, service book, record. Made anew at every run, and nothing else is ever
/// touched.</summary>
internal sealed class DemoFolder : IDisposable
{
    private const string Marker = "made-by-spoolwright-demo.txt";

    // Held open for as long as the demonstration runs, shared with nobody: a second one must not empty the folder under the first.
    private readonly FileStream _marker;

    private DemoFolder(string root, FileStream marker)
    {
        Root = root;
        _marker = marker;
    }

    /// <inheritdoc/>
    public void Dispose() => _marker.Dispose();

    public string Root { get; }

    public string Profile => Path.Combine(Root, "deck-profile.json");

    public string Book => Path.Combine(Root, "book", "service-book.db");

    public string RecordHtml => Path.Combine(Root, "record.html");

    public string RecordPdf => Path.Combine(Root, "record.pdf");

    public string Capture(string name) => Path.Combine(Root, "captures", name);

    /// <summary>The shop's key, made anew at each run.</summary>
    public string Key => Path.Combine(Root, "shop-key.pem");

    /// <summary>One signed record of the year.</summary>
    public string EarlierHandover => Path.Combine(Root, "handover-of-an-earlier-deck");

    /// <summary>The signed record of the deck that is played, as it goes to its buyer.</summary>
    public string Handover => Path.Combine(Root, "handover");

    public string Gauge => Path.Combine(Root, "gauge.json");

    public string Sheet(string name) => Path.Combine(Root, name);

    public string Calibration => Path.Combine(Root, "loopback.json");

    public string BookCaptures => Path.Combine(Root, "book", "captures");

    public string Tape(string name) => Path.Combine(Root, "tapes", name);

    /// <summary>
    /// Puts a link in the place of a capture that the book has taken: the sound is kept once. Where links are not allowed, it lies in the
    /// book alone.
    /// </summary>
    public void LeaveToTheBook(string name, string sha256)
    {
        var own = Capture(name);
        var kept = Directory.EnumerateFiles(Path.Combine(BookCaptures, sha256[..2]), sha256 + "*").First();
        File.Delete(own);
        try
        {
            File.CreateSymbolicLink(own, Path.GetRelativePath(Path.GetDirectoryName(own)!, kept));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or PlatformNotSupportedException)
        {
            // Not every system lets everybody make links; the book's own copy is the one that counts.
        }
    }

    /// <summary>Empties the folder of an earlier demonstration, or makes a new one.</summary>
    /// <exception cref="Cli.CallException">The folder holds something else, another demonstration is at work in it, or it cannot be
    /// written.</exception>
    public static DemoFolder Prepare(string path)
    {
        var root = Path.GetFullPath(path);
        FileStream? marker = null;
        try
        {
            if (Directory.Exists(root) && Directory.EnumerateFileSystemEntries(root).Any() && !File.Exists(Path.Combine(root, Marker)))
                throw new Cli.CallException($"{path} holds files that the demonstration did not make; name a new folder with --folder");
            Directory.CreateDirectory(root);
            marker = Own(path, Path.Combine(root, Marker));
            foreach (var folder in (string[])["captures", "tapes", "book", "handover", "handover-of-an-earlier-deck"])
            {
                var sub = Path.Combine(root, folder);
                if (Directory.Exists(sub))
                    Directory.Delete(sub, recursive: true);
            }

            foreach (var file in Directory.EnumerateFiles(root).Where(f => Path.GetFileName(f) != Marker))
                File.Delete(file);
            Directory.CreateDirectory(Path.Combine(root, "captures"));
            Directory.CreateDirectory(Path.Combine(root, "tapes"));
            Directory.CreateDirectory(Path.Combine(root, "book"));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            marker?.Dispose();
            throw new Cli.CallException($"{path} cannot be used for the demonstration: {e.Message}");
        }

        return new DemoFolder(root, marker);
    }

    private static FileStream Own(string path, string marker)
    {
        FileStream stream;
        try
        {
            stream = new FileStream(marker, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
        }
        catch (IOException) when (File.Exists(marker))
        {
            throw new Cli.CallException(
                $"another demonstration is at work in {path}; wait until it is done, or name another folder with --folder"
            );
        }

        stream.SetLength(0);
        stream.Write("The demonstration empties this folder each time it runs. Keep nothing of yours here.\n"u8);
        stream.Flush();
        return stream;
    }
}
