using Dapper;

namespace Spoolwright.Storage;

/// <summary>A list of values in a query, each a parameter of its own: the mapper's own <c>IN @list</c> is read by one engine and not by the
/// other.</summary>
internal static class SqlList
{
    // Either engine takes far more, but one looks each parameter up along the list of all their names.
    private const int ValuesInACall = 100;

    /// <summary>Pieces of a list: the text for after <c>IN</c>, and its values.</summary>
    public static IEnumerable<(string In, DynamicParameters Values)> Of(IEnumerable<object?> values)
    {
        foreach (object?[] some in values.Distinct().Chunk(ValuesInACall))
        {
            var parameters = new DynamicParameters();
            for (int i = 0; i < some.Length; i++)
                parameters.Add($"v{i}", some[i]);
            yield return ($"({string.Join(", ", some.Select((_, i) => $"@v{i}"))})", parameters);
        }
    }
}
