using System.Globalization;
using System.Text;
using System.Text.Json;
using Spoolwright.App.Desk;
using Spoolwright.Bench;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;
using Spoolwright.Reports;

namespace Spoolwright.App.Web.Book;

/// <summary>What ails a job's deck, why, and whether it was right; how often each cause is met; what a person sees and hears.</summary>
internal sealed class CausePages(CauseLearner learner)
{
    private const int MostEvidence = 6;
    private const int MostFindings = 14;

    /// <summary>A job's causes; the address may name the cell that was asked from, and priors set by hand.</summary>
    public BookPage Of(BookVisit v)
    {
        var desk = Desk(v);
        var (ailments, file) = desk.Of(v.Id("job"), Knowledge(v, desk));
        var (said, section) = (ailments.Found, CausesSection.Of(ailments));
        var cell = CellOf(v, said);
        var findings = (cell is { } c ? c.Findings.Concat(said.Findings.Except(c.Findings)) : said.Findings).Take(MostFindings).ToArray();
        var touching = cell?.Findings.ToHashSet() ?? [];
        var mended = desk.Mended(file.Job.Id, ailments);
        return new BookPage($"What ails {file.Deck.ProfileName}, {file.Deck.SerialNumber}")
        {
            Lines =
            [
                section.InShort
                    + (
                        section.Unexplained is { } open
                            ? $" Of what is off, the likeliest leave {CausesSection.Percent(open)} unexplained."
                            : ""
                    ),
                .. SoFar(desk),
                .. section.Open is { } strange ? [strange] : Array.Empty<string>(),
                .. cell is { } at ? [CellLine(at.Words, at.Findings)] : Array.Empty<string>(),
                .. said.Check is { } next
                    ?
                    [
                        string.Create(
                            CultureInfo.InvariantCulture,
                            $"Check next ({next.Cause.Check.Minutes:0} min), for {next.Cause.Name.ToLowerInvariant()}{Where(next.Of.Place)}: {next.Cause.Check.Text}"
                        ),
                    ]
                    : Array.Empty<string>(),
            ],
            Links =
            [
                new("how often each is met", "/book/causes"),
                new("what you see and hear", "/book/symptoms"),
                new("the job", $"/book/job/{file.Job.Id}"),
                new("record", $"/record/{file.Job.Id}#causes", Apart: true),
            ],
            Tables =
            [
                new PageTable(
                    "causes",
                    "Likely causes",
                    [
                        new("share", "Likely"),
                        new("cause", "Cause"),
                        new("where", "Where"),
                        new("amount", "How much"),
                        new("rests_on", "Rests on"),
                    ],
                    [
                        .. findings.Select(f => new PageRow(
                            [
                                CausesSection.Percent(f.Probability),
                                f.Name + (touching.Contains(f) ? " ◂ the cell" : ""),
                                f.Place.Words.Length > 0 ? f.Place.Words : "the whole deck",
                                CausesSection.AmountOf(f),
                                CausesSection.RestsOn(f),
                            ],
                            IdOf(f)
                        )),
                    ]
                )
                {
                    Empty = "No cause known here is likelier after the readings than it was before.",
                },
                new PageTable(
                    "mended",
                    "After the mend: was it right?",
                    [
                        new("cause", "Cause"),
                        new("where", "Where"),
                        new("found", "As found"),
                        new("left", "As left"),
                        new("task", "Task done"),
                        new("right", "Was it right?", ColumnKind.State),
                    ],
                    [
                        .. mended.Select(m => new PageRow([
                            m.Finding.Name,
                            m.Finding.Place.Words,
                            CausesSection.Percent(m.Finding.Probability),
                            m.After.Words,
                            m.TaskDone,
                            m.Word,
                        ])),
                    ]
                )
                {
                    Empty = "No cause was named.",
                },
            ],
            More = json => WebJson.Array(json, "findings", findings, (json, f) => Write(json, ailments, f)),
        };
    }

    /// <summary>How often each cause is met: as the program has it, and as the shop's finished jobs have taught.</summary>
    public BookPage Priors(BookVisit v)
    {
        var desk = Desk(v);
        var set = SetBy(v);
        var (now, counts) = (Knowledge(v, desk), desk.Counts().ToDictionary(c => c.CauseId, StringComparer.Ordinal));
        return new BookPage("How often each cause is met")
        {
            Lines =
            [
                "A chance is meant per place: a direction, a channel, a setting. The program's own are common practice without a source, and worth 40 places already seen.",
                $"{desk.Lessons.Taught:N0} finished job{(desk.Lessons.Taught == 1 ? "" : "s")} measured as found and as left {(desk.Lessons.Taught == 1 ? "has" : "have")} taught this shop's own. A cause counts as met where it was named, its task was done, and the readings taken again leave it under 10 %.",
                .. SoFar(desk),
                .. set.Count > 0
                    ?
                    [
                        $"Set by hand on this bench: {string.Join(", ", set.Select(s => string.Create(CultureInfo.InvariantCulture, $"{s.Key} {100 * s.Value:0.##} %")))}.",
                    ]
                    : Array.Empty<string>(),
            ],
            Tables =
            [
                new PageTable(
                    "priors",
                    "Chances per place",
                    [
                        new("cause", "Cause"),
                        new("id", "Word"),
                        new("program", "Program, %", ColumnKind.Figures),
                        new("met", "Met", ColumnKind.Figures),
                        new("places", "Of places", ColumnKind.Figures),
                        new("now", "Now, %", ColumnKind.Figures),
                    ],
                    [
                        .. CauseBook
                            .Default.Causes.Zip(now.Causes)
                            .Select(p => new PageRow(
                                [
                                    p.First.Name,
                                    p.First.Id,
                                    Math.Round(100 * p.First.Prior, 2),
                                    counts.GetValueOrDefault(p.First.Id)?.Met ?? 0,
                                    counts.GetValueOrDefault(p.First.Id)?.Places ?? 0,
                                    Math.Round(100 * p.Second.Prior, 2),
                                ],
                                p.First.Id
                            )),
                    ]
                ),
            ],
            More = json =>
            {
                json.WriteNumber("finishedJobs", desk.Lessons.Finished);
                json.WriteNumber("weighedJobs", desk.Lessons.Weighed);
                json.WriteNumber("taughtJobs", desk.Lessons.Taught);
            },
        };
    }

    private CauseDesk Desk(BookVisit v)
    {
        var desk = new CauseDesk(v.Book);
        if (desk.SoFar is not null)
            learner.Begin();
        return desk;
    }

    private IEnumerable<string> SoFar(CauseDesk desk)
    {
        if (desk.SoFar is not { } far)
            yield break;
        var cannot = learner.Cannot;
        yield return cannot.Count > 0 && !learner.Works
            ? $"{far}; {cannot.Count} could not be: {cannot.Values.First()}"
            : $"{far}; the others are being weighed, and the chances move a little until then.";
    }

    private static string IdOf(CauseFinding finding) => $"{finding.Id} {finding.Place.Words}";

    private static string Where(CausePlace place) => place.Words.Length == 0 ? "" : $" ({place.Words})";

    private static IReadOnlyDictionary<string, double> SetBy(BookVisit v) =>
        CauseDesk.Set(v.Query("priors").Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries));

    private static CauseBook Knowledge(BookVisit v, CauseDesk desk)
    {
        try
        {
            return desk.Knowledge(SetBy(v));
        }
        catch (ArgumentException e)
        {
            throw new EntryException(e.Message.Split(" (Parameter")[0]);
        }
    }

    private static (string Words, IReadOnlyList<CauseFinding> Findings)? CellOf(BookVisit v, Explanation said)
    {
        if (v.Query("measurement") is not { Length: > 0 } measurement)
            return null;
        if (
            DeckWords.FindDirection(v.Query("direction")) is not { } direction
            || !double.TryParse(v.Query("speed"), NumberStyles.Float, CultureInfo.InvariantCulture, out var speed)
            || !(speed > 0)
        )
            throw new EntryException("the cell that was asked from is not known: its direction or speed is missing");
        var channel = v.Query("channel") switch { "left" => Channel.Left, "right" => Channel.Right, _ => Channel.Both };
        var condition = new Condition(direction, speed, v.Query("setting") is { Length: > 0 } setting ? setting : null);
        var words =
            $"{measurement}, {DeckWords.Word(direction)}, {speed.ToString("0.###", CultureInfo.InvariantCulture)} cm/s{(condition.TapeSetting is { } tape ? $", {tape}" : "")}{(channel == Channel.Both ? "" : channel == Channel.Left ? ", left" : ", right")}";
        return (words, CellCauses.Of(said, measurement, condition, channel));
    }

    private static string CellLine(string words, IReadOnlyList<CauseFinding> findings)
    {
        var named = findings.Where(f => f.Probability >= Explainer.Named).ToArray();
        return named.Length > 0
                ? $"Asked from {words}: {string.Join("; ", named.Select(f => $"{f.Name.ToLowerInvariant()}{Where(f.Place)} {CausesSection.Percent(f.Probability)}"))}."
            : findings.Count > 0 ? $"Asked from {words}: not enough to tell; what might be stands first."
            : $"Asked from {words}: none of the causes known here moves it; its limit may be tighter than what sound decks spread.";
    }

    private static void Write(Utf8JsonWriter json, Ailments ailments, CauseFinding f)
    {
        json.WriteString("id", IdOf(f));
        json.WriteString("name", f.Name);
        json.WriteString("where", f.Place.Words);
        json.WriteString("share", CausesSection.Percent(f.Probability));
        json.WriteString("explains", CausesSection.Percent(f.Explains));
        json.WriteBoolean("memory", f.FromMemory);
        json.WriteString(
            "apart",
            f.Causes.Count > 1
                ? $"These readings cannot tell {string.Join(" from ", f.Causes.Select(c => c.Name.ToLowerInvariant()))}: they change the same figures in the same way."
                : null
        );
        PageSender.Words(json, "speaksFor", f.For.Take(MostEvidence).Select(Said));
        PageSender.Words(json, "against", f.Against.Take(MostEvidence).Select(Said));
        json.WriteNumber("moreFor", Math.Max(0, f.For.Count - MostEvidence));
        WebJson.Array(json, "causes", f.Causes, static (json, c) =>
        {
            json.WriteString("name", c.Name);
            json.WriteString("against", c.Against);
            json.WriteString("check", c.Check.Text);
            json.WriteString("task", c.Task);
            PageSender.Words(json, "symptoms", c.Symptoms);
        });
        WebJson.Array(json, "pictures", CausePicture.ForPage(ailments, f), static (json, p) =>
        {
            json.WriteString("caption", p.Caption);
            json.WriteString("says", p.Says);
            json.WriteString("src", "data:image/svg+xml;base64," + Convert.ToBase64String(Encoding.UTF8.GetBytes(p.Svg)));
        });
    }

    private static string Said(CauseEvidence e) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{CausesSection.Said(e)}: {Math.Abs(e.Off):0.0} spreads off, {Math.Abs(e.OffWith):0.0} with this cause"
        );
}
