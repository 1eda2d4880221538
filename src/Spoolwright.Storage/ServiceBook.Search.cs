namespace Spoolwright.Storage;

/// <content>Search across everything.</content>
public sealed partial class ServiceBook
{
    /// <summary>Every kind of what can be found, as <see cref="SearchHit.Kind"/> tells it.</summary>
    public static IReadOnlyList<string> SearchKinds => SearchIndex.Kinds;

    /// <summary>
    /// What holds every word of the question, newest first. A word is found by its beginning; capitals and accents make no difference.
    /// </summary>
    /// <param name="question">Words, as people type them; none: nothing is found.</param>
    /// <param name="most">How many at most, up to 200.</param>
    public IReadOnlyList<SearchHit> Search(string question, int most = 50)
    {
        ArgumentNullException.ThrowIfNull(question);
        return With(c => SearchIndex.Find(c, question, most));
    }
}
