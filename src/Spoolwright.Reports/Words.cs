using Spoolwright.Bench;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Reports;

/// <summary>The words a record uses for the program's types.</summary>
internal static class Words
{
    public static string Of(Verdict verdict) => verdict switch
    {
        Verdict.Met => "met",
        Verdict.NotProven => "not proven",
        Verdict.NotMet => "not met",
        _ => "not measured",
    };

    /// <summary>The verdict with its margin, such as <c>met by 0.45</c>, <c>not met by 1.5</c>, <c>not proven, 0.2 outside</c>.</summary>
    public static string WithMargin(Judgement judgement, string unit)
    {
        if (judgement.Margin is not { } margin)
            return Of(judgement.Verdict);
        string size = Figures.Margin(margin, unit);
        return judgement.Verdict == Verdict.NotProven ? $"not proven, {size} {(margin < 0 ? "outside" : "inside")}"
            : $"{Of(judgement.Verdict)} by {size}";
    }

    /// <summary>The verdict as a program reads it.</summary>
    public static string Id(Verdict verdict) => Of(verdict).Replace(' ', '-');

    /// <summary>The mark as a program reads it.</summary>
    public static string Id(Mark mark) => mark switch { Mark.AsFound => "as-found", Mark.FirstRun => "first-run", _ => "as-left" };

    public static string Of(Mark mark) => mark switch
    {
        Mark.AsFound => "as found",
        Mark.FirstRun => "first run, after cleaning",
        _ => "as left",
    };

    public static string Of(Direction direction) => direction == Direction.Forward ? "forward" : "reverse";

    public static string Of(Channel channel) => channel switch { Channel.Left => "left", Channel.Right => "right", _ => "both" };

    public static string Of(Condition condition) =>
        $"{Of(condition.Direction)}, {Figures.Speed(condition.SpeedCmPerS)}"
            + (condition.TapeSetting is { } tape ? $", {tape}" : string.Empty);

    /// <summary>Several conditions in a line: directions and speeds that go alike are named once.</summary>
    public static string Of(IEnumerable<Condition> conditions) =>
        string.Join(
            "; ",
            conditions
                .GroupBy(c => c.Direction)
                .Select(d => (Direction: Of(d.Key), At: Speeds(d)))
                .GroupBy(d => d.At)
                .Select(g =>
                    g.Count() == 1
                        ? $"{g.First().Direction} at {g.Key}"
                        : $"{string.Join(" and ", g.Select(d => d.Direction))}, each at {g.Key}"
                )
        );

    private static string Speeds(IEnumerable<Condition> conditions)
    {
        var speeds = conditions
            .GroupBy(c => c.SpeedCmPerS)
            .Select(s =>
                (Speed: Figures.Speed(s.Key), Settings: string.Join(" and ", s.Select(c => c.TapeSetting).OfType<string>().Distinct()))
            )
            .ToList();
        return speeds.Select(s => s.Settings).Distinct().Count() == 1
            ? string.Join(" and ", speeds.Select(s => s.Speed))
                + (speeds[0].Settings is { Length: > 0 } all ? $", tape setting {all}" : string.Empty)
            : string.Join(" and ", speeds.Select(s => s.Settings.Length > 0 ? $"{s.Speed} (tape setting {s.Settings})" : s.Speed));
    }

    public static string Quantity(string id) => Bench.Quantity.Find(id)?.Name ?? Capital(id.Replace('-', ' '));

    public static string Quantity(string id, Channel channel) => channel == Channel.Both ? Quantity(id) : $"{Quantity(id)}, {Of(channel)}";

    public static string Measurement(string id) => Bench.Measurements.Catalogue.Find(id)?.Name ?? Capital(id.Replace('-', ' '));

    /// <summary>Place or class of a figure for people. Past its peak is where bias belongs: that goes without saying.</summary>
    public static string? Where(string? place) => place switch
    {
        "over" => null,
        "under" => "before the peak",
        "at-peak" => "at the peak",
        "side-unknown" => "side not known",
        _ => place,
    };

    public static string Part(string name) => name.Replace('-', ' ');

    public static string InstrumentKind(string kind) => Capital(kind.Replace('-', ' '));

    public static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];

    /// <summary>A limit in words, such as <c>−0.2 to +0.2 %</c>, <c>at most 0.07 %</c>, or its mask at one tone.</summary>
    public static string Of(Limit limit, string unit, double? atHz = null)
    {
        if (limit.Mask.Count > 0)
        {
            // Where two steps touch, the tone must keep to both.
            var steps = limit.Mask.Where(m => atHz >= m.FromHz && atHz <= m.ToHz).ToList();
            return steps.Count == 0
                ? "mask, see plot"
                : Figures.Join(
                    $"{Figures.Plain(steps.Max(s => s.MinDb), sign: true)} to {Figures.Plain(steps.Min(s => s.MaxDb), sign: true)}",
                    unit
                );
        }

        return (limit.Min, limit.Max) switch
        {
            ({ } min, { } max) when min == -max => Figures.Join($"±{Figures.Plain(max)}", unit),
            ({ } min, { } max) when min > 0 => Figures.Join($"{Figures.Plain(min)} to {Figures.Plain(max)}", unit),
            ({ } min, { } max) => Figures.Join($"{Figures.Plain(min, sign: true)} to {Figures.Plain(max, sign: true)}", unit),
            (null, { } max) => Figures.Join($"at most {Figures.Plain(max)}", unit),
            ({ } min, null) => Figures.Join($"at least {Figures.Plain(min)}", unit),
            _ => "none",
        };
    }
}
