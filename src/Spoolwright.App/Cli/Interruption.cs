using System.Runtime.InteropServices;

namespace Spoolwright.App.Cli;

/// <summary>Ctrl-C while something is drawn on the screen: puts the cursor back and ends with the exit code that shells expect.</summary>
internal static class Interruption
{
    /// <summary>In force until disposed.</summary>
    public static IDisposable RestoresCursor(TextWriter screen) => PosixSignalRegistration.Create(PosixSignal.SIGINT, context =>
    {
        context.Cancel = true;
        screen.WriteLine("\u001b[?25h");
        screen.Flush();
        Environment.Exit(ExitCode.Interrupted);
    });
}
