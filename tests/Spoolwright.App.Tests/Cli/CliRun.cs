using Spoolwright.App.Cli;
using Spoolwright.Bench.Measurements;

namespace Spoolwright.App.Tests.Cli;

/// <summary>One call of the program in this process, as a pipe would see it.</summary>
internal sealed record CliRun(int Code, string Output, string Error)
{
    public static CliRun Of(params string[] arguments) => With(Catalogue.Entries, arguments);

    public static CliRun With(IReadOnlyList<MeasurementEntry> entries, params string[] arguments) =>
        With(entries, Terminal.PipedWidth, arguments);

    public static CliRun With(IReadOnlyList<MeasurementEntry> entries, int width, params string[] arguments)
    {
        using var output = new StringWriter { NewLine = "\n" };
        using var error = new StringWriter { NewLine = "\n" };
        var code = CommandLine.Run(arguments, new Terminal { Output = output, Error = error, Width = width }, entries);
        return new CliRun(code, output.ToString(), error.ToString());
    }
}
