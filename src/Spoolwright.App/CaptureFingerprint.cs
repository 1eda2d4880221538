using System.Security.Cryptography;
using Spoolwright.Signal;

namespace Spoolwright.App;

/// <summary>
/// Hashes a whole file beside the measurement, on a stream and a thread of its own, so that neither waits for the other;
/// and holds that the file was the same one from first to last.
/// </summary>
internal sealed class CaptureFingerprint : IDisposable
{
    private const int BlockBytes = 1 << 20;

    private readonly FileInfo _before;
    private readonly CancellationTokenSource _cancelled = new();
    private readonly Task<string> _hash;

    /// <summary>Starts hashing.</summary>
    /// <exception cref="IOException">The file cannot be opened; <see cref="UnauthorizedAccessException"/> where it may not be.</exception>
    public CaptureFingerprint(string path)
    {
        _before = new FileInfo(path);
        _before.Refresh();
        var stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, bufferSize: 0, FileOptions.SequentialScan);
        _hash = Task.Run(() => Hash(stream, _cancelled.Token));
    }

    /// <summary>Waits for the hash: lower-case hex.</summary>
    /// <exception cref="CannotMeasureException">The file was changed meanwhile, so hash and readings may speak of different sounds.</exception>
    public string Finish()
    {
        var hash = _hash.GetAwaiter().GetResult();
        var after = new FileInfo(_before.FullName);
        if (!after.Exists || after.Length != _before.Length || after.LastWriteTimeUtc != _before.LastWriteTimeUtc)
            throw new CannotMeasureException("changed", "the file was changed while it was being measured; measure again once the capture is finished");
        return hash;
    }

    public void Dispose()
    {
        // After a refusal nobody waits for the hash; the stream is closed by its own task.
        _cancelled.Cancel();
        _ = _hash.ContinueWith(static (t, source) => { _ = t.Exception; ((CancellationTokenSource)source!).Dispose(); }, _cancelled, TaskScheduler.Default);
    }

    private static string Hash(FileStream stream, CancellationToken cancelled)
    {
        using (stream)
        {
            using var sha = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
            var block = new byte[BlockBytes];
            for (int read; (read = stream.Read(block)) > 0;)
            {
                cancelled.ThrowIfCancellationRequested();
                sha.AppendData(block, 0, read);
            }

            return Convert.ToHexStringLower(sha.GetHashAndReset());
        }
    }
}
