using System.CommandLine;
using System.Runtime.InteropServices;
using Spoolwright.App.Web;
using Spoolwright.Storage;

namespace Spoolwright.App.Cli;

/// <summary><c>serve</c>: the bench in the browser.</summary>
internal static class ServeCommand
{
    private const int UsualPort = 7474;

    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var port = new Option<int>("--port") { HelpName = "PORT", Description = "Port on the loopback address; 0: any that is free.", DefaultValueFactory = _ => UsualPort };
        port.Validators.Add(found =>
        {
            if (found.Tokens is [{ Value: var text }] && (!int.TryParse(text, out var number) || number is < 0 or > 65535))
                found.AddError($"--port: expected 0 to 65535, got {text}");
        });
        var book = new Option<string>("--book") { HelpName = "FOLDER", Description = "Folder of the service book, made where there is none; or postgres://USER@HOST/DATABASE.", DefaultValueFactory = _ => "spoolwright-bench" };
        var command = new Command("serve", "Opens the bench in the browser: live meters, the practice deck, the book's decks.") { port, book };
        command.SetAction(call => Run(call.GetValue(port), call.GetRequiredValue(book), terminal));
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "Serves the bench's pages on this machine's loopback address until Ctrl-C; open the address it prints in a browser. Sound comes from the browser's "
                + "own audio input with its processing off, or from the practice deck. Nothing else on the network can reach it, and it needs no internet.",
            ],
            Examples = [new("spoolwright serve --book shop", "Serves the service book in the folder shop."), new("spoolwright serve --port 0", "Takes any free port."),
                new("spoolwright serve --book postgres://bench@shop-server/book", "Works in the book of a shop with several benches.")],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    private static int Run(int port, string folder, Terminal terminal)
    {
        try
        {
            using var shelf = BookShelf.Open(folder);
            Serve(shelf, port, terminal).GetAwaiter().GetResult();
            return ExitCode.Done;
        }
        catch (ServiceBookException e)
        {
            throw new CallException(e.Message);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new CallException($"the bench cannot be served: {e.Message}");
        }
    }

    private static async Task Serve(BookShelf shelf, int port, Terminal terminal)
    {
        using var stop = new CancellationTokenSource();
        using var interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, Stop);
        using var terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, Stop);
        await using var host = await BenchHost.Start(shelf, port).ConfigureAwait(false);
        terminal.Output.WriteLine($"{host.Address}  the bench; Ctrl-C ends it");
        terminal.Output.WriteLine($"{shelf.Book.Name}  the service book");
        terminal.Output.Flush();
        await host.Wait(stop.Token).ConfigureAwait(false);

        void Stop(PosixSignalContext context)
        {
            context.Cancel = true;
            stop.Cancel();
        }
    }
}
