using Spoolwright.Bench.Files;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Decks;

/// <summary>Reads the parts that turn, each with the dimensions that its kind needs and no others.</summary>
internal static class RotatingPartFields
{
    private const string Diameter = "diameterMm";
    private const string Rate = "rateHz";
    private const string Turns = "turnsPerCapstanTurn";
    private const string BeltLength = "beltLengthMm";
    private const string Pulley = "pulleyDiameterMm";
    private const string PulleyOn = "pulleyOn";
    private const string Hub = "hubRadiusMm";
    private const string Full = "fullRadiusMm";

    private static readonly string[] Dimensions = [Diameter, Rate, Turns, BeltLength, Pulley, PulleyOn, Hub, Full];
    private static readonly NumberRange Millimetres = NumberRange.Positive(1000, "mm");
    private static readonly NumberRange BeltMillimetres = NumberRange.Positive(5000, "mm");
    private static readonly NumberRange Hertz = NumberRange.Positive(1000, "turns per second");
    private static readonly NumberRange Ratio = NumberRange.Positive(1000, "turns");
    private static readonly NumberRange HarmonicCount = new(1, 20, "");

    /// <summary>All parts, checked one by one and against each other.</summary>
    public static IReadOnlyList<RotatingPart> ReadAll(IReadOnlyList<JsonPart> items, DeckScope deck, ProblemList problems)
    {
        var parts = new List<(JsonPart Json, RotatingPart Part)>();
        foreach (var item in items)
        {
            if (Read(item, deck, problems) is { } part)
                parts.Add((item, part));
        }

        CheckTogether(parts, deck, problems);
        return [.. parts.Select(p => p.Part)];
    }

    private static RotatingPart? Read(JsonPart json, DeckScope deck, ProblemList problems)
    {
        if (ObjectFields.Of(json, problems, "a part {\"name\": …, \"kind\": …, …}") is not { } fields)
            return null;
        var name = fields.Text("name", required: true);
        var kind = DeckWords.FindKind(fields.Word("kind", DeckWords.Kinds, required: true));
        var harmonics = fields.Number("harmonics", HarmonicCount);
        if (harmonics is { } count && count != Math.Floor(count))
            problems.Error(fields.Any("harmonics")!, $"expected a whole number, found {Quoted.Number(count)}");
        var part = new RotatingPart
        {
            Name = name ?? "",
            Kind = kind ?? RotatingPartKind.Idler,
            DiameterMm = fields.Number(Diameter, Millimetres),
            RateHz = fields.Number(Rate, Hertz),
            TurnsPerCapstanTurn = fields.Number(Turns, Ratio),
            BeltLengthMm = fields.Number(BeltLength, BeltMillimetres),
            PulleyDiameterMm = fields.Number(Pulley, Millimetres),
            PulleyOn = fields.Text(PulleyOn),
            HubRadiusMm = fields.Number(Hub, Millimetres),
            FullRadiusMm = fields.Number(Full, Millimetres),
            Directions = DeckScope.Each(fields.Items("directions"), problems, d => deck.DirectionOf(d, problems), (a, b) => a == b),
            SpeedsCmPerS = DeckScope.Each(fields.Items("speedsCmPerS"), problems, s => deck.SpeedOf(s, problems), TapeSpeed.Same),
            Harmonics = (int)(harmonics ?? 3),
        };
        fields.ReportUnknown();
        if (kind is null)
            return null;
        CheckDimensions(fields, kind.Value);
        if (part is { HubRadiusMm: { } hub, FullRadiusMm: { } full } && hub >= full)
            problems.Error(
                fields.Any(Hub)!,
                $"the hub's radius {Quoted.Number(hub)} mm must lie below the full reel's, {Quoted.Number(full)} mm"
            );
        if (part is { PulleyDiameterMm: { } pulley, BeltLengthMm: { } belt } && pulley * Math.PI >= belt)
            problems.Error(
                fields.Any(BeltLength)!,
                $"a belt of {Quoted.Number(belt)} mm does not reach around a pulley of {Quoted.Number(pulley)} mm"
            );
        return name is null ? null : part;
    }

    // Which dimensions a kind has: every one of All, or exactly one of OneOf.
    private static (string[] All, string[] OneOf) Needs(RotatingPartKind kind) => kind switch
    {
        RotatingPartKind.Capstan or RotatingPartKind.PinchRoller => ([Diameter], []),
        RotatingPartKind.SupplyReel or RotatingPartKind.TakeUpReel => ([Hub, Full], []),
        RotatingPartKind.Motor => ([], [Rate, Turns]),
        RotatingPartKind.Belt => ([BeltLength, Pulley, PulleyOn], []),
        _ => ([], [Diameter, Turns, Rate]),
    };

    private static void CheckDimensions(ObjectFields fields, RotatingPartKind kind)
    {
        var (all, oneOf) = Needs(kind);
        var word = DeckWords.Word(kind);
        foreach (var name in all)
            fields.Any(name, required: true);
        var given = oneOf.Where(o => fields.Any(o) is not null).ToList();
        if (oneOf.Length > 0 && given.Count == 0 && (fields.Part.Closed || !fields.Problems.Unfinished))
            fields.Problems.Error(fields.Part, $"a part of kind {word} needs one of {string.Join(", ", oneOf)}");
        if (given.Count > 1)
            fields.Problems.Error(fields.Any(given[1])!, $"give only one of {string.Join(", ", oneOf)}");
        foreach (var name in Dimensions.Except(all, StringComparer.Ordinal).Except(oneOf, StringComparer.Ordinal))
        {
            if (fields.Any(name) is { } extra)
                fields.Problems.Error(extra, $"a part of kind {word} has no {name}; it has {string.Join(", ", all.Concat(oneOf))}");
        }
    }

    private static void CheckTogether(List<(JsonPart Json, RotatingPart Part)> parts, DeckScope deck, ProblemList problems)
    {
        var byName = parts
            .GroupBy(p => p.Part.Name, StringComparer.Ordinal)
            .ToDictionary(g => g.Key, g => g.ToList(), StringComparer.Ordinal);
        var capstans = parts.Where(p => p.Part.Kind == RotatingPartKind.Capstan).Select(p => p.Part).ToList();
        foreach (var (json, part) in parts)
        {
            // A motor whose rate changes with the speed stands once for each speed, under one name.
            var twin = byName[part.Name].Find(o => o.Json.Offset < json.Offset && Together(o.Part, part, deck));
            if (twin.Json is not null)
                problems.Error(json.Members["name"],
                    $"a part of the name {Quoted.Text(part.Name)} stands already on line "
                        + $"{json.Source.Place(twin.Json.Offset).Line}, for the same speeds and directions");
            if (part.TurnsPerCapstanTurn is not null && !capstans.Exists(c => Together(c, part, deck)))
                problems.Error(json.Members[Turns], "the profile lists no capstan for this part to turn with; add a part of kind capstan");
            if (part is { Kind: RotatingPartKind.Belt, PulleyOn: { } on })
                CheckPulley(json.Members[PulleyOn], on, byName, problems);
        }
    }

    private static void CheckPulley(
        JsonPart at,
        string on,
        Dictionary<string, List<(JsonPart Json, RotatingPart Part)>> byName,
        ProblemList problems
    )
    {
        if (!byName.TryGetValue(on, out var holders))
            problems.Error(at, $"no part is called {Quoted.Text(on)}{NearestWord.Question(on, byName.Keys)}");
        else if (holders.Exists(h => h.Part.Kind == RotatingPartKind.Belt))
            problems.Error(at, $"{Quoted.Text(on)} is a belt; a pulley sits on a part that turns by itself");
    }

    // Whether two parts work at one speed and direction of the deck; an empty list stands for all of them.
    private static bool Together(RotatingPart a, RotatingPart b, DeckScope deck) =>
        Meet(a.Directions, b.Directions, deck.Directions) && Meet(a.SpeedsCmPerS, b.SpeedsCmPerS, deck.SpeedsCmPerS);

    private static bool Meet<T>(IReadOnlyList<T> a, IReadOnlyList<T> b, IReadOnlyList<T> all) =>
        (a.Count == 0 ? all : a).Intersect(b.Count == 0 ? all : b).Any();
}
