using Spoolwright.Bench;
using Spoolwright.Bench.Live;
using Spoolwright.Bench.Measurements;

namespace Spoolwright.App.Web;

/// <summary>What is known beside a capture that the bench measures: deck, condition, tape, and what the book holds of the same
/// condition.</summary>
internal static class BenchSettings
{
    /// <summary>The settings for a measurement; what an entry does not take is left out.</summary>
    public static MeasurementSettings Of(BookShelf shelf, MeasurementEntry entry, Guid? job, Condition? condition, LiveContext context)
    {
        var settings = new MeasurementSettings
        {
            Profile = context.Profile,
            Condition = condition is null ? null : Filer.Of(entry.Id, condition),
            TestTape = entry.Takes.HasFlag(SettingKinds.TestTape) ? context.TestTape : null,
            NominalHz = entry.Id switch { "crosstalk" or "erase" => 1000, _ => context.NominalHz },
            SupplyRadiusMm = context.Radii?.SupplyMm,
            TakeUpRadiusMm = context.Radii?.TakeUpMm,
        };
        if (job is not { } id || condition is null)
            return settings;
        if (entry.Takes.HasFlag(SettingKinds.ReferenceLevel))
        {
            var (left, right) = Filer.ReferenceLevels(shelf, id, condition);
            settings = settings with
            {
                ReferenceLevelLeftDb = left ?? context.ReferenceDb,
                ReferenceLevelRightDb = right ?? context.ReferenceDb,
            };
        }

        return entry.Takes.HasFlag(SettingKinds.PlaybackReadings)
            ? settings with
            {
                PlaybackReadings = Filer.PlaybackReadings(shelf, id, condition),
            }
            : settings;
    }
}
