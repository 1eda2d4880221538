using System.Globalization;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Causes;
using Spoolwright.Reports;

namespace Spoolwright.App.Cli;

/// <summary>Writes an explanation for a person: causes, evidence for and against, what is left open, what to check next.</summary>
internal static class ExplainPage
{
    private const int MostEvidence = 4;
    private const int MostFindings = 8;

    public static void Write(
        Explanation explanation,
        ExplainRequest request,
        IReadOnlyList<CauseMended> mended,
        CauseDesk? desk,
        Terminal terminal
    )
    {
        var to = terminal.Output;
        void Say(string text, int indent = 0) => TextLayout.WriteParagraph(to, text, terminal.Width, indent);
        Say(
            string.Create(
                CultureInfo.InvariantCulture,
                $"{Headline(explanation)} ({explanation.Figures} figures of {request.Measured.Count} measurements were weighed.)"
            )
        );
        if (request.Profile is null)
            Say(
                "No profile was given: the lines of turning parts are left out, and usual tracks and equalizations were taken. --profile makes more of the readings."
            );
        foreach (var (finding, n) in explanation.Findings.Take(MostFindings).Select((f, i) => (f, i + 1)))
        {
            to.WriteLine();
            Say($"{n.ToString(CultureInfo.InvariantCulture)}. {Percent(finding.Probability)}  {finding.Name}{Where(finding.Place)}");
            foreach (var line in Lines(finding))
                Say(line, 4);
        }

        if (explanation.Unnamed.Count > 0)
        {
            to.WriteLine();
            foreach (var (place, probability) in explanation.Unnamed)
                Say($"Something that no cause here describes bends the response{Where(place)}: {Percent(probability)}.");
        }

        if (mended.Count > 0)
        {
            to.WriteLine();
            Say("After the mend:");
            foreach (var m in mended)
                Say(
                    $"{m.Word}: {m.Finding.Name}{Where(m.Finding.Place)}; {Percent(m.Finding.Probability)} as found, {m.After.Words}{(m.TaskDone is { } task ? $"; done: {task}" : "")}",
                    4
                );
        }

        to.WriteLine();
        if (explanation.Unexplained is { } open)
            Say($"Of what is off, the likeliest causes leave {Percent(open)} unexplained.");
        if (explanation.Check is { } next)
            Say(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"Check next, for {next.Cause.Id}{Where(next.Of.Place)} ({next.Bits:0.0} bit to be had, {next.Cause.Check.Minutes:0} min): {next.Cause.Check.Text}"
                )
            );
        if (desk is not null)
            Say(Taught(desk));
        if (explanation.Findings.Count > 0)
            Say(
                "What is marked [memory] is known in the trade and was found in no document. A likely cause is no verdict on the deck: check before you mend."
            );
    }

    private static string Taught(CauseDesk desk)
    {
        var so = desk.SoFar is { } far
            ? $" {far}; call again to weigh more, or open the bench's pages, which weigh the others meanwhile."
            : "";
        return desk.Lessons.Taught switch
        {
            0 when so.Length > 0 => $"How often causes are met is the program's own guess.{so}",
            0 => "How often causes are met is the program's own guess: no finished job of this book was measured as found and as left.",
            var jobs => string.Create(
                CultureInfo.InvariantCulture,
                $"{jobs:N0} finished job{(jobs == 1 ? "" : "s")} of this book taught how often each cause is met.{so}"
            ),
        };
    }

    private static string Headline(Explanation explanation) => explanation.Word switch
    {
        ExplanationWord.Named => "These causes are likelier than not, the likeliest first.",
        ExplanationWord.NothingFound => $"Nothing found: with {Percent(explanation.Sound)} none of the causes known here is at work.",
        _ => "Not enough to tell: something is off, and no cause is likelier than not.",
    };

    private static IEnumerable<string> Lines(CauseFinding finding)
    {
        yield return $"{CausesSection.AmountOf(finding)}; takes up {Percent(finding.Explains)} of what is off there";
        if (finding.Causes.Count > 1)
            yield return $"these readings cannot tell {string.Join(" from ", finding.Causes.Select(c => c.Id))}: they change the same figures in the same way";
        foreach (var evidence in finding.For.Take(MostEvidence))
            yield return "+ " + Evidence(evidence);
        if (finding.For.Count > MostEvidence)
            yield return CausesSection.More(finding.For.Count - MostEvidence) is { } more ? $"+ {more}" : "";
        foreach (var evidence in finding.Against.Take(MostEvidence))
            yield return "− " + Evidence(evidence);
        foreach (var cause in finding.Causes)
        {
            yield return $"against {cause.Id} would speak: {cause.Against}";
            yield return $"to tell: {cause.Check.Text}";
            yield return $"to mend: {cause.Task}";
            yield return $"rests on: {Basis(cause)}";
            foreach (var row in cause.Symptoms)
                yield return $"the trade says: {row}";
        }
    }

    private static string Evidence(CauseEvidence evidence) => string.Create(
        CultureInfo.InvariantCulture,
        $"{evidence.Figure.Words}: {CausesSection.Shown(evidence.Figure)}, {Math.Abs(evidence.Off):0.0} times what sound decks spread; with this cause {Math.Abs(evidence.OffWith):0.0}");

    private static string Basis(Cause cause)
    {
        var keys = string.Join(" ", cause.Sources.Select(s => $"[{s}]"));
        return cause.Basis switch
        {
            Bench.Standards.Basis.Published => keys,
            Bench.Standards.Basis.Practice => "common practice, no source",
            Bench.Standards.Basis.Computed => "calculated",
            _ => keys.Length > 0 ? $"[memory]; see also {keys}" : "[memory]",
        };
    }

    private static string Where(CausePlace place) => place.Words.Length == 0 ? "" : $" ({place.Words})";

    private static string Percent(double share) => CausesSection.Percent(share);
}
