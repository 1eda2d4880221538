using Spectre.Console;

namespace Spoolwright.App.Cli;

/// <summary>The console that tables are drawn on: as wide as the terminal, without colours or cursor codes where nobody sees
/// them.</summary>
internal static class Screen
{
    public static IAnsiConsole Of(Terminal terminal)
    {
        var console = AnsiConsole.Create(new AnsiConsoleSettings
        {
            Out = new AnsiConsoleOutput(terminal.Output),
            Ansi = terminal.HasColour ? AnsiSupport.Yes : AnsiSupport.No,
            ColorSystem = terminal.HasColour ? ColorSystemSupport.Detect : ColorSystemSupport.NoColors,
            Interactive = InteractionSupport.No,
        });
        console.Profile.Width = terminal.Width;
        console.Profile.Capabilities.Unicode = true;
        return console;
    }
}
