namespace Spoolwright.Tests;

/// <summary>
/// What a piece of work allocates on its thread: the least of several rounds. A collection that another test sets off in the midst of one
/// leaves the runtime's own count some hundred bytes off; what allocates does so in every round.
/// </summary>
internal static class Allocated
{
    private const int Rounds = 5;

    /// <summary>Bytes of one round.</summary>
    public static long Bytes(Action work)
    {
        var least = long.MaxValue;
        for (var round = 0; round < Rounds; round++)
        {
            var before = GC.GetAllocatedBytesForCurrentThread();
            work();
            least = Math.Min(least, GC.GetAllocatedBytesForCurrentThread() - before);
        }

        return least;
    }
}
