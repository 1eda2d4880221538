using System.CommandLine;

namespace Spoolwright.App.Cli;

/// <summary>The option that names the service book: every command takes the same.</summary>
internal static class BookOption
{
    /// <summary>What it takes, in the help's words.</summary>
    public const string Takes = "a file, its folder, or postgres://USER@HOST/DATABASE";

    /// <summary>The option, with the file that is meant where nothing is given.</summary>
    /// <param name="whose">What book it is, as the help begins; null: the service book.</param>
    /// <param name="usual">What is taken where nothing is given.</param>
    public static Option<string> Build(string? whose = null, string usual = Storage.BookAddress.FileName) => new("--book")
    {
        HelpName = "BOOK",
        Description = $"{whose ?? "The service book"}: {Takes}.",
        DefaultValueFactory = _ => usual,
    };
}
