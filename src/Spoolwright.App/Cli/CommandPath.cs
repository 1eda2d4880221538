using System.CommandLine;

namespace Spoolwright.App.Cli;

/// <summary>A command as one types it.</summary>
internal static class CommandPath
{
    /// <summary>The program's name, whatever file it was started from.</summary>
    public const string Program = "spoolwright";

    /// <summary>Such as <c>spoolwright measure speed</c>.</summary>
    public static string Of(Command command) =>
        command is RootCommand
            ? Program
            : $"{(command.Parents.OfType<Command>().FirstOrDefault() is { } parent ? Of(parent) : Program)} {command.Name}";
}
