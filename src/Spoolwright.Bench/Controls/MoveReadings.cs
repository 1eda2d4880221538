using System.Text.Json;
using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Controls;

/// <summary>
/// Reads one round of readings: the name of a file that <c>measure … --json</c> printed, or a list of such names and of typed readings
/// <c>{ "quantity": …, "value": …, "uncertainty": … }</c>.
/// </summary>
internal sealed class MoveReadings(IReadOnlyList<TurnTarget> targets, Func<string, string?> measured, ProblemList problems)
{
    private const double SameToneWithin = 0.03;
    private static readonly NumberRange Figure = new(-1e6, 1e6, "");
    private static readonly string[] Channels = ["both", "left", "right"];

    private readonly record struct Entry(
        string Quantity,
        double Value,
        double? Uncertainty,
        string Channel,
        double? FrequencyHz,
        string? FileOfUnknownSide = null
    );

    /// <summary>A reading for each target, or null with problems.</summary>
    public IReadOnlyList<ControlReading>? Read(JsonPart part)
    {
        var entries = new List<Entry>();
        foreach (var item in part.Kind == JsonKind.Array ? part.Items : [part])
        {
            if (item.Kind == JsonKind.Text)
                entries.AddRange(FromFile(item));
            else if (Typed(item) is { } entry)
                entries.Add(entry);
        }

        var found = new List<ControlReading>();
        foreach (var target in targets)
        {
            var fitting = entries.Where(e => Fits(e, target)).ToList();
            if (fitting is [{ FileOfUnknownSide: { } file }])
                problems.Error(
                    part,
                    $"{Quoted.Text(file)} does not say on which side of the bias peak {Quoted.Bare(target.Quantity)}{Where(target)} lies: measure it with 1 kHz beside the tone, or type it here, negative where the bias is too low"
                );
            else if (fitting.Count == 1)
                found.Add(new ControlReading(fitting[0].Value, fitting[0].Uncertainty));
            else if (!problems.HasErrors || fitting.Count > 1)
                problems.Error(
                    part,
                    $"{(fitting.Count == 0 ? "no reading" : "more than one reading")} of {Quoted.Bare(target.Quantity)}{Where(target)} here; each target needs one"
                );
        }

        return found.Count == targets.Count ? found : null;
    }

    private static string Where(TurnTarget target) =>
        (target.Channel == Channel.Both ? "" : $", {Channels[(int)target.Channel]}")
        + (target.FrequencyHz is { } hz ? $", {Quoted.Number(hz)} Hz" : "");

    // A typed reading that names no channel or tone means the target's.
    private static bool Fits(Entry entry, TurnTarget target) =>
        entry.Quantity == target.Quantity
        && (entry.Channel.Length == 0 || entry.Channel == Channels[(int)target.Channel])
        && (target.FrequencyHz is not { } hz || entry.FrequencyHz is not { } at || Math.Abs(at / hz - 1) <= SameToneWithin)
        && (target.FrequencyHz is not null || entry.FrequencyHz is null);

    private Entry? Typed(JsonPart part)
    {
        if (
            ObjectFields.Of(part, problems, "a reading {\"quantity\": …, \"value\": …, \"uncertainty\": …} or the name of a file")
            is not { } fields
        )
            return null;
        var quantity = fields.Text("quantity", required: true);
        var value = fields.Number("value", Figure, required: true);
        var uncertainty = fields.Number("uncertainty", new NumberRange(0, 1e6, ""));
        var channel = fields.Word("channel", Channels);
        var hz = fields.Number("frequencyHz", NumberRange.Positive(200_000, "Hz"));
        fields.ReportUnknown(FileProblemSeverity.Warning);
        if (quantity is not null && !targets.Any(t => t.Quantity == quantity))
            problems.Warning(
                part,
                $"no target has the quantity {Quoted.Text(quantity)}{NearestWord.Question(quantity, targets.Select(t => t.Quantity))}"
            );
        return quantity is null || value is null ? null : new Entry(quantity, value.Value, uncertainty, channel ?? "", hz);
    }

    private List<Entry> FromFile(JsonPart part)
    {
        var entries = new List<Entry>();
        if (measured(part.Text) is not { } text)
        {
            problems.Error(part, $"the file {Quoted.Text(part.Text)} cannot be read; names count from the folder of this file");
            return entries;
        }

        try
        {
            using var document = JsonDocument.Parse(text);
            foreach (var reading in document.RootElement.GetProperty("readings").EnumerateArray())
            {
                var value = reading.GetProperty("value").GetDouble();
                if (!double.IsFinite(value) || Math.Abs(value) > 1e6)
                    throw new FormatException();
                var entry = new Entry(
                    reading.GetProperty("quantity").GetString() ?? "", value, Number(reading, "uncertainty"),
                    reading.TryGetProperty("channel", out var channel) ? channel.GetString() ?? "" : "", Number(reading, "frequencyHz"));
                entries.Add(entry.Quantity == Quantity.Overbias.Id ? Signed(entry, reading, part.Text) : entry);
            }
        }
        catch (Exception e)
            when (e is JsonException or KeyNotFoundException or InvalidOperationException or ArgumentException or FormatException)
        {
            problems.Error(part, $"the file {Quoted.Text(part.Text)} is not what measure … --json prints");
        }

        return entries;
    }

    // Drops are positive numbers on either side of the peak; the class says which. The way to the peak counts as negative here.
    private static Entry Signed(Entry entry, JsonElement reading, string file)
    {
        var side = reading.TryGetProperty("class", out var word) && word.ValueKind == JsonValueKind.String ? word.GetString() : null;
        return side switch
        {
            "over" or "at-peak" => entry,
            "under" => entry with { Value = -Math.Abs(entry.Value) },
            _ => entry.Value < 0 ? entry : entry with { FileOfUnknownSide = file },
        };
    }

    private static double? Number(JsonElement element, string name)
    {
        if (!element.TryGetProperty(name, out var member) || member.ValueKind == JsonValueKind.Null)
            return null;
        var number = member.GetDouble();
        return number is >= 0 and <= 1e6 ? number : throw new FormatException();
    }
}
