namespace Spoolwright.Storage;

/// <summary>What else can be searched for: entries of the service book's own tables, those that stand, found by the root of their line.</summary>
internal static class BookSearchSources
{
    public static readonly IReadOnlyList<SearchSource> All =
    [
        OfJob("fault", "e.assembly", "e.what || ' ' || COALESCE(e.words, '')"),
        OfJob("check_result", "e.check_key", "e.note", "e.note IS NOT NULL"),
        OfJob("check_acceptance", "e.check_key", "e.words"),
        OfJob("task_mark", "e.task_key", "e.remark", "e.remark IS NOT NULL"),
        OfJob("clock_entry", "e.task_key", "e.remark", "e.remark IS NOT NULL"),
        OfJob("accessory", "e.name", "COALESCE(e.note, '')"),
        OfJob("photo", "e.assembly", "COALESCE(e.caption, '')"),
        OfJob("job_cost", "e.what", "e.amount"),
        OfJob("sale", "e.buyer", "e.price || ' ' || COALESCE(e.terms, '')"),
        OfJob("listing_text", "e.title", "COALESCE(e.words, '')"),
        OfJob("sign_off", "e.key_fingerprint", "e.signed_by"),
        Of("supply", "NULL", "NULL", "e.name", "e.kind || ' ' || COALESCE(e.remark, '')"),
        Of("lot", "NULL", "NULL", "e.number", "s.name || ' ' || e.supplier || ' ' || COALESCE(e.remark, '')", "JOIN supply s ON s.id = e.supply_id"),
        Of("supply_use", "j.deck_id", "e.job_id", "s.name", "l.number || ' ' || e.place",
            "JOIN lot l ON l.id = e.lot_id JOIN supply s ON s.id = l.supply_id JOIN job j ON j.id = e.job_id"),
        Of("lot_doubt", "NULL", "NULL", "l.number", "s.name || ' ' || e.why", "JOIN lot l ON l.id = e.lot_id JOIN supply s ON s.id = l.supply_id"),
        Of("kept_instrument", "NULL", "NULL", "e.kind || ' ' || e.name",
            "COALESCE(e.serial_number, '') || ' ' || COALESCE(e.certificate, '') || ' ' || COALESCE(e.remark, '')"),
        Of("instrument_event", "NULL", "NULL", "i.name", "e.kind || ' ' || e.what", "JOIN kept_instrument i ON i.id = e.instrument_id"),
        Of("deck_owner", "e.deck_id", "NULL", "e.name", "COALESCE(e.contact, '')"),
        Of("offer", "NULL", "e.job_id", "e.profile_name || ' ' || COALESCE(e.serial_number, '')",
            "e.seller || ' ' || e.asked || ' ' || COALESCE(e.missing, '') || ' ' || COALESCE(e.remark, '')"),
        Of("price_fetched", "NULL", "NULL", "e.profile_name", "e.price || ' ' || e.source"),
    ];

    private static SearchSource OfJob(string table, string title, string body, string only = "1 = 1") =>
        Of(table, "j.deck_id", "e.job_id", title, body, "JOIN job j ON j.id = e.job_id", only);

    private static SearchSource Of(string table, string deck, string job, string title, string body, string join = "", string only = "1 = 1") => new(
        table,
        $"SELECT e.root AS Ref, {deck} AS DeckId, {job} AS JobId, {title} AS Title, {body} AS Body, e.entered AS At FROM {table} e {join} "
        + $"WHERE NOT EXISTS (SELECT 1 FROM {table} s0 WHERE s0.supersedes = e.id) AND e.withdrawn IS NULL AND {only}",
        "e.root");
}
