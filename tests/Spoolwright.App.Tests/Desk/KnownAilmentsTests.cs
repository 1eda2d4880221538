using Spoolwright.App.Desk;
using Spoolwright.App.Tests.Reports;
using Spoolwright.Bench.Causes;
using Spoolwright.Reports;

namespace Spoolwright.App.Tests.Desk;

/// <summary>What ailed a deck is weighed once for one state of a job, and anew for every other.</summary>
public sealed class KnownAilmentsTests
{
    [Fact]
    public void Answer_IsKeptForOneState_AndWeighedAnewForAnother()
    {
        var file = AilingJob.File();
        var known = KnownAilments.Of(file)!;
        Assert.Same(known, KnownAilments.Of(file with { Job = file.Job with { What = "other words" } }));
        Same(Ailments.Of(file, CauseBook.Default)!, known);

        // A measurement more, one that stands in another's place, other chances, another profile: each is another state.
        var capstan = file.Measurements.First(m => m.Entry.Measurement == "speed");
        var more = file with
        {
            Measurements = [.. file.Measurements, capstan with { Entry = capstan.Entry with { Id = Guid.CreateVersion7() } }],
        };
        var fewer = file with { Measurements = [.. file.Measurements.Where(m => m.Entry.Measurement != "speed")] };
        var chances = CauseBook.Default.WithPriors(new Dictionary<string, double> { ["belt"] = 0.4 });
        var profile = file with { Deck = file.Deck with { ProfileJson = """{ "name": "Invented" }""" } };
        foreach (
            var (other, book) in new[]
            {
                (more, CauseBook.Default),
                (fewer, CauseBook.Default),
                (file, chances),
                (profile, CauseBook.Default),
            }
        )
        {
            var anew = KnownAilments.Of(other, book)!;
            Assert.NotSame(known, anew);
            Same(Ailments.Of(other, book)!, anew);
        }

        Assert.DoesNotContain(KnownAilments.Of(fewer)!.Found.Findings, f => f.Id == "capstan");
        Assert.Contains(known.Found.Findings, f => f.Id == "capstan");
        Assert.Null(KnownAilments.Of(file with { Measurements = [] }));
    }

    [Fact]
    public async Task Asked_ByManyAtOnce_GivesAllTheSame()
    {
        var file = AilingJob.File();
        var all = await Task.WhenAll(
            Enumerable.Range(0, 8).Select(_ => Task.Run(() => KnownAilments.Of(file), TestContext.Current.CancellationToken))
        );
        Assert.Single(all.Distinct());
    }

    // Weighing beside another thread changes nothing.
    private static void Same(Ailments expected, Ailments found)
    {
        static IEnumerable<(string, string, double, double)> Told(Explanation? of) =>
            of is null ? [] : of.Findings.Select(f => (f.Id, f.Place.Words, f.Probability, f.Amount));
        Assert.Equal(Told(expected.Found), Told(found.Found));
        Assert.Equal(Told(expected.Left), Told(found.Left));
    }
}
