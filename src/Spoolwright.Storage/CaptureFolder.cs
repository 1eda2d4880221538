using System.Security.Cryptography;

namespace Spoolwright.Storage;

/// <summary>What is wrong with a stored capture.</summary>
/// <param name="Sha256">The capture.</param>
/// <param name="Path">Where it should lie.</param>
/// <param name="Code"><c>capture-missing</c> or <c>capture-damaged</c>.</param>
/// <param name="Text">One plain sentence.</param>
public sealed record CaptureFault(string Sha256, string Path, string Code, string Text);

/// <summary>
/// Captures beside the book, each under its hash: <c>captures/ab/abcdef….wav</c>. A capture appears under its name whole or not at all:
/// it is written under a passing name, flushed, renamed, and its folder flushed.
/// </summary>
/// <param name="root">The folder.</param>
/// <param name="shared">
/// For a folder that several benches share: the line that its <see cref="Marker"/> must hold, so that an empty folder where the share
/// should be mounted is not taken for it.
/// </param>
internal sealed class CaptureFolder(string root, string? shared = null) : ICaptureStore
{
    /// <summary>The file by which a shared folder is known.</summary>
    public const string Marker = "spoolwright-captures.txt";

    private const string Passing = ".arriving-";

    public string Root { get; } = root;

    public string Place => Root;

    /// <summary>The path below the root for a capture of that hash, with / on every system.</summary>
    public static string NameFor(string sha256, string fileName)
    {
        string extension = Path.GetExtension(fileName).ToLowerInvariant();
        bool plain = extension.Length is > 1 and <= 8 && extension.Skip(1).All(char.IsAsciiLetterOrDigit);
        return $"{sha256[..2]}/{sha256}{(plain ? extension : ".sound")}";
    }

    public long Take(Func<Stream> open, string sha256, string storedAs, string fileName)
    {
        MustBeThere();
        string target = PathOf(storedAs);
        if (Fault(sha256, storedAs) is null)
            return new FileInfo(target).Length;

        string? passing = null;
        try
        {
            using Stream source = open();
            string folder = Path.GetDirectoryName(target)!;
            bool fresh = !Directory.Exists(folder);
            Directory.CreateDirectory(folder);
            passing = Path.Combine(folder, Passing + Guid.NewGuid().ToString("N"));
            long bytes = CopyHashed(source, passing, out string got);
            if (got != sha256)
                throw Changed(fileName, got, sha256);

            File.Move(passing, target, overwrite: true);
            passing = null;
            DirectorySync.Flush(folder);
            if (fresh)
                DirectorySync.Flush(Root);
            return bytes;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw ServiceBookException.From(e, e is FileNotFoundException ? $"the capture {fileName}" : $"the captures folder {Root}");
        }
        finally
        {
            if (passing is not null)
                TryDelete(passing);
        }
    }

    /// <summary>Makes a folder one that several benches may share.</summary>
    public static void Mark(string root, string line)
    {
        try
        {
            Directory.CreateDirectory(root);
            string marker = Path.Combine(root, Marker);
            if (!File.Exists(marker))
                File.WriteAllText(marker, line + "\n");
            else if (File.ReadLines(marker).FirstOrDefault() != line)
                throw new ServiceBookException(
                    "refused",
                    $"The folder {root} holds the captures of another book; choose a folder of its own."
                );
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw ServiceBookException.From(e, $"the captures folder {root}");
        }
    }

    /// <summary>What is said of a file whose bytes do not have the hash they were measured under.</summary>
    public static ServiceBookException Changed(string fileName, string got, string sha256) => new("capture-changed",
        $"The capture {fileName} has changed since it was measured (hash {got[..12]}…, measured {sha256[..12]}…); measure it again.");

    public Stream Open(string sha256, string storedAs)
    {
        MustBeThere();
        if (!File.Exists(PathOf(storedAs)))
            throw Said(Missing(sha256, storedAs));
        var stream = new FileStream(PathOf(storedAs), FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 16);
        try
        {
            if (Convert.ToHexStringLower(SHA256.HashData(stream)) != sha256)
                throw Said(Damaged(sha256, storedAs));
            stream.Position = 0;
            return stream;
        }
        catch
        {
            stream.Dispose();
            throw;
        }
    }

    public CaptureFault? Fault(string sha256, string storedAs)
    {
        if (Away() is { } away)
            return new CaptureFault(sha256, PathOf(storedAs), away.Code, away.Message);
        if (!File.Exists(PathOf(storedAs)))
            return Missing(sha256, storedAs);
        try
        {
            using var stream = File.OpenRead(PathOf(storedAs));
            return Convert.ToHexStringLower(SHA256.HashData(stream)) == sha256 ? null : Damaged(sha256, storedAs);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Damaged(sha256, storedAs) with { Text = $"The capture {storedAs} cannot be read: {e.Message}" };
        }
    }

    /// <summary>Removes what a killed program left under a passing name; younger ones may still be arriving on another bench.</summary>
    public void Sweep(DateTimeOffset now)
    {
        if (!Directory.Exists(Root))
            return;
        foreach (string file in Directory.EnumerateFiles(Root, Passing + "*",
            new EnumerationOptions { RecurseSubdirectories = true, AttributesToSkip = 0 }))
        {
            if (File.GetLastWriteTimeUtc(file) < now.UtcDateTime.AddDays(-1))
                TryDelete(file);
        }
    }

    public string PathOf(string storedAs) => Path.Combine(Root, storedAs.Replace('/', Path.DirectorySeparatorChar));

    private void MustBeThere()
    {
        if (Away() is { } away)
            throw away;
    }

    private ServiceBookException? Away()
    {
        if (shared is null)
            return null;
        try
        {
            if (File.ReadLines(Path.Combine(Root, Marker)).FirstOrDefault() == shared)
                return null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // Said below, whatever kept it from being read.
        }

        return new ServiceBookException(
            "captures-away",
            $"The shared captures folder {Root} is not what lies there (its file {Marker} is missing or of another book); connect the share and try again."
        );
    }

    private static long CopyHashed(Stream source, string path, out string sha256)
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        using var file = new FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.None, bufferSize: 0);
        byte[] block = new byte[1 << 18];
        long bytes = 0;
        for (int read; (read = source.Read(block)) > 0; bytes += read)
        {
            hash.AppendData(block, 0, read);
            file.Write(block, 0, read);
        }

        file.Flush(flushToDisk: true);
        sha256 = Convert.ToHexStringLower(hash.GetHashAndReset());
        return bytes;
    }

    private static void TryDelete(string file)
    {
        try
        {
            File.Delete(file);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // It will be swept at a later opening; the failure that led here matters more.
        }
    }

    private CaptureFault Missing(string sha256, string storedAs) => new(sha256, PathOf(storedAs), "capture-missing",
        $"The capture {storedAs} is missing from {Root}; its readings stand, but they cannot be measured again. Put the file back from a backup.");

    private CaptureFault Damaged(string sha256, string storedAs) => new(sha256, PathOf(storedAs), "capture-damaged",
        $"The capture {storedAs} in {Root} is damaged: its bytes no longer have the hash it was stored under. Put the file back from a backup.");

    private static ServiceBookException Said(CaptureFault fault) => new(fault.Code, fault.Text);
}
