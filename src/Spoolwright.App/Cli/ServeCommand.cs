using System.CommandLine;
using System.Net;
using System.Runtime.InteropServices;
using Spoolwright.App.Web;
using Spoolwright.Bench.Service;
using Spoolwright.Storage;

namespace Spoolwright.App.Cli;

/// <summary><c>serve</c>: the bench in the browser.</summary>
internal static class ServeCommand
{
    private const int UsualPort = 7474;

    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var port = new Option<int>("--port")
        {
            HelpName = "PORT",
            Description = "Port on the loopback address; 0: any that is free.",
            DefaultValueFactory = _ => UsualPort,
        };
        port.Validators.Add(found =>
        {
            if (found.Tokens is [{ Value: var text }] && (!int.TryParse(text, out var number) || number is < 0 or > 65535))
                found.AddError($"--port: expected 0 to 65535, got {text}");
        });
        var book = BookOption.Build("The service book, made where there is none", "spoolwright-bench");
        var listen = new Option<string?>("--listen")
        {
            HelpName = "ADDRESS",
            Description = "Another address of this machine, for a tablet at the bench; it must pair by a code first.",
        };
        var command = new Command("serve", "Opens the bench in the browser: live meters, the practice deck, the book's decks.")
        {
            port,
            book,
            listen,
        };
        command.SetAction(call => Run(call.GetValue(port), call.GetRequiredValue(book), Address(call.GetValue(listen)), terminal));
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "Serves the bench's pages on this machine's loopback address until Ctrl-C; open the address it prints in a browser. Sound comes from the browser's "
                + "own audio input with its processing off, or from the practice deck. Nothing else on the network can reach it, and it needs no internet.",
                "With --listen a tablet can open the same bench at that address. It types the code printed here (it holds for five minutes, five tries and one tablet; the bench's sound page "
                + "gives another) and sees and turns what the page on this machine hears. What goes over the network is not encrypted: use the shop's own.",
            ],
            Examples =
            [
                new("spoolwright serve --book shop", "Serves the service book in the folder shop."),
                new("spoolwright serve --port 0", "Takes any free port."),
                new("spoolwright serve --listen 192.168.1.20", "Lets a tablet pair at that address of this machine."),
                new("spoolwright serve --book postgres://bench@shop-server/book", "Works in the book of a shop with several benches.")],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    private static IPAddress? Address(string? text)
    {
        if (text is null)
            return null;
        if (!IPAddress.TryParse(text, out var address))
            throw new CallException($"--listen: \"{text}\" is no address of this machine, such as 192.168.1.20");
        if (address.Equals(IPAddress.Any) || address.Equals(IPAddress.IPv6Any))
            throw new CallException(
                $"--listen: {text} means every network; name the one address at which the tablet is to reach this machine"
            );
        if (address.Equals(IPAddress.Loopback))
            throw new CallException($"--listen: {text} is this machine's own address; the bench is there anyway");
        return address;
    }

    private static int Run(int port, string folder, IPAddress? listen, Terminal terminal)
    {
        try
        {
            using var shelf = BookShelf.Open(folder);
            Serve(shelf, port, listen, terminal).GetAwaiter().GetResult();
            return ExitCode.Done;
        }
        catch (Exception e) when (e is ServiceBookException or EntryException)
        {
            throw new CallException(e.Message);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or System.Net.Sockets.SocketException)
        {
            throw new CallException($"the bench cannot be served: {e.Message}");
        }
    }

    private static async Task Serve(BookShelf shelf, int port, IPAddress? listen, Terminal terminal)
    {
        using var stop = new CancellationTokenSource();
        using var interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, Stop);
        using var terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, Stop);
        await using var host = await BenchHost.Start(shelf, port, listen).ConfigureAwait(false);
        terminal.Output.WriteLine($"{host.Address}  the bench; Ctrl-C ends it");
        if (host.TabletAddress is { } tablet)
            terminal.Output.WriteLine(
                $"{tablet}  for a tablet; its code is {host.Pairing.NewCode()}, for {Pairing.CodeLife.TotalMinutes:0} minutes"
            );
        terminal.Output.WriteLine($"{shelf.Book.Name}  the service book");
        terminal.Output.Flush();
        FirstRecord.Begin(shelf);
        await host.Wait(stop.Token).ConfigureAwait(false);

        void Stop(PosixSignalContext context)
        {
            context.Cancel = true;
            stop.Cancel();
        }
    }
}
