using Spoolwright.Bench.Files;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Standards;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Decks;

/// <summary>Reads and writes the file that describes a kind of deck.</summary>
public static class DeckProfileFile
{
    private static readonly NumberRange TimeConstant = NumberRange.Positive(100_000, "µs");

    /// <summary>
    /// Reads a profile. Bad text never throws: every problem is listed with its line and column. Comments and trailing commas are allowed;
    /// a property that is not known is an error, since a limit that is silently not read would be taken as kept.
    /// </summary>
    /// <param name="json">The file's text.</param>
    public static ParsedFile<DeckProfile> Parse(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        var problems = new ProblemList();
        var root = LocatedJson.Read(json, problems);
        var profile = root is null ? null : Read(root, problems);
        return new ParsedFile<DeckProfile>(problems.HasErrors ? null : profile, problems.InOrder());
    }

    /// <summary>The profile as a file; <see cref="Parse"/> reads the same profile from it.</summary>
    public static string ToJson(DeckProfile profile) => DeckProfileWriter.Write(profile);

    private static DeckProfile? Read(JsonPart root, ProblemList problems)
    {
        if (
            ObjectFields.Of(root, problems, "a deck profile {\"name\": …, \"directions\": […], \"speedsCmPerS\": […], …}") is not { } fields
        )
            return null;
        var name = fields.Text("name", required: true);
        var deck = ReadScope(fields);
        var tracks = fields.Items("tracks").Select(t => (Part: t, Tracks: TrackFields.Read(t, deck, problems))).ToList();
        var drops = fields.Items("wantedDrops").Select(d => ReadDrop(d, deck, problems)).ToList();
        var equalizations = fields.Items("equalizations").Select(e => ReadEqualization(e, deck, problems)).ToList();
        var parts = RotatingPartFields.ReadAll(fields.Items("rotatingParts"), deck, problems);
        var limits = fields.Items("limits").Select(l => LimitFields.Read(l, deck, problems)).ToList();
        var plan = fields.Any("plan") is { } planPart ? PlanFile.Read(planPart, problems) : null;
        var checks = fields.Any("functionChecks") is { } listPart ? CheckListFile.Read(listPart, problems) : null;
        fields.ReportUnknown();
        TrackFields.CheckTogether(tracks, problems);
        if (problems.HasErrors)
            return null;
        return new DeckProfile
        {
            Name = name!,
            Directions = deck.Directions,
            SpeedsCmPerS = deck.SpeedsCmPerS,
            TapeSettings = deck.TapeSettings,
            WantedDrops = [.. drops.Select(d => d!)],
            Tracks = [.. tracks.Select(t => t.Tracks!)],
            Equalizations = [.. equalizations.Select(e => e!)],
            RotatingParts = parts,
            Limits = [.. limits.Select(l => l!)],
            Plan = plan,
            FunctionChecks = checks,
        };
    }

    private static DeckScope ReadScope(ObjectFields fields)
    {
        var problems = fields.Problems;
        var directions = DeckScope.Each(
            fields.Items("directions", required: true),
            problems,
            d => DeckWords.FindDirection(ObjectFields.WordOf(d, DeckWords.Directions, problems)),
            (a, b) => a == b);
        var speeds = DeckScope.Each(fields.Items("speedsCmPerS", required: true), problems, s => OwnSpeed(s, problems), TapeSpeed.Same);
        NotEmpty(fields, "directions", "expected at least \"forward\"");
        NotEmpty(fields, "speedsCmPerS", "expected at least one speed in cm/s, such as 19.05");

        var settings = new List<string>();
        foreach (var item in fields.Items("tapeSettings"))
        {
            if (item.Kind != JsonKind.Text || string.IsNullOrWhiteSpace(item.Text))
                problems.Error(item, $"expected the name of a tape setting, found {item.Described}");
            else if (settings.Contains(item.Text, StringComparer.Ordinal))
                problems.Error(item, $"{item.Described} stands twice in this list");
            else
                settings.Add(item.Text);
        }

        return new DeckScope(directions, speeds, settings);
    }

    private static void NotEmpty(ObjectFields fields, string name, string expected)
    {
        if (fields.Any(name) is { Kind: JsonKind.Array, Closed: true, Items.Count: 0 } empty)
            fields.Problems.Error(empty, $"the list is empty; {expected}");
    }

    private static double? OwnSpeed(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.NumberOf(part, DeckScope.SpeedRange, problems) is not { } speed)
            return null;
        if (TapeSpeed.FromInches(speed) is { } meant)
            problems.Warning(
                part,
                $"{Quoted.Number(speed)} cm/s is no usual tape speed; {Quoted.Number(speed)} in/s is {Quoted.Number(meant)} cm/s"
            );
        return speed;
    }

    private static ProfileWantedDrop? ReadDrop(JsonPart part, DeckScope deck, ProblemList problems)
    {
        if (
            ObjectFields.Of(part, problems, "a wanted drop {\"tapeSetting\": …, \"frequencyHz\": …, \"dropDb\": …, \"source\": …}")
            is not { } fields
        )
            return null;
        fields.Any("tapeSetting", required: true);
        var setting = deck.TapeSetting(fields);
        var speed = deck.Speed(fields, "speedCmPerS");
        var frequency = fields.Number("frequencyHz", NumberRange.Positive(20_000, "Hz"), required: true);
        var drop = fields.Number("dropDb", NumberRange.Positive(20, "dB"), required: true);
        var source = fields.Text("source", required: true);
        fields.ReportUnknown();
        return setting is null || frequency is null || drop is null || source is null
            ? null
            : new ProfileWantedDrop(setting, speed, frequency.Value, drop.Value, source);
    }

    private static ProfileEqualization? ReadEqualization(JsonPart part, DeckScope deck, ProblemList problems)
    {
        if (
            ObjectFields.Of(part, problems, "an equalization {\"speedCmPerS\": …, \"name\": …, \"trebleMicroseconds\": …}")
            is not { } fields
        )
            return null;
        var speed = deck.Speed(fields, "speedCmPerS", required: true);
        var name = fields.Text("name", required: true);
        var treble = fields.Number("trebleMicroseconds", TimeConstant);
        var bass = fields.Number("bassMicroseconds", TimeConstant);
        fields.ReportUnknown();
        if (speed is null || name is null)
            return null;
        if (fields.Any("trebleMicroseconds") is null)
        {
            // A published name says the time constants by itself.
            if (PublishedEqualizations.Find(name, speed.Value) is { } published && fields.Any("bassMicroseconds") is null)
                return new ProfileEqualization(speed.Value, name, published.TrebleMicroseconds, published.BassMicroseconds);
            problems.Error(part,
                $"\"trebleMicroseconds\" is missing, and {Quoted.Text(name)} is no published equalization at "
                    + $"{Quoted.Number(speed.Value)} cm/s that would say it");
            return null;
        }

        if (bass <= treble)
            problems.Error(fields.Any("bassMicroseconds")!,
                $"the bass time constant {Quoted.Number(bass.Value)} µs must lie above the treble one, "
                    + $"{Quoted.Number(treble.Value)} µs; leave it out where it is infinite");
        return treble is null ? null : new ProfileEqualization(speed.Value, name, treble.Value, bass);
    }
}
