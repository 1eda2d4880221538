using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;

namespace Spoolwright.Reports;

/// <summary>
/// A sheet of typed readings holds rows of both directions and is filed in one condition: the record tells each row in its own
/// direction, and judges it there.
/// </summary>
internal static class SheetParts
{
    /// <summary>The measurement, once for each direction that its readings speak of; its notes stay where it was filed.</summary>
    public static IEnumerable<FiledMeasurement> Of(FiledMeasurement filed)
    {
        var own = filed.Entry.Condition;
        if (Catalogue.Find(filed.Entry.Measurement)?.MeasureSheet is null)
            return [filed];
        return filed
            .Result.Readings.Select(r => r.Direction ?? own.Direction)
            .Append(own.Direction)
            .Distinct()
            .Order()
            .Select(way => filed with
            {
                Entry = filed.Entry with { Condition = own with { Direction = way } },
                Result = filed.Result with
                {
                    Readings = [.. filed.Result.Readings.Where(r => (r.Direction ?? own.Direction) == way)],
                    Notes = way == own.Direction ? filed.Result.Notes : [],
                },
            })
            .Where(part => part.Result.Readings.Count > 0 || part.Result.Notes.Count > 0);
    }
}
