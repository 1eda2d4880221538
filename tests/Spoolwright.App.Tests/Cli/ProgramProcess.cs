using System.Diagnostics;

namespace Spoolwright.App.Tests.Cli;

/// <summary>A real process, its streams piped.</summary>
internal static class ProgramProcess
{
    /// <summary>The program as it lies beside the tests.</summary>
    public static string Assembly { get; } = Path.Combine(AppContext.BaseDirectory, "spoolwright.dll");

    public static Task<CliRun> Spoolwright(params string[] arguments) => Run("dotnet", Tree.Root, [Assembly, .. arguments]);

    public static async Task<CliRun> Run(string program, string folder, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments)
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            RedirectStandardInput = true,
            WorkingDirectory = folder,
            UseShellExecute = false,
        };
        using var process = Process.Start(start) ?? throw new InvalidOperationException($"{program} did not start");
        process.StandardInput.Close();
        var cancelled = TestContext.Current.CancellationToken;
        var output = process.StandardOutput.ReadToEndAsync(cancelled);
        var error = process.StandardError.ReadToEndAsync(cancelled);
        await process.WaitForExitAsync(cancelled);
        return new CliRun(process.ExitCode, await output, await error);
    }
}
