using System.CommandLine;
using Spoolwright.App.Desk;
using Spoolwright.Storage;

namespace Spoolwright.App.Cli;

/// <summary>
/// Warns before anything that is to be recorded while the service book names a test tape as loaded: once erased it is gone. On standard
/// error, so that what a program reads stays as it is.
/// </summary>
internal static class LoadedTapeWatch
{
    /// <summary>Warns by the book that was named, or by the one in this folder where there is one.</summary>
    /// <param name="named">What the call names; null: nothing.</param>
    /// <param name="terminal">Where to.</param>
    /// <exception cref="CallException">The book that was named cannot be read.</exception>
    public static void Warn(string? named, Terminal terminal)
    {
        if (named is null && !File.Exists(BookAddress.FileName))
            return;
        try
        {
            using var book = ServiceBook.OpenExisting(named ?? BookAddress.FileName);
            foreach (var warning in new CheckDesk(book).RecordWarnings())
                terminal.Error.WriteLine($"warning: {warning}");
        }
        catch (ServiceBookException e)
        {
            // A book that nobody named must not keep a measurement from being read.
            if (named is not null)
                throw new CallException(e.Message);
        }
    }

    /// <summary>The option that names the book.</summary>
    public static Option<string?> Option() =>
        new("--book")
        {
            HelpName = "BOOK",
            Description =
                $"The service book that knows which tape is loaded: {BookOption.Takes}. Default: {BookAddress.FileName}, where it lies here.",
        };
}
