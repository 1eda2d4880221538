using Spoolwright.App.Tests.Storage;

namespace Spoolwright.App.Tests;

/// <summary>Runs the tests; or, called by one of them, the program that it kills or starves.</summary>
public static class EntryPoint
{
    /// <summary>The first word of a call that is not for the tests.</summary>
    internal const string Bench = "bench";

    public static int Main(string[] args) => args switch
    {
        [Bench, .. var rest] => BenchProcess.Run(rest),
        // As xUnit's own entry point has it.
        _ when args.Any(a => a is "--server" or "--internal-msbuild-node") => Xunit.MicrosoftTestingPlatform.TestPlatformTestFramework
            .RunAsync(args, SelfRegisteredExtensions.AddSelfRegisteredExtensions).GetAwaiter().GetResult(),
        _ => Xunit.Runner.InProc.SystemConsole.ConsoleRunner.Run(args).GetAwaiter().GetResult(),
    };
}
