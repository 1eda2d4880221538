using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Limits;

/// <summary>Reads the limits of a deck profile.</summary>
internal static class LimitFields
{
    private static readonly NumberRange Figure = new(-1e6, 1e6, "");
    private static readonly NumberRange FrequencyHz = NumberRange.Positive(200_000, "Hz");
    private static readonly NumberRange MaskDb = new(-200, 200, "dB");

    /// <summary>One limit, or null with its problems.</summary>
    public static Limit? Read(JsonPart part, DeckScope deck, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a limit {\"quantity\": …, \"max\": …, \"source\": …}") is not { } fields)
            return null;
        var quantity = Quantity(fields);
        var min = fields.Number("min", Figure);
        var max = fields.Number("max", Figure);
        var plusMinus = fields.Number("plusMinus", NumberRange.Positive(1e6, ""));
        var factor = Factor(fields, quantity);
        (min, max, plusMinus) = (min * factor, max * factor, plusMinus * factor);
        var maskPart = fields.Any("mask");
        var mask = ReadMask(fields, maskPart);
        var speed = deck.Speed(fields, "speedCmPerS");
        var direction = deck.DirectionWord(fields, "direction");
        var setting = deck.TapeSetting(fields);
        var frequency = fields.Number("frequencyHz", FrequencyHz);
        var source = fields.Text("source", required: true);
        fields.ReportUnknown();

        CheckShape(fields, quantity);
        if (min > max)
            problems.Error(fields.Any("min")!, $"min {Quoted.Number(min.Value)} lies above max {Quoted.Number(max.Value)}");
        if (frequency is not null && quantity is not null && !LimitSenses.PerTone(quantity))
            problems.Warning(
                fields.Any("frequencyHz")!,
                $"{quantity} is not read tone by tone: a limit with a frequency never finds a reading"
            );
        if (quantity is not null && LimitSenses.Of(quantity) == LimitSense.Magnitude && min is not null)
            problems.Warning(fields.Any("min")!, $"{quantity} has no sign: its lower limit is not judged");
        if (quantity is null || source is null)
            return null;
        if (plusMinus is { } figure)
        {
            var unsigned = LimitSenses.Of(quantity) == LimitSense.Magnitude;
            (min, max) = (unsigned ? null : -figure, figure);
        }

        return new Limit
        {
            Quantity = quantity,
            Min = min,
            Max = max,
            Mask = mask,
            SpeedCmPerS = speed,
            Direction = direction,
            TapeSetting = setting,
            FrequencyHz = frequency,
            Source = source,
        };
    }

    private static string? Quantity(ObjectFields fields)
    {
        var quantity = fields.Text("quantity", required: true);
        if (quantity is null || LimitSenses.Refusal(quantity) is not { } refusal)
            return quantity;
        fields.Problems.Error(fields.Any("quantity")!, refusal);
        return null;
    }

    // A limit may stand in the unit of its source, "unit": "N"; it is judged in the quantity's own.
    private static double Factor(ObjectFields fields, string? quantity)
    {
        if (fields.Text("unit") is not { } unit || quantity is null)
            return 1;
        if (LimitUnits.Factor(quantity, unit, out var problem) is { } factor)
            return factor;
        fields.Problems.Error(fields.Any("unit")!, problem!);
        return 1;
    }

    private static void CheckShape(ObjectFields fields, string? quantity)
    {
        var interval = fields.Any("min") is not null || fields.Any("max") is not null;
        var plusMinus = fields.Any("plusMinus");
        var mask = fields.Any("mask");
        var problems = fields.Problems;
        if (!interval && plusMinus is null && mask is null && (fields.Part.Closed || !problems.Unfinished))
            problems.Error(fields.Part, "the limit has no figure: give min, max, plusMinus or (for response) mask");
        if (plusMinus is not null && interval)
            problems.Error(plusMinus, "give either plusMinus or min and max, not both");
        if (mask is null)
            return;
        if (interval || plusMinus is not null)
            problems.Error(mask, "give either a mask or an interval, not both");
        if (quantity is not null && quantity != Bench.Quantity.Response.Id)
            problems.Error(mask, $"a mask holds for {Bench.Quantity.Response.Id} alone, not for {quantity}");
        if (fields.Any("frequencyHz") is { } frequency)
            problems.Error(frequency, "a mask carries its own frequencies; leave frequencyHz out");
    }

    private static List<MaskStep> ReadMask(ObjectFields limit, JsonPart? mask)
    {
        var problems = limit.Problems;
        var steps = new List<(JsonPart Part, MaskStep Step)>();
        var items = mask is null ? [] : limit.Items("mask");
        if (mask is { Kind: JsonKind.Array, Closed: true } && items.Count == 0)
            problems.Error(mask, "the mask has no step; expected [{\"fromHz\": …, \"toHz\": …, \"minDb\": …, \"maxDb\": …}, …]");
        foreach (var item in items)
        {
            if (Step(item, problems) is { } step)
                steps.Add((item, step));
        }

        var inOrder = steps.OrderBy(s => s.Step.FromHz).ToList();
        for (var i = 1; i < inOrder.Count; i++)
        {
            var (before, here) = (inOrder[i - 1].Step, inOrder[i].Step);
            if (here.FromHz < before.ToHz)
            {
                problems.Error(
                    inOrder[i].Part,
                    $"this step starts at {Quoted.Number(here.FromHz)} Hz, inside the step from {Quoted.Number(before.FromHz)} to {Quoted.Number(before.ToHz)} Hz; "
                    + "steps may touch, not overlap");
            }
        }

        return [.. inOrder.Select(s => s.Step)];
    }

    private static MaskStep? Step(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a step {\"fromHz\": …, \"toHz\": …, \"minDb\": …, \"maxDb\": …}") is not { } fields)
            return null;
        var from = fields.Number("fromHz", FrequencyHz, required: true);
        var to = fields.Number("toHz", FrequencyHz, required: true);
        var min = fields.Number("minDb", MaskDb, required: true);
        var max = fields.Number("maxDb", MaskDb, required: true);
        fields.ReportUnknown();
        if (from >= to)
            problems.Error(
                part,
                $"the step runs from {Quoted.Number(from.Value)} to {Quoted.Number(to.Value)} Hz; expected fromHz below toHz"
            );
        if (min > max)
            problems.Error(part, $"minDb {Quoted.Number(min.Value)} lies above maxDb {Quoted.Number(max.Value)}");
        return from < to && min <= max ? new MaskStep(from.Value, to.Value, min.Value, max.Value) : null;
    }
}
