using Spoolwright.Bench.Files;
using Spoolwright.Bench.Units;

namespace Spoolwright.Bench.Limits;

/// <summary>Limits given in another unit than the quantity's own: forces, torques, times.</summary>
internal static class LimitUnits
{
    /// <summary>What a figure in <paramref name="text"/> is to be multiplied with for the quantity's own unit; null with a
    /// problem.</summary>
    public static double? Factor(string quantity, string text, out string? problem)
    {
        problem = null;
        var own = Quantity.Find(quantity)?.Unit ?? "";
        if (string.Equals(text, own, StringComparison.Ordinal))
            return 1;
        var (given, expected) = (Unit.Find(text), Unit.Find(own));
        if (given is not null && given.Dimension == expected?.Dimension)
            return given.Si / expected.Si;
        problem = expected is null
            ? $"{quantity} is limited in {own}, not in {Quoted.Text(text)}"
            : $"{quantity} is limited in {Unit.Known(expected.Dimension)}, not in {Quoted.Text(text)}";
        return null;
    }
}
