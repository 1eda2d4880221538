namespace Spoolwright.App.Web;

/// <summary>
/// The sessions of the pages that are open. Each page on this machine has its own; a paired tablet looks at, and turns at, the one that was
/// opened last here: it has no deck of its own.
/// </summary>
internal sealed class LiveSessions(BookShelf shelf)
{
    private readonly Lock _lock = new();
    private readonly List<LiveSession> _open = [];

    /// <summary>A session for a page of this machine.</summary>
    public LiveSession Open()
    {
        var session = new LiveSession(shelf);
        lock (_lock)
            _open.Add(session);
        return session;
    }

    /// <summary>The session a tablet sees; null: no page of this machine is open.</summary>
    public LiveSession? Last
    {
        get
        {
            lock (_lock)
                return _open.Count > 0 ? _open[^1] : null;
        }
    }

    /// <summary>Its page has gone.</summary>
    public void Close(LiveSession session)
    {
        lock (_lock)
            _open.Remove(session);
        session.Dispose();
    }
}
