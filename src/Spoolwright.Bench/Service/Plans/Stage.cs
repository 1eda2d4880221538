namespace Spoolwright.Bench.Service.Plans;

/// <summary>Stages of a job, in the order of the trade (common practice, no source).</summary>
public enum Stage
{
    Intake,

    AsFound,

    Strip,

    Clean,

    Rebuild,

    Alignment,

    Playback,

    Record,

    RunIn,

    AsLeft,

    Photos,

    Listing,

    Packing,

    Aftercare,
}
