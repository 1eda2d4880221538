namespace Spoolwright.Storage;

/// <content>Search across everything.</content>
public sealed partial class ServiceBook
{
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

    private void MakeSearchable()
    {
        if (With(c => Setting(c, null, SearchIndex.VersionSetting)) == SearchIndex.Version)
            return;
        Write((c, t) =>
        {
            if (Setting(c, t, SearchIndex.VersionSetting) != SearchIndex.Version) // another bench may have been quicker
                SearchIndex.Rebuild(c, t);
        });
    }
}
