using System.Runtime.InteropServices;

namespace Spoolwright.App.Desk;

/// <summary>A thread for work that nobody waits for: it gives way to everything else, and does not keep the program from ending.</summary>
internal static partial class QuietThread
{
    private const int LeastPriority = 19;

    /// <summary>Begins.</summary>
    /// <param name="name">The thread's name.</param>
    /// <param name="work">What is done; it lets no exception out.</param>
    public static Thread Begin(string name, Action work)
    {
        var thread = new Thread(() =>
        {
            // .NET passes a thread's priority on to Windows alone; on Linux a thread has a niceness of its own.
            if (OperatingSystem.IsLinux())
                _ = SetPriority(0, 0, LeastPriority);
            work();
        })
        { IsBackground = true, Priority = ThreadPriority.Lowest, Name = name };
        thread.Start();
        return thread;
    }

    [LibraryImport("libc", EntryPoint = "setpriority")]
    private static partial int SetPriority(int which, int who, int niceness);
}
