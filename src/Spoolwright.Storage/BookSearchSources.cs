namespace Spoolwright.Storage;

/// <summary>What else can be searched for: entries of the service book's own tables.</summary>
internal static class BookSearchSources
{
    public static readonly IReadOnlyList<SearchSource> All = [];
}
