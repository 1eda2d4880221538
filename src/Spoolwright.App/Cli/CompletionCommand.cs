using System.CommandLine;

namespace Spoolwright.App.Cli;

/// <summary><c>completion SHELL</c>: prints a script that lets the shell complete commands and options with the Tab key.</summary>
internal static class CompletionCommand
{
    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var shell = new Argument<string>("shell") { HelpName = "SHELL", Description = "bash, zsh or pwsh." };
        shell.CompletionSources.Add([.. CompletionScripts.Shells]);
        var command = new Command("completion", "Prints a script that completes commands and options with the Tab key.") { shell };
        command.SetAction(call =>
        {
            var name = call.GetRequiredValue(shell);
            terminal.Output.Write(
                CompletionScripts.For(name)
                    ?? throw new CallException(
                        $"no completion for \"{name}\"; there is one for {string.Join(", ", CompletionScripts.Shells)}"
                    )
            );
            return ExitCode.Done;
        });
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "The script asks the program itself what may come next, so it never grows old. File names are completed as always.",
            ],
            Examples =
            [
                new("source <(spoolwright completion bash)", "Completion in this bash; put the line into ~/.bashrc to keep it."),
                new("source <(spoolwright completion zsh)", "The same for zsh, after compinit."),
                new("spoolwright completion pwsh | Out-String | Invoke-Expression", "The same for PowerShell."),
            ],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }
}
