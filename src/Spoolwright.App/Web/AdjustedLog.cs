using System.Collections.Concurrent;
using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Storage;

namespace Spoolwright.App.Web;

/// <summary>
/// What was turned on which job's deck, and when, as the book keeps it for every bench that works in it. The matrix puts in doubt by it
/// what was measured before.
/// </summary>
internal sealed class AdjustedLog(ServiceBook book)
{
    // A screw is turned in many small turns: one note for so long, since no measurement is taken within it.
    private static readonly TimeSpan Together = TimeSpan.FromSeconds(2);
    private readonly ConcurrentDictionary<(Guid Job, string What, Condition Condition), DateTimeOffset> _noted = new();

    /// <summary>Notes a turn.</summary>
    /// <exception cref="ServiceBookException">The book cannot be written.</exception>
    public void Add(Guid job, string what, Condition condition)
    {
        var (key, now) = ((job, what, condition), book.Now);
        if (_noted.TryGetValue(key, out var last) && now - last >= TimeSpan.Zero && now - last < Together)
            return;
        book.Add(
            new TurnedControl
            {
                JobId = job,
                What = what,
                Direction = condition.Direction,
                SpeedCmPerS = condition.SpeedCmPerS,
                TapeSetting = condition.TapeSetting,
            }
        );
        _noted[key] = now;
    }

    /// <summary>What was turned on a job's deck.</summary>
    public IReadOnlyList<Adjusted> Of(Guid job) => [.. book.Standing<TurnedControl>(job).Select(t => t.ToAdjusted())];
}
