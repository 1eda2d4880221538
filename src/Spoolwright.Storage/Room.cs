namespace Spoolwright.Storage;

/// <summary>The room that is left on a disk.</summary>
internal static class Room
{
    // The index of the write-ahead log alone needs 32 KiB, and a write some pages more.
    private const long Least = 128 << 10;

    /// <summary>Whether the disk of a file is as good as full; false where that is not known.</summary>
    public static bool None(string path)
    {
        try
        {
            return new DriveInfo(Path.GetDirectoryName(Path.GetFullPath(path))!).AvailableFreeSpace < Least;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException)
        {
            return false;
        }
    }
}
