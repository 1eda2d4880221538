using System.Runtime.InteropServices;

namespace Spoolwright.App.Tests.Storage;

/// <summary>
/// Runs something with a folder that may be read but not written. Tests often run as root, whom no mode stops; so on Linux the thread gives
/// up
/// its rights over files for as long as it takes (setfsuid holds for one thread alone).
/// </summary>
internal static partial class AsStranger
{
    private const int Nobody = 65534;

    public static void Run(string folder, Action work)
    {
        if (!OperatingSystem.IsLinux())
            throw new PlatformNotSupportedException("this test needs Linux");
        foreach (string path in Directory.EnumerateFileSystemEntries(folder, "*", SearchOption.AllDirectories).Append(folder))
        {
            File.SetUnixFileMode(
                path,
                Directory.Exists(path)
                    ? UnixFileMode.UserRead
                        | UnixFileMode.UserExecute
                        | UnixFileMode.GroupRead
                        | UnixFileMode.GroupExecute
                        | UnixFileMode.OtherRead
                        | UnixFileMode.OtherExecute
                    : UnixFileMode.UserRead | UnixFileMode.GroupRead | UnixFileMode.OtherRead
            );
        }

        Exception? failure = null;
        var thread = new Thread(() =>
        {
            int before = SetFsUid(Nobody);
            try
            {
                work();
            }
            catch (Exception e)
            {
                failure = e;
            }
            finally
            {
                _ = SetFsUid(before);
            }
        });
        thread.Start();
        thread.Join();
        foreach (string path in Directory.EnumerateDirectories(folder, "*", SearchOption.AllDirectories).Append(folder))
            File.SetUnixFileMode(path, File.GetUnixFileMode(path) | UnixFileMode.UserWrite);
        foreach (string path in Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories))
            File.SetUnixFileMode(path, File.GetUnixFileMode(path) | UnixFileMode.UserWrite);
        if (failure is not null)
            throw new InvalidOperationException(failure.Message, failure);
    }

    [LibraryImport("libc", EntryPoint = "setfsuid")]
    private static partial int SetFsUid(int user);
}
