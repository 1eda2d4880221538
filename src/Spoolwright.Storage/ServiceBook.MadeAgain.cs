namespace Spoolwright.Storage;

/// <content>What is made of the other rows: words to search by, summaries.</content>
public sealed partial class ServiceBook
{
    // A book of an older program, and one that was restored, gets them at its opening.
    private void MakeAgain()
    {
        try
        {
            MakeWhatIsOlder();
        }
        catch (ServiceBookException e) when (e.Code == "read-only")
        {
            throw ServiceBookException.Older(Name, e);
        }
    }

    private void MakeWhatIsOlder()
    {
        if (With(c => Setting(c, null, SearchIndex.VersionSetting)) != SearchIndex.Version)
        {
            Write((c, t) =>
            {
                if (Setting(c, t, SearchIndex.VersionSetting) != SearchIndex.Version) // another bench may have been quicker
                    SearchIndex.Rebuild(c, t);
            });
        }

        if (With(c => Setting(c, null, Summaries.VersionSetting)) != Summaries.Version)
        {
            Write((c, t) =>
            {
                if (Setting(c, t, Summaries.VersionSetting) != Summaries.Version)
                    Summaries.Rebuild(c, t, new BookWork(c, t, clock, Name, clock.GetUtcNow()));
            });
        }
    }
}
