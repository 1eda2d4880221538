namespace Spoolwright.Storage;

/// <summary>
/// Entries that people write, as they are searched for: by the first of a line of corrections, with the words of the one that stands; what
/// was taken back is not found. Columns that hold a choice, a number or a day are left out: a list shows them better. So are marks,
/// sittings and ticks that nobody said a word to: hundreds to a job, and all alike.
/// </summary>
internal static class BookSearchSources
{
    public static readonly IReadOnlyList<SearchSource> All =
    [
        OfJob("fault", "'fault, ' || e.assembly", "e.what", "e.words"),
        OfJob("accessory", "'accessory'", "e.name", "e.note"),
        OfJob("photo", "'photo, ' || e.assembly", "e.caption"),
        Said("task_mark", "'task ' || e.task_key", "e.remark"),
        Said("clock_entry", "'clock, ' || e.task_key", "e.remark"),
        Said("check_result", "'check ' || e.check_key", "e.note"),
        OfJob("check_acceptance", "'accepted, ' || e.check_key", "e.words"),
        OfJob("job_cost", "'cost'", "e.what"),
        OfJob("sale", "'sale'", "e.buyer", "e.terms"),
        OfJob("listing_text", "'listing'", "e.title", "e.words"),
        Of("supply", "'supply'", "e.name", "e.kind", "e.remark"),
        Source("lot", "s.name || ', lot ' || e.number", "NULL", "NULL", " JOIN supply s ON s.id = e.supply_id", "e.supplier", "e.remark"),
        Source(
            "supply_use", "s.name || ', lot ' || l.number", "j.deck_id", "e.job_id",
            " JOIN lot l ON l.id = e.lot_id JOIN supply s ON s.id = l.supply_id LEFT JOIN job j ON j.id = e.job_id", "e.place"
        ),
        Source(
            "lot_doubt", "s.name || ', lot ' || l.number", "NULL", "NULL",
            " JOIN lot l ON l.id = e.lot_id JOIN supply s ON s.id = l.supply_id", "e.why"
        ),
        Of("kept_instrument", "e.kind || ' ' || e.name", "e.serial_number", "e.certificate", "e.remark"),
        Source(
            "instrument_event", "i.kind || ' ' || i.name", "NULL", "NULL", " JOIN kept_instrument i ON i.id = e.instrument_id", "e.what"
        ),
        Source("deck_owner", "'owner'", "e.deck_id", "NULL", "", "e.name", "e.contact"),
        Source("offer", "'offer, ' || e.profile_name", "NULL", "e.job_id", "", "e.serial_number", "e.seller", "e.missing", "e.remark"),
    ];

    private static SearchSource OfJob(string table, string title, params string[] body) =>
        Source(table, title, "j.deck_id", "e.job_id", " JOIN job j ON j.id = e.job_id", body);

    private static SearchSource Said(string table, string title, string words)
    {
        SearchSource source = OfJob(table, title, words);
        return source with { Select = $"{source.Select} AND {words} IS NOT NULL" };
    }

    private static SearchSource Of(string table, string title, params string[] body) => Source(table, title, "NULL", "NULL", "", body);

    private static SearchSource Source(string table, string title, string deck, string job, string join, params string[] body) =>
        new(
            table,
            $"""
            SELECT e.root AS Ref, {deck} AS DeckId, {job} AS JobId, {title} AS Title, {string.Join(
                " || ' ' || ",
                body.Select(b => $"COALESCE({b}, '')")
            )} AS Body, e.entered AS At
            FROM {table} e{join} WHERE e.withdrawn IS NULL AND NOT EXISTS (SELECT 1 FROM {table} later WHERE later.supersedes = e.id)
            """,
            "e.root"
        );
}
