using Dapper;
using Spoolwright.Bench.Service;

namespace Spoolwright.Storage;

/// <content>One deck or one job without its measurements: what heads a page.</content>
public sealed partial class ServiceBook
{
    /// <summary>A job with its deck.</summary>
    /// <exception cref="ServiceBookException"><c>not-found</c>.</exception>
    public (Job Job, Deck Deck) JobHead(Guid jobId) => With(c =>
    {
        string id = StoredText.Id(jobId);
        Job job = c.QuerySingleOrDefault<JobRow>(JobRow.Select + " WHERE id = @id", new { id })?.ToJob()
            ?? throw new ServiceBookException("not-found", $"There is no job {id} in {Name}.");
        return (job, c.QuerySingle<DeckRow>(DeckRow.Select + " WHERE id = @deck", new { deck = StoredText.Id(job.DeckId) }).ToDeck());
    });

    /// <summary>Jobs with their decks, by the jobs' ids; those that are not there are left out.</summary>
    public IReadOnlyDictionary<Guid, (Job Job, Deck Deck)> JobHeads(IEnumerable<Guid> jobIds)
    {
        string[] asked = [.. jobIds.Select(StoredText.Id)];
        return With(c =>
        {
            List<Job> jobs =
            [
                .. SqlList
                    .Of(asked)
                    .SelectMany(ids => c.Query<JobRow>(JobRow.Select + " WHERE id IN " + ids.In, ids.Values))
                    .Select(r => r.ToJob()),
            ];
            var decks = SqlList
                .Of(jobs.Select(j => StoredText.Id(j.DeckId)))
                .SelectMany(ids => c.Query<DeckRow>(DeckRow.Select + " WHERE id IN " + ids.In, ids.Values))
                .Select(r => r.ToDeck())
                .ToDictionary(d => d.Id);
            return jobs.ToDictionary(j => j.Id, j => (j, decks[j.DeckId]));
        });
    }

    /// <summary>One deck.</summary>
    /// <exception cref="ServiceBookException"><c>not-found</c>.</exception>
    public Deck ReadDeck(Guid deckId) => With(c =>
    {
        string id = StoredText.Id(deckId);
        return c.QuerySingleOrDefault<DeckRow>(DeckRow.Select + " WHERE id = @id", new { id })?.ToDeck()
            ?? throw new ServiceBookException("not-found", $"There is no deck {id} in {Name}.");
    });
}
