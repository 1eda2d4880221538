namespace Spoolwright.Benchmarks.Book;

/// <summary>A clock that stands where the filling of the large book has come to; by the system's once it is let go.</summary>
internal sealed class BookClock : TimeProvider
{
    /// <summary>Where it stands; null: it goes by the system's.</summary>
    public DateTimeOffset? Stands { get; set; }

    public override DateTimeOffset GetUtcNow() => Stands ?? System.GetUtcNow();
}
