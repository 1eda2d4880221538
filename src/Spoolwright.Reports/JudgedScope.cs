using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;

namespace Spoolwright.Reports;

/// <summary>
/// In which conditions a limit without a reading is a gap. A test tape has no tape setting and one's own recording always has; a gauge is
/// read once for all speeds. A limit whose quantity was taken in conditions of another kind is no gap in these; one that was never taken
/// anywhere is a gap everywhere.
/// </summary>
internal sealed class JudgedScope
{
    private readonly HashSet<(string Quantity, bool Recorded)> _taken = [];
    private readonly HashSet<string> _typed = new(StringComparer.Ordinal);

    /// <param name="standing">The measurements that stand in the record.</param>
    public JudgedScope(IReadOnlyList<CaptureEntry> standing)
    {
        foreach (var entry in standing)
        {
            if (Catalogue.Find(entry.Measurement) is not { } kind)
                continue;
            foreach (var quantity in kind.Yields)
            {
                _taken.Add((quantity.Id, entry.Condition.TapeSetting is not null));
                if (kind.MeasureSheet is not null)
                    _typed.Add(quantity.Id);
            }
        }
    }

    /// <summary>Whether a reading that this limit speaks of is missing in the condition.</summary>
    public bool Asks(Limit limit, Condition condition)
    {
        if (_typed.Contains(limit.Quantity))
            return false;
        var here = _taken.Contains((limit.Quantity, condition.TapeSetting is not null));
        return here || !_taken.Contains((limit.Quantity, condition.TapeSetting is null));
    }
}
