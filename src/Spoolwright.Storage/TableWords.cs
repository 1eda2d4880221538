namespace Spoolwright.Storage;

/// <summary>What a table's rows are called where people read them.</summary>
public static class TableWords
{
    private static readonly Dictionary<string, string> Words = new(StringComparer.Ordinal)
    {
        ["check_acceptance"] = "accepted fault",
        ["check_result"] = "function check",
        ["clock_entry"] = "sitting",
        ["deck_owner"] = "owner",
        ["instrument_event"] = "instrument's event",
        ["job_check"] = "check of a job",
        ["job_cost"] = "cost",
        ["job_task"] = "task",
        ["kept_instrument"] = "instrument",
        ["listing_text"] = "listing",
        ["lot_doubt"] = "doubt about a lot",
        ["plan_text"] = "plan",
        ["profile_text"] = "profile",
        ["shop_facts"] = "the shop's facts",
        ["supply_use"] = "part used",
        ["task_mark"] = "mark of a task",
        ["unmeasured"] = "not measured",
    };

    /// <summary>Such as <c>part used</c> for <c>supply_use</c>; a table that is called as people call it keeps its name.</summary>
    public static string Of(string table)
    {
        ArgumentNullException.ThrowIfNull(table);
        return Words.GetValueOrDefault(table) ?? table.Replace('_', ' ');
    }
}
