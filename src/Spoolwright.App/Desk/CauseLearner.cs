using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>
/// Weighs the finished jobs of a book in the background, for as long as there are any that were not: on one thread that gives way to
/// everything else, and rests as long as it worked. What it has learned stands in the book after each job, so it may end at any time.
/// </summary>
/// <param name="book">The service book.</param>
public sealed class CauseLearner(ServiceBook book) : IDisposable
{
    // A job is weighed within a second even on a slow machine.
    private static readonly TimeSpan ToEnd = TimeSpan.FromSeconds(5);

    private readonly CancellationTokenSource stop = new();
    private readonly Lock gate = new();
    private Thread? thread;
    private bool ended;
    private IReadOnlyDictionary<Guid, string> cannot = new Dictionary<Guid, string>();

    /// <summary>Jobs that could not be weighed, with why.</summary>
    public IReadOnlyDictionary<Guid, string> Cannot
    {
        get
        {
            lock (gate)
                return cannot;
        }
    }

    /// <summary>Whether it is at work.</summary>
    public bool Works
    {
        get
        {
            lock (gate)
                return thread is { IsAlive: true };
        }
    }

    /// <summary>Begins, where it is not at work already.</summary>
    public void Begin()
    {
        lock (gate)
        {
            if (ended || thread is { IsAlive: true })
                return;
            thread = QuietThread.Begin("causes", Work);
        }
    }

    /// <summary>Stops after the job that is being weighed.</summary>
    public void Dispose()
    {
        Thread? working;
        lock (gate)
        {
            if (ended)
                return;
            ended = true;
            stop.Cancel();
            working = thread;
        }

        working?.Join(ToEnd);
        stop.Dispose();
    }

    private void Work()
    {
        try
        {
            var unweighed = new CauseDesk(book).Learn(TimeSpan.MaxValue, worked => !stop.Token.WaitHandle.WaitOne(worked), stop.Token);
            lock (gate)
                cannot = unweighed;
        }
        catch (Exception e) when (e is ServiceBookException or ObjectDisposedException)
        {
            // The book is away just now, or let go of: it begins again when somebody asks next.
        }
    }
}
