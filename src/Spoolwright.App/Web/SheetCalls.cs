using System.Text;
using System.Text.Json;
using Microsoft.AspNetCore.Http;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Measurements.Typed;
using Spoolwright.Bench.Service;
using Spoolwright.Signal;
using Spoolwright.Storage;

namespace Spoolwright.App.Web;

/// <summary>Readings typed in from gauge and stopwatch: measured as <c>measure tension SHEET</c> does, and filed where the page says under
/// which mark.</summary>
internal sealed class SheetCalls(BookShelf shelf)
{
    /// <summary>Measures a sheet, and files it.</summary>
    public async Task Measure(HttpContext context)
    {
        using var asked = await WebJson.Body(context).ConfigureAwait(false);
        var root = asked.RootElement;
        try
        {
            await Measured(context, root).ConfigureAwait(false);
        }
        catch (Exception e) when (e is CannotMeasureException or ServiceBookException or Cli.CallException or ArgumentException)
        {
            await WebJson.Refuse(context, e.Message).ConfigureAwait(false);
        }
    }

    /// <summary>Notes something that has no screw on a desk, such as a bent tension arm: it puts in doubt what hangs on it. Answered once it
    /// stands in the book, so that whoever looks next sees it.</summary>
    public async Task Adjusted(HttpContext context)
    {
        using var asked = await WebJson.Body(context).ConfigureAwait(false);
        var root = asked.RootElement;
        try
        {
            var what = WebJson.Text(root, "what") ?? "";
            if (!Doubt.All.Any(d => d.Adjustment == what))
                throw new Cli.CallException($"There is no adjustment \"{what}\".");
            var (file, profile) = shelf.Job(Guid.Parse((string)context.Request.RouteValues["job"]!));
            var speed = WebJson.Number(root, "speed") ?? profile?.SpeedsCmPerS[^1] ?? 19.05;
            var setting = WebJson.Text(root, "setting") is { Length: > 0 } word ? word : null;
            var direction = DeckWords.FindDirection(WebJson.Text(root, "direction")) ?? Direction.Forward;
            shelf.Adjusted.Add(file.Job.Id, what, new Condition(direction, speed, setting));
            await WebJson.Send(context, json => json.WriteBoolean("noted", true)).ConfigureAwait(false);
        }
        catch (Exception e) when (e is ServiceBookException or Cli.CallException or ArgumentException)
        {
            await WebJson.Refuse(context, e.Message).ConfigureAwait(false);
        }
    }

    private Task Measured(HttpContext context, JsonElement root)
    {
        if (Catalogue.Find((string)context.Request.RouteValues["id"]!) is not { MeasureSheet: not null } entry)
            return WebJson.Refuse(context, "There is no such measurement that is typed in.");
        var text = root.TryGetProperty("sheet", out var written) ? written.GetRawText() : "{}";
        var parsed = BenchSheetFile.Parse(text);
        if (parsed.Value is not { } sheet)
            return WebJson.Refuse(context, parsed.Errors.First().Text);
        Guid? job = Guid.TryParse(WebJson.Text(root, "job"), out var id) ? id : null;
        var profile = job is { } known ? shelf.Job(known).Profile : null;
        var direction = DeckWords.FindDirection(WebJson.Text(root, "direction")) ?? Direction.Forward;
        var speed = WebJson.Number(root, "speed") ?? profile?.SpeedsCmPerS[^1] ?? 19.05;
        var settings = new SheetSettings { Gauges = Gauges(root), Profile = profile, Direction = direction, SpeedCmPerS = speed };
        var bytes = Encoding.UTF8.GetBytes(text);
        var limits = profile?.Limits ?? [];
        var measured = SheetMeasurement.Run(entry, $"{entry.Id}.json", bytes, sheet, settings, limits);
        string? kept = null;
        if (WebJson.Text(root, "mark") is { Length: > 0 } mark)
        {
            if (job is not { } filed)
                return WebJson.Refuse(context, "Readings are filed under a deck: choose one first (key 1).");
            var under = new FiledUnder(
                filed,
                new Condition(direction, speed),
                mark switch
                {
                    "as-found" => Mark.AsFound,
                    "first-run" => Mark.FirstRun,
                    _ => Mark.AsLeft,
                },
                Supersede: true
            );
            var earlier = Filer.File(shelf, under, measured, limits, () => new MemoryStream(bytes), Instruments(entry, settings));
            kept = earlier is null
                ? "Kept and filed."
                : $"Kept and filed; it takes the place of the one of {earlier.MeasuredAt.ToLocalTime():HH:mm}.";
        }

        return WebJson.Send(context, json =>
        {
            json.WriteString("kept", kept);
            PictureJson.WriteMeasured(json, measured);
        });
    }

    private static IReadOnlyList<GaugeCurve> Gauges(JsonElement root)
    {
        if (WebJson.Text(root, "gauge") is not { Length: > 0 } text)
            return [];
        var parsed = GaugeFile.Parse(text);
        return parsed.Value is { } gauge
            ? [new GaugeCurve(gauge)]
            : throw new Cli.CallException("The gauge's file cannot be used: " + parsed.Problems[0]);
    }

    private static IReadOnlyList<Instrument> Instruments(MeasurementEntry entry, SheetSettings settings) =>
        settings.Gauges.Count > 0
            ?
            [
                .. settings.Gauges.Select(g => new Instrument(
                    $"{g.Gauge.Kind.ToString().ToLowerInvariant()}-gauge",
                    g.Gauge.Name,
                    "through its own curve"
                )),
            ]
            : [new Instrument(entry.Id == "wind-time" ? "stopwatch" : "gauge", "of the bench", "as written, no curve given")];
}
