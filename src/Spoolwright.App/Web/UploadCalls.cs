using System.Threading.Channels;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.Features;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Live;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;
using Spoolwright.Storage;

namespace Spoolwright.App.Web;

/// <summary>A sound file dropped on a page: taken in, measured as any file, told how far it is, a line of JSON at a time.</summary>
internal sealed class UploadCalls(BookShelf shelf)
{
    /// <summary>Largest file taken, bytes: two hours of 96 kHz, 24 bits, stereo.</summary>
    public const long LargestBytes = 4L << 30;

    /// <summary>Measures the body as the catalogue entry in the address, under the condition in the query.</summary>
    public async Task Measure(HttpContext context)
    {
        if (Catalogue.Find((string)context.Request.RouteValues["id"]!) is not { Measure: not null } entry)
        {
            await WebJson.Refuse(context, "There is no such measurement.").ConfigureAwait(false);
            return;
        }

        context.Features.Get<IHttpMaxRequestBodySizeFeature>()!.MaxRequestBodySize = LargestBytes;
        if (context.Request.ContentLength is not { } length || length > LargestBytes)
        {
            await WebJson.Refuse(context, "The file is too large: at most 4 GiB.").ConfigureAwait(false);
            return;
        }

        var path = shelf.NewArrival(context.Request.Query["name"].ToString());
        try
        {
            await using (var file = new FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.None, 1 << 18))
                await context.Request.Body.CopyToAsync(file, 1 << 18, context.RequestAborted).ConfigureAwait(false);
            context.Response.ContentType = "application/x-ndjson; charset=utf-8";
            await Run(context, entry, path).ConfigureAwait(false);
        }
        catch (ServiceBookException e)
        {
            await WebJson.Refuse(context, e.Message).ConfigureAwait(false);
        }
        finally
        {
            System.IO.File.Delete(path);
        }
    }

    private async Task Run(HttpContext context, MeasurementEntry entry, string path)
    {
        var query = context.Request.Query;
        var settings = Settings(entry, query);
        var steps = System.Threading.Channels.Channel.CreateBounded<double>(
            new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropOldest }
        );
        var measuring = Task.Run(() =>
        {
            try
            {
                return FileMeasurement.Run(entry, path, channels: null, settings, settings.Profile?.Limits ?? [], new Steps(steps.Writer));
            }
            finally
            {
                steps.Writer.Complete();
            }
        });
        await foreach (var step in steps.Reader.ReadAllAsync(context.RequestAborted).ConfigureAwait(false))
            await Line(context, json => json.WriteNumber("progress", step)).ConfigureAwait(false);
        try
        {
            var measured = await measuring.ConfigureAwait(false);
            var kept = File(query, path, measured, settings);
            await Line(context, json =>
            {
                WebJson.Number(json, "seconds", measured.Capture.Seconds);
                json.WriteString("kept", kept);
                PictureJson.WriteMeasured(json, measured);
            }).ConfigureAwait(false);
        }
        catch (Exception e)
            when (e is CannotMeasureException or ServiceBookException or Cli.CallException or IOException or ArgumentException)
        {
            await Line(context, json => json.WriteString("problem", e.Message)).ConfigureAwait(false);
        }
    }

    // Into the book only where the page was told so: a file dropped to be looked at leaves nothing behind.
    private string? File(IQueryCollection query, string path, MeasuredFile measured, MeasurementSettings settings)
    {
        if (query["keep"].ToString() is not { Length: > 0 } mark)
            return null;
        if (!Guid.TryParse(query["job"], out var job) || settings.Condition is not { } condition)
            throw new Cli.CallException("A capture is filed under a deck and its condition: choose a deck first.");
        var name = Path.GetFileName(query["name"].ToString());
        var under = new FiledUnder(
            job,
            condition,
            mark switch
            {
                "as-found" => Mark.AsFound,
                "first-run" => Mark.FirstRun,
                _ => Mark.AsLeft,
            },
            Supersede: true
        );
        var earlier = Filer.File(
            shelf,
            under,
            measured with
            {
                Capture = measured.Capture with
                {
                    File = name.Length is > 0 and < 200 ? name : Filer.Name(measured.Result.Measurement, condition),
                },
            },
            settings.Profile?.Limits ?? [],
            () => System.IO.File.OpenRead(path),
            Filer.Instruments(practice: false, settings.TestTape, "a sound file, taken in at the bench")
        );
        return earlier is null
            ? "Filed in the book."
            : $"Filed in the book; it takes the place of the one of {earlier.MeasuredAt.ToLocalTime():HH:mm}.";
    }

    private MeasurementSettings Settings(MeasurementEntry entry, IQueryCollection query)
    {
        Guid? job = Guid.TryParse(query["job"], out var id) ? id : null;
        var profile = job is { } known ? shelf.Job(known).Profile : null;
        var direction = DeckWords.FindDirection(query["direction"]);
        double? speed =
            double.TryParse(query["speed"], System.Globalization.CultureInfo.InvariantCulture, out var v) && v is > 1 and < 200 ? v : null;
        var setting = query["setting"].ToString() is { Length: > 0 } word ? word : null;
        var tape = query["tape"].ToString() is { Length: > 0 } text ? TestTapeFile.Parse(text).Value : null;
        var condition = direction is { } d && speed is { } s ? new Condition(d, s, setting) : null;
        return BenchSettings.Of(shelf, entry, job, condition, new LiveContext { Profile = profile, TestTape = tape });
    }

    private static async Task Line(HttpContext context, Action<System.Text.Json.Utf8JsonWriter> write)
    {
        await context.Response.Body.WriteAsync(WebJson.Bytes(write)).ConfigureAwait(false);
        await context.Response.Body.WriteAsync("\n"u8.ToArray()).ConfigureAwait(false);
        await context.Response.Body.FlushAsync().ConfigureAwait(false);
    }

    private sealed class Steps(ChannelWriter<double> to) : IProgress<double>
    {
        public void Report(double value) => to.TryWrite(value);
    }
}
