using System.Text.Json;
using Spoolwright.App.Desk;
using Spoolwright.App.Tests.Cli;
using Spoolwright.Bench;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;

namespace Spoolwright.App.Tests.Browser;

/// <summary>The service book's pages in a real browser, by keys alone, and under axe-core.</summary>
[Collection("Chromium")]
public sealed class BookScreensTests(ChromiumFixture chromium, YearBook year) : IClassFixture<YearBook>
{
    private static readonly string Axe = Path.Combine(Tree.Root, "tools/pages/node_modules/axe-core/axe.min.js");

    // The pictures are SVG files: their smallest letter, as large as the page shows it.
    private const string SmallLetters = """
        [...document.querySelectorAll('.plots img, .speaks img')].map(i => {
          const svg = atob(i.src.split(',')[1]), wide = +svg.match(/viewBox="0 0 ([0-9.]+)/)[1], style = getComputedStyle(i);
          const room = i.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight);
          return Math.min(...[...svg.matchAll(/font-size="([0-9.]+)"/g)].map(m => +m[1])) * room / wide;
        }).filter(px => px < 11.95).map(px => px.toFixed(1)).join(' ')
        """;

    private const string BrokenDays = """
        [...document.querySelectorAll('.book td, .book tbody th')].filter(e => {
          if (!/^\d{4}-\d\d-\d\d$/.test(e.textContent)) return false;
          const text = document.createRange();
          text.selectNodeContents(e);
          return new Set([...text.getClientRects()].map(r => Math.round(r.top))).size > 1;
        }).map(e => e.textContent).slice(0, 3).join(' ')
        """;

    [Fact]
    public async Task Job_ByKeysAlone_IsTimedTickedCorrectedAndUndone()
    {
        await using var bench = await Bench.Start();
        var book = bench.Shelf.Book;
        var job = new JobDesk(book).Open(book.Decks()[0], "Whole restoration");
        var (page, complaints) = await chromium.Open(bench);
        await page.GotoAsync($"{bench.Origin}/book/job/{job.Id}");
        await ChromiumFixture.Until(page, "document.querySelector('tr[aria-current]') !== null");
        var task = new PlanDesk(book).Board(job.Id).Next!.Task.Key;

        // One key starts the clock, the same stops it.
        await page.Keyboard.PressAsync("t");
        await ChromiumFixture.Until(page, "!document.querySelector('[data-test=clock]').hidden");
        Assert.NotNull(new PlanDesk(book).Board(job.Id).Find(task).Running);
        await page.Keyboard.PressAsync("t");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=clock]').hidden");
        Assert.Single(book.Standing<ClockEntry>(job.Id), c => c.Ended is not null);

        // A time is typed, and corrected in the list of sittings; the old entry stays.
        await page.Keyboard.PressAsync("e");
        await page.Keyboard.TypeAsync("1:30");
        await page.Keyboard.PressAsync("Enter");
        await ChromiumFixture.Until(
            page,
            "document.querySelector('dialog[open]') === null && document.querySelector('#said').textContent.includes('1 h 30 min')"
        );
        foreach (var _ in new int[3])
            await page.Keyboard.PressAsync("ArrowRight");
        await ChromiumFixture.Until(page, "document.querySelector('[data-table=sittings] tr[aria-current]') !== null");
        await page.Keyboard.PressAsync("e");
        await page.Keyboard.TypeAsync("2 h");
        await page.Keyboard.PressAsync("Enter");
        await ChromiumFixture.Until(
            page,
            "document.body.innerText.includes('corrected later') && document.querySelector('#said').textContent.includes('2 h')"
        );
        Assert.Contains(book.Standing<ClockEntry>(job.Id), c => c.Seconds == 7200);
        await page.Keyboard.PressAsync("z");
        await ChromiumFixture.Until(page, "document.querySelector('#said').textContent.startsWith('Undone')");
        Assert.Contains(book.Standing<ClockEntry>(job.Id), c => c.Seconds == 5400);
        await page.Keyboard.PressAsync("y");
        await ChromiumFixture.Until(page, "document.querySelector('#said').textContent.startsWith('Done again')");
        Assert.Contains(book.Standing<ClockEntry>(job.Id), c => c.Seconds == 7200);

        // Functions: works goes on to the next; a fault needs its words.
        await page.Keyboard.PressAsync("ArrowLeft");
        await page.Keyboard.PressAsync("ArrowLeft");
        await ChromiumFixture.Until(page, "document.querySelector('[data-table=checks] tr[aria-current]') !== null");
        await page.Keyboard.PressAsync("w");
        await ChromiumFixture.Until(
            page,
            "[...document.querySelectorAll('[data-table=checks] tbody tr')].findIndex(r => r.hasAttribute('aria-current')) === 1 && document.querySelector('[data-table=checks] tbody tr').innerText.includes('works')"
        );
        await page.Keyboard.PressAsync("m");
        await page.Keyboard.PressAsync("f");
        await page.Keyboard.TypeAsync("stops after a second");
        await page.Keyboard.PressAsync("Enter");
        await ChromiumFixture.Until(page, "document.querySelector('[data-table=checks]').innerText.includes('stops after a second')");
        var results = book.Standing<CheckResult>(job.Id);
        Assert.Equal([(Mark.AsFound, CheckOutcome.Works), (Mark.AsLeft, CheckOutcome.Fault)], results.Select(r => (r.Mark, r.Outcome)));

        // What is typed is text, whatever it looks like.
        await page.Keyboard.PressAsync("ArrowRight");
        await page.Keyboard.PressAsync("n");
        await page.Keyboard.TypeAsync("<b>head</b>");
        await page.Keyboard.PressAsync("Tab");
        await page.Keyboard.TypeAsync("<img src=x onerror=document.title='owned'>");
        await page.Keyboard.PressAsync("Tab");
        await page.Keyboard.PressAsync("Tab");
        await page.Keyboard.PressAsync("Enter");
        await ChromiumFixture.Until(page, "document.querySelector('[data-table=faults]').innerText.includes('onerror')");
        Assert.Equal(0, await page.Locator("[data-table=faults] img, [data-table=faults] b").CountAsync());
        Assert.NotEqual("owned", await page.TitleAsync());
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Form_LeftByEscape_StandsThereAgain_ForItsOwnRowAlone()
    {
        await using var bench = await Bench.Start();
        var job = new JobDesk(bench.Shelf.Book).Open(bench.Shelf.Book.Decks()[0], "Whole restoration");
        var (page, complaints) = await chromium.Open(bench);
        await page.GotoAsync($"{bench.Origin}/book/job/{job.Id}");
        await ChromiumFixture.Until(page, "document.querySelector('tr[aria-current]') !== null");
        await page.Keyboard.PressAsync("n");
        await page.Keyboard.TypeAsync("Turn the flywheel true");
        await page.Keyboard.PressAsync("Escape");
        await ChromiumFixture.Until(page, "document.querySelector('dialog[open]') === null");
        await page.Keyboard.PressAsync("n");
        Assert.Equal("Turn the flywheel true", await page.InputValueAsync("dialog[open] input"));
        await page.Keyboard.PressAsync("Escape");
        await ChromiumFixture.Until(page, "document.querySelector('dialog[open]') === null");
        await page.Keyboard.PressAsync("ArrowDown");
        await page.Keyboard.PressAsync("n");
        Assert.Equal("", await page.InputValueAsync("dialog[open] input"));
        await page.Keyboard.PressAsync("Escape");
        await page.Keyboard.PressAsync("ArrowUp");
        await page.Keyboard.PressAsync("n");
        await page.Keyboard.PressAsync("Enter");
        await ChromiumFixture.Until(
            page,
            "document.querySelector('dialog[open]') === null && document.querySelector('[data-table=plan]').innerText.includes('Turn the flywheel true')"
        );
        // Once it is written, nothing is left.
        await page.Keyboard.PressAsync("n");
        Assert.Equal("", await page.InputValueAsync("dialog[open] input"));
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task TestTape_NamedAsLoaded_IsWarnedOfBeforeAnythingThatRecords()
    {
        await using var bench = await Bench.Start();
        var book = bench.Shelf.Book;
        var job = new JobDesk(book).Open(book.Decks()[0], "Whole restoration");
        new CheckDesk(book).Load(job.Id, LoadedTapeKind.TestTape, "Speed tape");
        var check = new CheckDesk(book).Board(job.Id).Checks.First(c => c.Check.CouldRecord).Check.Key;
        var (page, complaints) = await chromium.Open(bench);
        await page.GotoAsync($"{bench.Origin}/book/job/{job.Id}");
        await ChromiumFixture.Until(page, "document.querySelector('.book .warning')?.textContent.includes('Speed tape') === true");
        await page.Keyboard.PressAsync("ArrowRight");
        await ChromiumFixture.Until(page, "document.querySelector('[data-table=checks] tr[aria-current]') !== null");
        for (var i = 0; i < 200 && await page.EvaluateAsync<string>("document.querySelector('tr[aria-current]').dataset.id") != check; i++)
            await page.Keyboard.PressAsync("ArrowDown");
        await page.Keyboard.PressAsync("w");
        await ChromiumFixture.Until(page, "document.querySelector('#said').textContent.includes('once erased is gone')");
        Assert.Empty(book.Standing<CheckResult>(job.Id));

        // What was said of this page is not said of another.
        await page.Keyboard.PressAsync("1");
        await ChromiumFixture.Until(page, "location.pathname === '/' && document.querySelector('#said').textContent === ''");
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Search_FromAnyPageByKeys_LeadsToADeckAndBack()
    {
        await using var bench = await Bench.StartOnYear(year);
        var (page, complaints) = await chromium.Open(bench);
        await page.GotoAsync(bench.Origin + "/speed");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.includes('press I')");
        await page.Keyboard.PressAsync("/");
        await ChromiumFixture.Until(page, "document.activeElement.id === 'question'");
        await page.Keyboard.TypeAsync("740 0822");
        await ChromiumFixture.Until(page, "[...document.querySelectorAll('tbody tr')].some(r => r.dataset.to?.startsWith('/book/deck/'))");
        await page.Keyboard.PressAsync("ArrowDown");
        for (
            var i = 0;
            i < 50
                && !(await page.EvaluateAsync<string>("document.activeElement.dataset.to ?? ''")).StartsWith(
                    "/book/deck/",
                    StringComparison.Ordinal
                );
            i++
        )
            await page.Keyboard.PressAsync("ArrowDown");
        await page.Keyboard.PressAsync("Enter");
        await ChromiumFixture.Until(page, "document.querySelector('h1').textContent.includes('740 0822')");
        await page.GoBackAsync();
        await ChromiumFixture.Until(page, "document.querySelector('#question')?.value === '740 0822'");
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task CellThatMissed_ByOneKey_LeadsToItsCauseAndThePictureThatSpeaksForIt()
    {
        await using var bench = await Bench.Start();
        var book = bench.Shelf.Book;
        var sample = Reports.AilingJob.File();
        var deck = book.AddDeck("Invented", sample.Deck.ProfileJson, "A-1", "");
        var job = book.OpenJob(deck.Id, "Whole restoration", DateTimeOffset.UnixEpoch);
        foreach (var m in sample.Measurements)
        {
            book.FileMeasurement(new()
            {
                JobId = job.Id,
                Condition = m.Entry.Condition,
                Mark = m.Entry.Mark,
                Capture = new("typed in", "", null, null, null),
                OpenCapture = null,
                Result = m.Result,
                Limits = m.Limits,
                Instruments = [],
                MeasuredAt = m.Entry.MeasuredAt,
                ProgramVersion = "0.1.0",
            });
        }

        var (page, complaints) = await chromium.Open(bench);
        await page.GotoAsync(bench.Origin + "/");
        await page.EvaluateAsync($"localStorage.setItem('bench', JSON.stringify({{ job: '{job.Id}', deck: 'Invented, A-1' }}))");
        await page.GotoAsync(bench.Origin + "/matrix");
        const string cell = ".cell[data-asks='measurement=playback&channel=left&direction=forward&speed=19.05']";
        await ChromiumFixture.Until(page, $"document.querySelector(\"{cell}\") !== null");
        await page.FocusAsync(cell);
        await page.Keyboard.PressAsync("w");
        await ChromiumFixture.Until(page, "document.querySelector('.speaks img') !== null");
        Assert.Contains(
            "Asked from playback, forward, 19.05 cm/s, left: dirt holds the tape off a replay gap",
            await page.InnerTextAsync(".page"),
            StringComparison.Ordinal
        );
        Assert.StartsWith("Residual against the fitted law", await page.GetAttributeAsync(".speaks img", "alt"), StringComparison.Ordinal);
        // The picture is drawn, not a broken frame.
        Assert.True(await page.EvaluateAsync<int>("document.querySelector('.speaks img').naturalWidth") > 100);
        await page.Keyboard.PressAsync("v");
        await ChromiumFixture.Until(page, "document.querySelector('.speaks img').alt.startsWith('Speed against speed')");
        await page.Keyboard.PressAsync("ArrowDown");
        await ChromiumFixture.Until(page, "document.querySelector('.speaks img').alt.startsWith('One turn of the capstan')");
        Assert.Contains("right", await page.InnerTextAsync("[data-table=mended]"), StringComparison.Ordinal);
        await chromium.Picture(page, "ails");

        // A chance is set by hand, and every later question carries it.
        await page.Keyboard.PressAsync("e");
        await ChromiumFixture.Until(page, "document.querySelector('[data-table=priors] tbody tr') !== null");
        await page.Keyboard.PressAsync("ArrowDown");
        await page.Keyboard.PressAsync("e");
        await ChromiumFixture.Until(page, "document.querySelector('dialog[open] input') !== null");
        await page.FillAsync("dialog[open] input", "20");
        await page.Keyboard.PressAsync("Enter");
        await ChromiumFixture.Until(page, "document.body.innerText.includes('Set by hand on this bench: belt 20 %')");
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData(1280, 800)]
    [InlineData(1920, 1080)]
    [InlineData(844, 390)]
    [InlineData(844, 1180)]
    [InlineData(1180, 844)]
    public async Task Pages_UnderAxe_HaveNoSeriousFaultAndFit(int width, int height)
    {
        await using var bench = await Bench.StartOnYear(year);
        var (page, complaints) = await chromium.Open(bench, width, height);
        var faults = new List<string>();
        foreach (
            var address in BookCallsTests
                .Pages(bench)
                .Select(a => a.Replace("/api", "", StringComparison.Ordinal))
                .Append($"/book/job/{bench.Job}#checks")
                .Append($"/book/job/{bench.Job}#form")
        )
        {
            await page.GotoAsync(bench.Origin + address);
            await ChromiumFixture.Until(page, "document.querySelector('.book-table, .book .warning') !== null");
            if (address.EndsWith("#checks", StringComparison.Ordinal))
                await page.Keyboard.PressAsync("ArrowRight");
            if (address.EndsWith("#form", StringComparison.Ordinal))
                await page.Keyboard.PressAsync("e");
            if (address.Contains("/field/", StringComparison.Ordinal))
                await ChromiumFixture.Until(page, "document.querySelectorAll('.plots img').length > 3", 40);
            await page.WaitForTimeoutAsync(150);
            var wide = await page.EvaluateAsync<int>("document.documentElement.scrollWidth - document.documentElement.clientWidth");
            if (wide > 0)
                faults.Add($"{address} is {wide} px wider than the screen");
            var small = await page.EvaluateAsync<string>(SmallLetters);
            if (small.Length > 0)
                faults.Add($"{address}: letters in a picture under 12 px: {small}");
            var broken = await page.EvaluateAsync<string>(BrokenDays);
            if (broken.Length > 0)
                faults.Add($"{address}: a day is broken over two lines: {broken}");
            await page.EvaluateAsync(await File.ReadAllTextAsync(Axe, TestContext.Current.CancellationToken));
            var found = await page.EvaluateAsync<JsonElement>(
                "axe.run().then(r => r.violations.filter(v => v.impact === 'serious' || v.impact === 'critical').map(v => v.id + ': ' + v.nodes.slice(0, 3).map(n => n.html).join(' | ')))"
            );
            faults.AddRange(found.EnumerateArray().Select(f => $"{address}: {f.GetString()}"));
            var name =
                address.Split('?')[0].Split('/')[2] + (address.Contains('#', StringComparison.Ordinal) ? "-" + address.Split('#')[1] : "");
            await chromium.Picture(page, $"book-{width}-{name}");
        }

        Assert.Empty(faults);
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }
}
