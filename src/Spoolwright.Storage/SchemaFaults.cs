namespace Spoolwright.Storage;

/// <summary>How a book's schema differs from the one that this program makes.</summary>
internal static class SchemaFaults
{
    /// <summary>Plain sentences; none where they are the same.</summary>
    /// <param name="wanted">
    /// Tables, indices, triggers and the like by kind and name, such as <c>trigger note_no_update</c>, with their definition.
    /// </param>
    /// <param name="found">The same of the book.</param>
    public static IEnumerable<string> Of(IReadOnlyDictionary<string, string> wanted, IReadOnlyDictionary<string, string> found)
    {
        foreach ((string thing, string definition) in wanted.OrderBy(w => w.Key, StringComparer.Ordinal))
        {
            if (!found.TryGetValue(thing, out string? there))
                yield return $"The {thing} is missing.";
            else if (there != definition)
                yield return $"The {thing} is not as this program makes it.";
        }

        foreach (string thing in found.Keys.Where(f => !wanted.ContainsKey(f)).Order(StringComparer.Ordinal))
            yield return $"The {thing} is none of this program's.";
    }
}
