using Spoolwright.Bench.Units;

namespace Spoolwright.Bench.Files;

/// <summary>Reads amounts with their units from the members of an object: <c>"62 gf"</c>, or a bare number where the unit is
/// plain.</summary>
internal static class AmountFields
{
    /// <summary>The member of that name; null when absent or, with a problem, wrong.</summary>
    public static Amount? Read(ObjectFields fields, string name, IReadOnlyList<Dimension> expected, Unit? assumed, bool required = false) =>
        fields.Any(name, required) is { } part ? Of(part, expected, assumed, fields.Problems) : null;

    /// <summary>The member of that name, above 0.</summary>
    public static Amount? Positive(
        ObjectFields fields,
        string name,
        IReadOnlyList<Dimension> expected,
        Unit? assumed,
        bool required = false
    )
    {
        if (Read(fields, name, expected, assumed, required) is not { } amount)
            return null;
        if (amount.Value > 0)
            return amount;
        fields.Problems.Error(fields.Any(name)!, $"expected an amount above 0, found {amount}");
        return null;
    }

    /// <summary>One value, a text with a unit or a bare number.</summary>
    public static Amount? Of(JsonPart part, IReadOnlyList<Dimension> expected, Unit? assumed, ProblemList problems)
    {
        if (part.Kind is not (JsonKind.Text or JsonKind.Number))
        {
            problems.Error(part, $"expected a text such as \"62 gf\", found {part.Described}");
            return null;
        }

        // Too large to be held, and told where it was read.
        if (part.Kind == JsonKind.Number && double.IsNaN(part.Number))
            return null;
        var text = part.Kind == JsonKind.Text ? part.Text : Quoted.Number(part.Number);
        if (Amount.TryParse(text, expected, assumed, out var amount, out var problem))
            return amount;
        problems.Error(part, problem);
        return null;
    }
}
