namespace Spoolwright.Storage;

/// <summary>Where captures lie: each under its hash, whole or not at all.</summary>
internal interface ICaptureStore
{
    /// <summary>The place as messages call it.</summary>
    string Place { get; }

    /// <summary>
    /// Copies a capture in, unless it is there already and whole. Returns its length in bytes.
    /// Refuses bytes that do not have the hash: the file has changed since it was measured.
    /// </summary>
    long Take(Func<Stream> open, string sha256, string storedAs, string fileName);

    /// <summary>Opens a capture, seekable, after its hash has been checked; missing or damaged is said.</summary>
    Stream Open(string sha256, string storedAs);

    /// <summary>What is wrong with a capture, or null.</summary>
    CaptureFault? Fault(string sha256, string storedAs);
}
