using System.Text;

namespace Spoolwright.App.Cli;

/// <summary>Where a command writes, and what it may assume of who reads.</summary>
public sealed class Terminal
{
    /// <summary>Width where the reader is no screen, columns.</summary>
    public const int PipedWidth = 80;

    /// <summary>Where results go.</summary>
    public required TextWriter Output { get; init; }

    /// <summary>Where complaints, notes and progress go.</summary>
    public required TextWriter Error { get; init; }

    /// <summary>Columns of the screen that results are shown on.</summary>
    public int Width { get; init; } = PipedWidth;

    /// <summary>Results go to a screen that shows colours, and nobody asked for none.</summary>
    public bool HasColour { get; init; }

    /// <summary>Complaints go to a screen: progress may be drawn there.</summary>
    public bool ShowsProgress { get; init; }

    /// <summary>Runs the program on the process's own streams and gives the exit code.</summary>
    public static int RunOnProcess(Func<string[], Terminal, int> program, string[] arguments)
    {
        var (outputPiped, errorPiped) = (Console.IsOutputRedirected, Console.IsErrorRedirected);
        var plain =
            Environment.GetEnvironmentVariable("NO_COLOR") is { Length: > 0 } || Environment.GetEnvironmentVariable("TERM") == "dumb";
        // UTF-8 whatever the locale says: units and marks need it, and JSON is UTF-8.
        var utf8 = new UTF8Encoding(encoderShouldEmitUTF8Identifier: false);
        // Not disposed: after a failed write that would only fail again. A reader that went away (a pager closed) is no failure to the
        // stream below.
        var output = new StreamWriter(Console.OpenStandardOutput(), utf8, 32_768);
        var error = new StreamWriter(Console.OpenStandardError(), utf8) { AutoFlush = true };
        var terminal = new Terminal
        {
            Output = output,
            Error = error,
            Width = outputPiped ? PipedWidth : ScreenWidth(),
            HasColour = !outputPiped && !plain,
            ShowsProgress = !errorPiped && !plain,
        };
        try
        {
            var code = program(arguments, terminal);
            output.Flush();
            return code;
        }
        catch (IOException e)
        {
            error.WriteLine($"{CommandPath.Program}: reading or writing failed: {e.Message}");
            return ExitCode.ProgramFault;
        }
        catch (Exception e)
        {
            error.WriteLine(
                $"{CommandPath.Program}: a fault of the program itself; please report it with these lines ({ProgramVersion.Line})"
            );
            error.WriteLine(e);
            return ExitCode.ProgramFault;
        }
    }

    private static int ScreenWidth()
    {
        try
        {
            return Math.Clamp(Console.WindowWidth, 40, 160);
        }
        catch (IOException)
        {
            return PipedWidth;
        }
    }
}
