namespace Spoolwright.Bench.Measurements;

/// <summary>Puts a reading together from its value and the named parts of its uncertainty.</summary>
internal static class Uncertain
{
    /// <summary>
    /// A reading whose uncertainty is the root of the sum of squares of the parts known (all k = 2, independent); unknown parts stay named.
    /// Null when no part is known.
    /// </summary>
    public static Reading Reading(
        Quantity quantity,
        double value,
        IReadOnlyList<UncertaintyPart> parts,
        string method,
        Channel channel = Channel.Both,
        double? frequencyHz = null
    )
    {
        double sum = 0;
        var known = false;
        foreach (var part in parts)
        {
            if (part.Expanded is { } expanded)
            {
                sum += expanded * expanded;
                known = true;
            }
        }

        return new Reading
        {
            Quantity = quantity.Id,
            Value = value,
            Unit = quantity.Unit,
            Uncertainty = known ? Math.Sqrt(sum) : null,
            Parts = parts,
            Channel = channel,
            FrequencyHz = frequencyHz,
            Method = method,
        };
    }
}
