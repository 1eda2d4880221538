using System.CommandLine;
using System.Text;
using System.Text.Json;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Measurements.Typed;
using Spoolwright.Bench.Tape;

namespace Spoolwright.App.Cli;

/// <summary>One call that measures typed readings, with its files read and its options held against each other.</summary>
internal sealed record SheetRequest(
    string? File,
    byte[] Bytes,
    BenchSheet Sheet,
    SheetSettings Settings,
    IReadOnlyList<Limit> Limits,
    OutputFormat Format
)
{
    /// <summary>Reads the request from the parsed call.</summary>
    /// <exception cref="CallException">A file cannot be read, or options do not go together.</exception>
    public static SheetRequest From(MeasurementEntry entry, ParseResult call, SheetOptions options)
    {
        var (json, csv) = (call.GetValue(options.Json), call.GetValue(options.Csv));
        if (json && csv)
            throw new CallException("--json and --csv exclude each other");
        var file = call.GetValue(options.File);
        var typed = Given(call, options.Reading) ?? [];
        if (file is null == (typed.Length == 0))
            throw new CallException(
                file is null
                    ? $"nothing to measure: give a sheet of readings, or --reading {options.Example}"
                    : "give either a sheet or --reading, not both"
            );
        var bytes = file is null ? [] : InputFiles.Bytes(file);
        var sheet = file is null ? FromCall(entry, call, options, typed) : FromFile(file, bytes, call, options);
        var profile = Given(call, options.Profile) is { } path ? InputFiles.Parsed(path, DeckProfileFile.Parse, "check-profile") : null;
        var gauges = (Given(call, options.Gauge) ?? [])
            .Select(g => new GaugeCurve(InputFiles.Parsed(g, GaugeFile.Parse, "check-gauge")))
            .ToList();
        if (gauges.GroupBy(g => g.Gauge.Kind).FirstOrDefault(g => g.Count() > 1) is { } twice)
            throw new CallException(
                $"--gauge: two gauges of the kind {twice.Key.ToString().ToLowerInvariant()} were given; which read what is not known"
            );
        var settings = new SheetSettings
        {
            Gauges = gauges,
            Profile = profile,
            Direction = DirectionOf(call, options, profile),
            SpeedCmPerS = SpeedOf(call, options, profile),
            TapeSetting = Given(call, options.TapeSetting),
            Unit = Given(call, options.Unit),
        };
        var limits = (profile?.Limits ?? []).Concat(call.GetValue(options.Limits) ?? []).ToList();
        return new SheetRequest(
            file,
            bytes,
            sheet,
            settings,
            limits,
            json ? OutputFormat.Json
                : csv ? OutputFormat.Csv
                : OutputFormat.Table
        );
    }

    private static BenchSheet FromFile(string file, byte[] bytes, ParseResult call, SheetOptions options)
    {
        Option[] ofOnePlace =
        [
            options.Reel,
            options.Fill,
            options.Mode,
            options.Turn,
            options.Criterion,
            options.Radius,
            options.TapeRadius,
        ];
        if (ofOnePlace.FirstOrDefault(o => call.GetResult(o) is not null) is { } stray)
            throw new CallException($"{stray.Name} goes with --reading; in a sheet it stands in the row");
        var sheet = InputFiles.ParsedText(file, InputFiles.TextOf(bytes), BenchSheetFile.Parse, "check-sheet");
        return sheet with { Tape = Given(call, options.Tape) ?? sheet.Tape };
    }

    // The call says what a sheet with one row would; it is read by the same reader, so that both are refused alike.
    private static BenchSheet FromCall(MeasurementEntry entry, ParseResult call, SheetOptions options, string[] typed)
    {
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer))
        {
            void text(string name, object? value)
            {
                if (value is not null)
                    json.WriteString(name, value.ToString());
            }

            json.WriteStartObject();
            text("tape", Given(call, options.Tape));
            text("hubRadius", Given(call, options.HubRadius));
            text("fullRadius", Given(call, options.FullRadius));
            text("tapeLength", Given(call, options.TapeLength));
            text("tapeThickness", Given(call, options.TapeThickness));
            text("reelRate", Given(call, options.ReelRate));
            text("windSpeed", Given(call, options.WindSpeed));
            json.WriteStartArray(entry.Id switch { "wind-time" => "windTime", "pinch-force" => "pinchForce", _ => entry.Id });
            json.WriteStartObject();
            text("reel", Given(call, options.Reel));
            text("fill", Given(call, options.Fill));
            text("mode", Given(call, options.Mode));
            text("turn", Given(call, options.Turn));
            text("criterion", Given(call, options.Criterion));
            text("radius", Given(call, options.Radius));
            text("tapeRadius", Given(call, options.TapeRadius));
            json.WriteStartArray("readings");
            foreach (var reading in typed)
                json.WriteStringValue(reading);
            json.WriteEndArray();
            json.WriteEndObject();
            json.WriteEndArray();
            json.WriteEndObject();
        }

        var parsed = BenchSheetFile.Parse(Encoding.UTF8.GetString(buffer.ToArray()));
        if (parsed.Value is { } sheet)
            return sheet;
        var problem = parsed.Errors.First();
        var option = problem.Path.Split('.')[^1].Split('[')[0] switch { "readings" => "--reading", var name => "--" + Kebab(name) };
        throw new CallException(problem.Text is "\"reel\" is missing" or "\"turn\" is missing"
            ? $"--{problem.Text.Split('"')[1]} is needed: {(problem.Text.Contains("turn", StringComparison.Ordinal) ? "unwind or wind" : options.Reel.HelpName!.Replace("|", " or ", StringComparison.Ordinal))}"
            : $"{option}: {problem.Text}");
    }

    // A field's name as its option is called.
    private static string Kebab(string name) => string.Concat(name.Select(c => char.IsUpper(c) ? $"-{char.ToLowerInvariant(c)}" : $"{c}"));

    private static Bench.Direction? DirectionOf(ParseResult call, SheetOptions options, DeckProfile? profile)
    {
        if (Given(call, options.Direction) is not { } word)
            return profile?.Directions is [var only] ? only : null;
        var direction =
            DeckWords.FindDirection(word)
            ?? throw new CallException($"--direction: \"{word}\" is neither {string.Join(" nor ", DeckWords.Directions)}");
        if (profile is not null && !profile.Directions.Contains(direction))
            throw new CallException($"--direction: {profile.Name} does not run {word}");
        return direction;
    }

    private static double? SpeedOf(ParseResult call, SheetOptions options, DeckProfile? profile)
    {
        if (Given(call, options.Speed) is not { } speed)
            return profile?.SpeedsCmPerS is [var only] ? only : null;
        return profile is null
            ? speed
            : TapeSpeed.Find(profile.SpeedsCmPerS, speed)
                ?? throw new CallException(FormattableString.Invariant($"--speed: {profile.Name} has no speed of {speed} cm/s"));
    }

    // An option that the entry does not take is not part of its command.
    private static T? Given<T>(ParseResult call, Option<T?> option) => call.GetResult(option) is null ? default : call.GetValue(option);
}
