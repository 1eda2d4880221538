namespace Spoolwright.Storage;

/// <summary>What else can be searched for: entries of the service book's own tables that hold words. One hit for each line of corrections, as it stands now.</summary>
internal static class BookSearchSources
{
    private const string OfJob = "JOIN job j ON j.id = e.job_id";

    public static readonly IReadOnlyList<SearchSource> All =
    [
        Of("deck_owner", "e.deck_id", "NULL", "e.name", "COALESCE(e.contact, '')", ""),
        Of("fault", "j.deck_id", "e.job_id", "e.assembly", "e.what || ' ' || COALESCE(e.words, '')", OfJob),
        Of("task_mark", "j.deck_id", "e.job_id", "e.task_key", "e.remark", OfJob, "e.remark IS NOT NULL"),
        Of("clock_entry", "j.deck_id", "e.job_id", "e.task_key", "e.remark", OfJob, "e.remark IS NOT NULL"),
        Of("check_result", "j.deck_id", "e.job_id", "e.check_key", "e.note", OfJob, "e.note IS NOT NULL"),
        Of("check_acceptance", "j.deck_id", "e.job_id", "e.check_key", "e.words", OfJob),
        Of("accessory", "j.deck_id", "e.job_id", "e.name", "COALESCE(e.note, '')", OfJob),
        Of("photo", "j.deck_id", "e.job_id", "e.assembly", "COALESCE(e.caption, '')", OfJob),
        Of("supply", "NULL", "NULL", "e.name", "e.kind || ' ' || COALESCE(e.remark, '')", ""),
        Of("lot", "NULL", "NULL", "e.number", "e.supplier || ' ' || s.name || ' ' || COALESCE(e.remark, '')", "JOIN supply s ON s.id = e.supply_id"),
        Of("lot_doubt", "NULL", "NULL", "l.number", "e.why", "JOIN lot l ON l.id = e.lot_id"),
        Of("supply_use", "j.deck_id", "e.job_id", "s.name", "e.place || ' ' || l.number", OfJob + " JOIN lot l ON l.id = e.lot_id JOIN supply s ON s.id = l.supply_id"),
        Of("kept_instrument", "NULL", "NULL", "e.name", "e.kind || ' ' || COALESCE(e.serial_number, '') || ' ' || COALESCE(e.certificate, '') || ' ' || COALESCE(e.remark, '')", ""),
        Of("instrument_event", "NULL", "NULL", "k.name", "e.kind || ' ' || e.what", "JOIN kept_instrument k ON k.id = e.instrument_id"),
        Of("offer", "NULL", "e.job_id", "e.profile_name", "COALESCE(e.serial_number, '') || ' ' || e.seller || ' ' || COALESCE(e.missing, '') || ' ' || COALESCE(e.remark, '')", ""),
        Of("price_fetched", "NULL", "NULL", "e.profile_name", "e.source", ""),
        Of("job_cost", "j.deck_id", "e.job_id", "e.kind", "e.what", OfJob),
        Of("sale", "j.deck_id", "e.job_id", "e.buyer", "COALESCE(e.terms, '')", OfJob),
        Of("listing_text", "j.deck_id", "e.job_id", "e.title", "COALESCE(e.words, '')", OfJob),
    ];

    // A line of corrections is known by its root; what was taken back, or stands corrected, is not found.
    private static SearchSource Of(string table, string deck, string job, string title, string body, string join, string where = "1 = 1") => new(
        table,
        $"SELECT e.root AS Ref, {deck} AS DeckId, {job} AS JobId, {title} AS Title, {body} AS Body, e.entered AS At FROM {table} e {join} "
        + $"WHERE {where} AND e.withdrawn IS NULL AND NOT EXISTS (SELECT 1 FROM {table} later WHERE later.supersedes = e.id)",
        "e.root");
}
