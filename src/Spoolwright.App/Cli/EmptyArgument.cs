using System.CommandLine;
using System.CommandLine.Parsing;

namespace Spoolwright.App.Cli;

/// <summary>
/// A word of the call with nothing in it, as a shell leaves where a variable is not set. No argument and no option means anything by it, so
/// it is refused before a command sees it.
/// </summary>
internal static class EmptyArgument
{
    /// <summary>The mistake in one line, with the option or argument by its name; null where no word is empty.</summary>
    public static string? Mistake(ParseResult call)
    {
        for (SymbolResult? result = call.CommandResult; result is CommandResult command; result = command.Parent)
        {
            foreach (var own in command.Children.Where(c => c.Tokens.Any(t => string.IsNullOrWhiteSpace(t.Value))))
            {
                var (name, what) = own switch
                {
                    OptionResult option => (option.Option.Name, option.Option.HelpName),
                    ArgumentResult argument => (argument.Argument.HelpName ?? argument.Argument.Name, null),
                    _ => ("the call", null),
                };
                return $"{name}: an empty text was given (a variable that is not set?)"
                    + (what is null ? "" : $"; give {what}, or leave {name} out");
            }
        }

        return call.UnmatchedTokens.Any(string.IsNullOrWhiteSpace)
            ? "the call holds an empty word (a variable that is not set?); leave it out"
            : null;
    }
}
