using System.Data.Common;
using System.Security.Cryptography;
using Dapper;

namespace Spoolwright.Storage;

/// <summary>
/// Captures in the database itself, in parts. A capture arrives in one transaction, before the measurement that names it: a kill in
/// between leaves an unused
/// capture under its hash at most.
/// </summary>
internal sealed class CaptureTable(BookEngine engine) : ICaptureStore
{
    /// <summary>Bytes of each part but the last; never to be changed, for a place in the sound is found by it.</summary>
    public const int PartBytes = 1 << 20;

    public string Place => engine.Book;

    public long Take(Func<Stream> open, string sha256, string storedAs, string fileName)
    {
        if (Fault(sha256, storedAs) is null)
            return Length(sha256);
        long bytes = 0;
        try
        {
            engine.Write((c, t) =>
            {
                using Stream source = open();
                bytes = Copy(c, t, source, sha256, fileName);
            });
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw ServiceBookException.From(e, $"the capture {fileName}");
        }

        return bytes;
    }

    public Stream Open(string sha256, string storedAs)
    {
        if (Fault(sha256, storedAs) is { } fault)
            throw new ServiceBookException(fault.Code, fault.Text);
        return new CapturePartStream(engine, sha256, Length(sha256));
    }

    public CaptureFault? Fault(string sha256, string storedAs)
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        int parts = 0;
        for (; Part(engine, sha256, parts) is { } part; parts++)
            hash.AppendData(part);
        if (parts == 0)
        {
            return new CaptureFault(
                sha256,
                Place,
                "capture-missing",
                $"The capture {storedAs} is missing from {Place}; its readings stand, but they cannot be measured again. Put it back from a backup."
            );
        }

        return Convert.ToHexStringLower(hash.GetHashAndReset()) == sha256 ? null : new CaptureFault(sha256, Place, "capture-damaged",
            $"The capture {storedAs} in {Place} is damaged: its bytes no longer have the hash it was stored under. Put it back from a backup.");
    }

    /// <summary>Takes captures out of the database once they are safe elsewhere.</summary>
    public static void Clear(DbConnection c, DbTransaction t) => c.Execute("DELETE FROM capture_part", transaction: t);

    internal static byte[]? Part(BookEngine engine, string sha256, int ordinal) => engine.Read(c => c.QuerySingleOrDefault<byte[]>(
        "SELECT data FROM capture_part WHERE sha256 = @sha256 AND ordinal = @ordinal", new { sha256, ordinal }));

    private static long Copy(DbConnection c, DbTransaction t, Stream source, string sha256, string fileName)
    {
        // What is damaged there is healed by the same sound.
        c.Execute("DELETE FROM capture_part WHERE sha256 = @sha256", new { sha256 }, t);
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        byte[] block = new byte[PartBytes];
        long bytes = 0;
        for (int ordinal = 0; ; ordinal++)
        {
            int read = source.ReadAtLeast(block, PartBytes, throwOnEndOfStream: false);
            if (read == 0 && ordinal > 0)
                break;
            hash.AppendData(block, 0, read);
            c.Execute(
                "INSERT INTO capture_part (sha256, ordinal, data) VALUES (@sha256, @ordinal, @data)",
                new
                {
                    sha256,
                    ordinal,
                    data = block[..read],
                },
                t
            );
            bytes += read;
            if (read < PartBytes)
                break;
        }

        string got = Convert.ToHexStringLower(hash.GetHashAndReset());
        return got == sha256 ? bytes : throw CaptureFolder.Changed(fileName, got, sha256);
    }

    private long Length(string sha256) => engine.Read(c => c.ExecuteScalar<long>(
        "SELECT COALESCE(SUM(LENGTH(data)), 0) FROM capture_part WHERE sha256 = @sha256", new { sha256 }));
}
