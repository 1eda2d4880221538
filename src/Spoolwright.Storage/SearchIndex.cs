using System.Data.Common;
using Dapper;

namespace Spoolwright.Storage;

/// <summary>
/// What can be searched for, and how its text is read. The select gives <c>Ref</c>, <c>DeckId</c>, <c>JobId</c>, <c>Title</c>,
/// <c>Body</c> and <c>At</c>; several rows of
/// one <c>Ref</c> are put together. It ends in a WHERE that others may add to with AND.
/// </summary>
/// <param name="Kind">The word by which pages tell it.</param>
/// <param name="Select">Portable SQL.</param>
/// <param name="Ref">The expression of the row's id.</param>
internal sealed record SearchSource(string Kind, string Select, string Ref);

/// <summary>
/// Search across everything by a plain table of words, the same on both engines. Every word that is asked for must begin a word of the
/// entry.
/// Whoever files a row calls <see cref="Put"/> with its id, in the same transaction.
/// </summary>
internal static class SearchIndex
{
    /// <summary>Raised when sources or words change: the index of an older book is made anew at its next opening.</summary>
    public const string Version = "3";

    public const string VersionSetting = "search";

    private const int MostHits = 200, MostWords = 8, WordsInACall = 100;

    /// <summary>From so many entries on a word is common.</summary>
    private const int Common = 1500;

    /// <summary>So many of the newest entries are gone through for words that all are common; more only where too few were among
    /// them.</summary>
    private const int Newest = 5000;

    private const string SelectHit =
        "SELECT e.kind AS Kind, e.ref AS Ref, e.deck_id AS DeckId, e.job_id AS JobId, e.title AS Title, e.body AS Body, e.at AS At FROM ";

    private static readonly SearchSource[] Sources =
    [
        new(
            "deck",
            "SELECT d.id AS Ref, d.id AS DeckId, NULL AS JobId, d.profile_name || ' ' || d.serial_number AS Title, d.description AS Body, '' AS At FROM deck d WHERE 1 = 1",
            "d.id"
        ),
        new(
            "job",
            """
            SELECT j.id AS Ref, j.deck_id AS DeckId, j.id AS JobId, d.profile_name || ' ' || d.serial_number AS Title, j.what AS Body, j.opened AS At
            FROM job j JOIN deck d ON d.id = j.deck_id WHERE 1 = 1
            """,
            "j.id"),
        // A measurement is looked for by what was noted in it and by its file; the figures are for other pages.
        new("measurement",
            """
            SELECT m.id AS Ref, j.deck_id AS DeckId, m.job_id AS JobId, m.kind || ' ' || m.file_name AS Title, n.text AS Body, m.measured_at AS At
            FROM measurement m JOIN job j ON j.id = m.job_id JOIN note n ON n.measurement_id = m.id WHERE 1 = 1
            """,
            "m.id"),
        new("unmeasured",
            """
            SELECT u.job_id AS Ref, j.deck_id AS DeckId, u.job_id AS JobId, 'not measured' AS Title, u.reason AS Body, j.opened AS At
            FROM unmeasured u JOIN job j ON j.id = u.job_id WHERE 1 = 1
            """,
            "u.job_id"),
        .. BookSearchSources.All,
    ];

    /// <summary>Every kind.</summary>
    public static IReadOnlyList<string> Kinds { get; } = [.. Sources.Select(s => s.Kind)];

    /// <summary>Whether rows of that kind are searched for.</summary>
    public static bool HasKind(string kind) => Array.Exists(Sources, s => s.Kind == kind);

    /// <summary>Makes the words of one row anew.</summary>
    /// <param name="c">Open.</param>
    /// <param name="t">The transaction that files the row.</param>
    /// <param name="kind">One of the kinds.</param>
    /// <param name="id">The row's id.</param>
    public static void Put(DbConnection c, DbTransaction t, string kind, Guid id)
    {
        SearchSource source =
            Array.Find(Sources, s => s.Kind == kind)
            ?? throw new ArgumentException($"nothing is searched for under the word {kind}", nameof(kind));
        string reference = StoredText.Id(id);
        var rows = c.Query<Row>($"{source.Select} AND {source.Ref} = @reference", new { reference }, t).ToList();
        long? number = c.QuerySingleOrDefault<long?>(
            "SELECT number FROM search_entry WHERE kind = @kind AND ref = @reference",
            new { kind, reference },
            t
        );
        if (number is { } old)
        {
            c.Execute("DELETE FROM search_word WHERE entry = @old", new { old }, t);
            c.Execute("DELETE FROM search_entry WHERE number = @old", new { old }, t);
        }

        if (rows.Count > 0)
            Insert(c, t, kind, rows, number ?? Next(c, t));
    }

    /// <summary>Makes the whole index anew.</summary>
    public static void Rebuild(DbConnection c, DbTransaction t)
    {
        c.Execute("DELETE FROM search_word", transaction: t);
        c.Execute("DELETE FROM search_entry", transaction: t);
        long number = 1;
        foreach (SearchSource source in Sources)
        {
            foreach (var rows in c.Query<Row>(source.Select, transaction: t).ToList().GroupBy(r => r.Ref, StringComparer.Ordinal))
                Insert(c, t, source.Kind, [.. rows], number++);
        }

        c.Execute("DELETE FROM setting WHERE name = @VersionSetting", new { VersionSetting }, t);
        c.Execute("INSERT INTO setting (name, value) VALUES (@VersionSetting, @Version)", new { VersionSetting, Version }, t);
    }

    /// <summary>Entries that hold every word of the question, newest first.</summary>
    public static IReadOnlyList<SearchHit> Find(DbConnection c, string question, int most)
    {
        string[] words = [.. SearchWords.Of(question).OrderByDescending(w => w.Length).Take(MostWords)];
        if (words.Length == 0)
            return [];
        var values = new DynamicParameters(new { most = Math.Clamp(most, 1, MostHits) });
        for (int i = 0; i < words.Length; i++)
        {
            values.Add($"from{i}", words[i]);
            values.Add($"to{i}", words[i] + "\U0010FFFF"); // after everything that begins so
        }

        int[] counts = [.. words.Select((_, i) => Count(c, i, values))];
        int rarest = Array.IndexOf(counts, counts.Min());
        if (counts[rarest] == 0)
            return [];
        List<Row> rows;
        if (counts[rarest] < Common)
        {
            rows = Hits(c, values, "search_entry e", Enumerable.Range(0, words.Length).Where(i => i != rarest).Select(Holds)
                .Prepend($"e.number IN (SELECT entry FROM search_word WHERE word >= @from{rarest} AND word <= @to{rarest})"));
        }
        else
        {
            // Where every word is common enough hits are soon found among the newest; words that never meet there are looked up whole.
            rows = Hits(
                c,
                values,
                $"(SELECT * FROM search_entry ORDER BY at DESC, number DESC LIMIT {Newest}) e",
                Enumerable.Range(0, words.Length).Select(Holds)
            );
            if (rows.Count < Math.Clamp(most, 1, MostHits))
            {
                rows = Hits(c, values, "search_entry e", [$"e.number IN ({string.Join(" INTERSECT ", Enumerable.Range(0, words.Length)
                    .Select(i => $"SELECT entry FROM search_word WHERE word >= @from{i} AND word <= @to{i}"))})"]);
            }
        }

        return rows.ConvertAll(r => new SearchHit(
            r.Kind!,
            StoredText.Id(r.Ref),
            StoredText.MaybeId(r.DeckId),
            StoredText.MaybeId(r.JobId),
            r.Title,
            r.Body,
            r.At.Length == 0 ? null : StoredText.Time(r.At)
        ));
    }

    private static string Holds(int word) =>
        $"EXISTS (SELECT 1 FROM search_word w WHERE w.entry = e.number AND w.word >= @from{word} AND w.word <= @to{word})";

    private static List<Row> Hits(DbConnection c, DynamicParameters values, string of, IEnumerable<string> where) => c.Query<Row>(
        SelectHit + of + " WHERE " + string.Join(" AND ", where) + " ORDER BY e.at DESC, e.number DESC LIMIT @most", values).AsList();

    private static int Count(DbConnection c, int word, DynamicParameters values) =>
        c.ExecuteScalar<int>(
            $"SELECT COUNT(*) FROM (SELECT 1 FROM search_word WHERE word >= @from{word} AND word <= @to{word} LIMIT {Common}) AS counted",
            values
        );

    private static long Next(DbConnection c, DbTransaction t) =>
        c.ExecuteScalar<long>("SELECT COALESCE(MAX(number), 0) + 1 FROM search_entry", transaction: t);

    private static void Insert(DbConnection c, DbTransaction t, string kind, List<Row> rows, long number)
    {
        Row first = rows[0];
        string body = string.Join(' ', rows.Select(r => r.Body));
        c.Execute(
            """
            INSERT INTO search_entry (number, kind, ref, deck_id, job_id, title, body, at)
            VALUES (@number, @kind, @Ref, @DeckId, @JobId, @Title, @body, @At)
            """,
            new { number, kind, first.Ref, first.DeckId, first.JobId, first.Title, body, first.At }, t);
        // Many words in one call: a server is asked once for them, not once for each.
        foreach (string[] words in SearchWords.Of($"{first.Title} {body}").Chunk(WordsInACall))
        {
            var values = new DynamicParameters(new { number });
            for (int i = 0; i < words.Length; i++)
                values.Add($"word{i}", words[i]);
            c.Execute(
                "INSERT INTO search_word (word, entry) VALUES " + string.Join(", ", words.Select((_, i) => $"(@word{i}, @number)")),
                values,
                t
            );
        }
    }

    private sealed class Row
    {
        public string? Kind { get; init; }

        public required string Ref { get; init; }

        public string? DeckId { get; init; }

        public string? JobId { get; init; }

        public required string Title { get; init; }

        public required string Body { get; init; }

        public required string At { get; init; }
    }
}
