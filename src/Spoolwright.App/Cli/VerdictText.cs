using Spoolwright.Bench;
using Spoolwright.Bench.Limits;

namespace Spoolwright.App.Cli;

/// <summary>Verdicts and limits in words. A mark and a word always, a colour on top: never colour alone.</summary>
internal static class VerdictText
{
    public static string Word(Verdict verdict) => verdict switch
    {
        Verdict.Met => "met",
        Verdict.NotProven => "not proven",
        Verdict.NotMet => "not met",
        _ => "not measured",
    };

    /// <summary>Mark and word, as markup of the console.</summary>
    public static string Marked(Verdict verdict) => verdict switch
    {
        Verdict.Met => "[green]✓ met[/]",
        Verdict.NotProven => "[yellow]? not proven[/]",
        Verdict.NotMet => "[red]✗ not met[/]",
        _ => "[grey]– not measured[/]",
    };

    /// <summary>The limit as it speaks of this reading: <c>±3</c>, <c>≤ 0.1</c>, <c>≥ 40</c>, <c>-3 to 2</c>.</summary>
    public static string Limit(Reading reading, Limit limit) => Judge.Interval(reading, limit) switch
    {
        (null, { } max) => $"≤ {UncertainFigure.Plain(max)}",
        ({ } min, null) => $"≥ {UncertainFigure.Plain(min)}",
        ({ } min, { } max) when Math.Abs(min + max) < 1e-9 * Math.Abs(max) => $"±{UncertainFigure.Plain(max)}",
        ({ } min, { } max) => $"{UncertainFigure.Plain(min)} to {UncertainFigure.Plain(max)}",
        _ => "",
    };
}
