using System.Diagnostics;

namespace Spoolwright.Benchmarks.Book;

/// <summary>A book served by the program itself in a process of its own, as at a bench.</summary>
internal sealed class ServedBook : IDisposable
{
    private readonly Process server;

    private ServedBook(Process server, Uri address) => (this.server, Address) = (server, address);

    /// <summary>Where it answers.</summary>
    public Uri Address { get; }

    /// <summary>Processor time that it has spent.</summary>
    public TimeSpan Spent
    {
        get
        {
            server.Refresh();
            return server.TotalProcessorTime;
        }
    }

    /// <summary>Starts it and waits until it answers.</summary>
    /// <param name="program">Path of the program's assembly.</param>
    /// <param name="book">A file or a database.</param>
    /// <exception cref="InvalidOperationException">It ended without giving an address.</exception>
    public static ServedBook Start(string program, string book)
    {
        var start = new ProcessStartInfo("dotnet", [program, "serve", "--port", "0", "--book", book])
        {
            RedirectStandardOutput = true,
            UseShellExecute = false,
        };
        var process = Process.Start(start)!;
        while (process.StandardOutput.ReadLine() is { } line)
        {
            string? address = line.Split(' ').FirstOrDefault(w => w.StartsWith("http://", StringComparison.Ordinal));
            if (address is not null)
            {
                // It says little more: the pipe's room is enough.
                return new ServedBook(process, new Uri(address));
            }
        }

        process.Dispose();
        throw new InvalidOperationException($"{program} serves no book {book}");
    }

    public void Dispose()
    {
        if (!server.HasExited)
            server.Kill();
        server.WaitForExit();
        server.Dispose();
    }
}
