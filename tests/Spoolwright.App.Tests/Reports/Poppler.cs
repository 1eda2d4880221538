using System.Diagnostics;

namespace Spoolwright.App.Tests.Reports;

/// <summary>Debian's PDF programs, as readers of what we write that know nothing of how it was written.</summary>
internal static class Poppler
{
    /// <summary>Runs one and returns what it prints; a program that is missing or complains fails the test.</summary>
    public static string Run(string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments)
        {
            UseShellExecute = false,
            RedirectStandardOutput = true,
            RedirectStandardError = true
        };
        Process process;
        try
        {
            process = Process.Start(start)!;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Assert.Fail($"{program} is missing: install Debian's package poppler-utils.");
            throw;
        }

        using (process)
        {
            Task<string> complaints = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
            string said = process.StandardOutput.ReadToEnd();
            process.WaitForExit();
#pragma warning disable xUnit1031 // the process has ended
            Assert.True(process.ExitCode == 0 && complaints.Result.Length == 0, $"{program}: {complaints.Result}");
#pragma warning restore xUnit1031
            return said;
        }
    }
}
