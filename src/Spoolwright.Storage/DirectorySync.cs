using System.Runtime.InteropServices;

namespace Spoolwright.Storage;

/// <summary>
/// Makes a rename last. On Unix a new name is safe only once its folder has been flushed too, and .NET opens no folders; on Windows the
/// file
/// system's journal does it.
/// </summary>
internal static partial class DirectorySync
{
    public static void Flush(string folder)
    {
        if (OperatingSystem.IsWindows())
            return;
        int handle = Open(folder, 0); // O_RDONLY is 0 on every Unix
        if (handle < 0)
            return; // a folder that may be written but not read; the rename itself has been done
        _ = FSync(handle);
        _ = Close(handle);
    }

    [LibraryImport("libc", EntryPoint = "open", StringMarshalling = StringMarshalling.Utf8)]
    private static partial int Open(string path, int flags);

    [LibraryImport("libc", EntryPoint = "fsync")]
    private static partial int FSync(int handle);

    [LibraryImport("libc", EntryPoint = "close")]
    private static partial int Close(int handle);
}
