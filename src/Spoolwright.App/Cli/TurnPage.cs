using System.Globalization;
using Spoolwright.Bench.Controls;

namespace Spoolwright.App.Cli;

/// <summary>Writes the advice for a person: what to do, what to expect, where it has been, what is known of the controls.</summary>
internal static class TurnPage
{
    public static void Write(Adjustment adjustment, TurnAdvice advice, Terminal terminal)
    {
        var to = terminal.Output;
        TextLayout.WriteParagraph(to, $"{Headline(advice)}: {advice.Reason}.", terminal.Width);
        if (advice.Turns.Count > 0)
        {
            Rows(terminal, "Turn", advice.Turns.Select(t => new HelpRow(t.Control.Name, Turn(t))));
            Rows(
                terminal,
                "Expect",
                advice.Expected.Select(e => new HelpRow(
                    Name(e.Target),
                    $"{UncertainFigure.Format(e.Value, e.Spread)} {e.Target.Unit}, to lie {Limits(e.Target)}"
                ))
            );
        }

        Rows(
            terminal,
            "So far",
            TurnTrail
                .Of(adjustment)
                .Select(p => new HelpRow(
                    p.Move == 0 ? "as found" : string.Create(CultureInfo.InvariantCulture, $"move {p.Move}"),
                    string.Join(
                        "; ",
                        adjustment.Targets.Select(
                            (t, i) =>
                                $"{Name(t)} {UncertainFigure.Format(p.Readings[i].Value, p.Readings[i].Uncertainty)} {t.Unit}, {ContractWords.Of(p.Verdicts[i]).Replace('-', ' ')}"
                        )
                    )
                ))
        );
        Rows(
            terminal,
            "Found out",
            advice
                .Effects.Where(e => e.Found)
                .Select(e => new HelpRow(
                    e.Control.Name,
                    $"{Name(e.Target)} {UncertainFigure.Format(e.PerUnit, e.Uncertainty)} {e.Target.Unit} for {e.Control.Unit.Say(1)}"
                ))
                .Concat(
                    advice.Backlash.Select(b => new HelpRow(
                        b.Control.Name,
                        $"a change of direction loses {UncertainFigure.Format(b.Amount, b.Uncertainty)} {b.Control.Unit.Label}"
                    ))
                )
        );
        foreach (var note in advice.Notes)
            TextLayout.WriteParagraph(terminal.Error, $"{ContractWords.Of(note.Severity)}: {note.Text}", terminal.Width);
    }

    private static string Headline(TurnAdvice advice) => advice.Outcome switch
    {
        TurnOutcome.Turn => "Turn, then measure",
        TurnOutcome.Met => "Done",
        TurnOutcome.MeasureAgain => "Turn nothing, measure again",
        TurnOutcome.EndStop => "Stop, the range ends",
        TurnOutcome.NoEffect => "Stop, no effect",
        _ => "It cannot be said",
    };

    private static string Turn(ControlTurn turn)
    {
        var unit = turn.Control.Unit;
        var legs = string.Join(", then back ", turn.Legs.Select(unit.Say));
        return $"{legs}: from {unit.SayPlace(turn.From)} to {unit.SayPlace(turn.To)}";
    }

    private static string Name(TurnTarget target) =>
        target.Quantity
        + (target.FrequencyHz is { } hz ? $" at {UncertainFigure.Plain(hz)} Hz" : "")
        + (target.Channel == Bench.Channel.Both ? "" : $", {ContractWords.Of(target.Channel)}");

    private static string Limits(TurnTarget target) => (target.Min, target.Max) switch
    {
        ({ } min, { } max) => $"between {UncertainFigure.Plain(min)} and {UncertainFigure.Plain(max)}",
        ({ } min, _) => $"at {UncertainFigure.Plain(min)} or more",
        (_, { } max) => $"at {UncertainFigure.Plain(max)} or less",
        _ => "anywhere",
    };

    private static void Rows(Terminal terminal, string heading, IEnumerable<HelpRow> rows)
    {
        var all = rows.ToList();
        if (all.Count == 0)
            return;
        terminal.Output.WriteLine();
        terminal.Output.WriteLine(heading);
        TextLayout.WriteColumns(terminal.Output, all, terminal.Width);
    }
}
