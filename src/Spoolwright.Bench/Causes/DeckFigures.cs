using Spoolwright.Bench.Decks;

namespace Spoolwright.Bench.Causes;

/// <summary>What one measurement found under one condition.</summary>
/// <param name="Measurement">Catalogue id.</param>
/// <param name="Condition">Direction, speed, tape setting.</param>
/// <param name="Readings">Its readings.</param>
public sealed record MeasuredUnder(string Measurement, Condition Condition, IReadOnlyList<Reading> Readings);

/// <summary>Makes the figures that causes are weighed by out of a deck's readings.</summary>
public sealed class DeckFigures
{
    // From here on a loss is deep, dB; and so much of what goes beyond is open. Common practice, no source.
    private const double DeepDb = 6;
    private const double DeepShare = 0.2;

    private readonly Dictionary<string, Observable> kinds;
    private readonly List<Observation> figures = [];
    private readonly IReadOnlyList<MeasuredUnder> measured;
    private readonly DeckProfile? profile;

    private DeckFigures(CauseBook book, IReadOnlyList<MeasuredUnder> measured, DeckProfile? profile)
    {
        (this.measured, this.profile) = (measured, profile);
        kinds = book.Healthy.ToDictionary(h => h.Name, StringComparer.Ordinal);
    }

    /// <summary>The figures of the readings.</summary>
    /// <param name="book">What is known.</param>
    /// <param name="measured">The readings by measurement and condition; of two of the same the later stands.</param>
    /// <param name="profile">The deck's kind; null: lines of turning parts are left out.</param>
    public static IReadOnlyList<Observation> Of(CauseBook book, IReadOnlyList<MeasuredUnder> measured, DeckProfile? profile)
    {
        ArgumentNullException.ThrowIfNull(book);
        ArgumentNullException.ThrowIfNull(measured);
        var latest = measured.GroupBy(m => (m.Measurement, m.Condition)).Select(g => g.Last()).ToArray();
        var make = new DeckFigures(book, latest, profile);
        foreach (var one in latest)
            make.Add(one);
        return make.figures;
    }

    private void Add(MeasuredUnder one)
    {
        // What was typed in is told in a second unit beside the quantity's own; knowledge speaks in that one.
        foreach (
            var reading in one.Readings.Where(r =>
                r.Judgeable && !r.IsAtLeast && (Quantity.Find(r.Quantity) is not { } q || q.Unit == r.Unit)
            )
        )
        {
            if (kinds.TryGetValue($"{one.Measurement}/{reading.Quantity}", out var kind) && Wanted(kind, reading))
                Add(kind, one, reading, reading.Value, reading.Uncertainty);
        }

        if (one.Measurement == "speed")
            Motion(one);
        if (one.Measurement == "record")
            Recorded(one);
    }

    // A skew is one figure from all tones; a response has nothing to say at its reference tone.
    private static bool Wanted(Observable kind, Reading reading) => kind.Name switch
    {
        "azimuth/azimuth-angle" or "record/record-time-skew" => reading.FrequencyHz is null,
        "playback/response" or "record/response" => reading.FrequencyHz is { } f && Math.Abs(f - CauseLaw.ReferenceHz) > 1,
        "record/separation" => false,
        _ => true,
    };

    private void Add(
        Observable kind,
        MeasuredUnder one,
        Reading reading,
        double value,
        double? expanded,
        string? part = null,
        double? hertz = null
    )
    {
        var place = PlaceOf(one, reading);
        var deviation = (expanded ?? 0) / 2;
        var shown = value;
        var shared = new List<SharedError>();
        if (reading.Parts.FirstOrDefault(p => p.Name == "test-tape")?.Expanded is { } tape && tape > 0 && part is null)
        {
            // The tape's own error is the same whatever plays it; its lean turns its sign where the tape runs the other way.
            var sign = kind.Name == "azimuth/azimuth-angle" && place.Direction == Direction.Reverse ? -1 : 1;
            deviation = Math.Sqrt(Math.Max((deviation * deviation) - (tape * tape / 4), 1e-12));
            shared.Add(
                new SharedError(FormattableString.Invariant($"tape {kind.Name} {reading.FrequencyHz} {place.SpeedCmPerS}"), sign * tape / 2)
            );
        }

        // Deep in a loss what is left hangs on details that no law here has: beside a null, a gap that is 2 % longer moves it by many dB.
        if (kind.ByFrequency && kind.Name.EndsWith("/response", StringComparison.Ordinal) && value < -DeepDb)
            deviation = double.Hypot(deviation, DeepShare * (-value - DeepDb));

        if (kind.AgainstReference)
        {
            if (Reference(place) is not { } reference)
                return;
            value -= reference.Value;
            deviation = double.Hypot(deviation, (reference.Uncertainty ?? 0.2) / 2);
            shown = value;
        }

        if (kind.Logarithmic)
        {
            var seen = Math.Max(Math.Abs(value), kind.Floor);
            deviation = Math.Min(deviation / seen, 1);
            value = Math.Log(seen);
        }

        figures.Add(
            new Observation(
                kind,
                place,
                hertz ?? reading.FrequencyHz,
                part,
                value,
                deviation,
                shared,
                shown,
                kind.AgainstReference ? "dB" : reading.Unit
            )
        );
    }

    private static CausePlace PlaceOf(MeasuredUnder one, Reading reading) => new(
        reading.Direction ?? one.Condition.Direction,
        reading.Channel == Channel.Both ? null : reading.Channel,
        one.Condition.TapeSetting,
        one.Condition.SpeedCmPerS);

    private Reading? Reference(CausePlace place) => measured
        .Where(m => m.Measurement == "playback" && m.Condition.Direction == place.Direction)
        .OrderBy(m => Math.Abs(m.Condition.SpeedCmPerS - place.SpeedCmPerS!.Value))
        .SelectMany(m => m.Readings)
        .FirstOrDefault(r => r.Quantity == "playback-level" && r.Channel == (place.Channel ?? Channel.Left));

    // The height of each part's lines together, and what trembles beside all lines.
    private void Motion(MeasuredUnder one)
    {
        var lines = one.Readings.Where(r => r.Quantity == "flutter-line").ToArray();
        if (
            profile is not null
            && kinds.TryGetValue("speed/line", out var kind)
            && one.Readings.Any(r => r.Quantity == "wow-flutter-unweighted-rms")
        )
        {
            foreach (
                var part in profile.RotatingParts.Where(p =>
                    (p.Directions.Count == 0 || p.Directions.Contains(one.Condition.Direction))
                    && (p.SpeedsCmPerS.Count == 0 || Tape.TapeSpeed.Find(p.SpeedsCmPerS, one.Condition.SpeedCmPerS) is not null)
                )
            )
            {
                var own = lines
                    .Where(l => l.Part is { } name && (name == part.Name || name.StartsWith(part.Name + ",", StringComparison.Ordinal)))
                    .ToArray();
                var height = Math.Sqrt(own.Sum(l => l.Value * l.Value));
                var unsure = own.Length == 0 ? kind.Floor : Math.Sqrt(own.Sum(l => Math.Pow(l.Uncertainty ?? 0, 2)));
                var reading = own.FirstOrDefault() ?? new Reading { Quantity = "flutter-line", Value = 0, Unit = "%", Method = "" };
                Add(kind, one, reading, height, unsure, DeckWords.Word(part.Kind), own.FirstOrDefault()?.FrequencyHz);
            }
        }

        if (
            kinds.TryGetValue("speed/flutter-rest", out var rest)
            && one.Readings.FirstOrDefault(r => r.Quantity == "wow-flutter-unweighted-rms") is { } all
        )
        {
            var power = (all.Value * all.Value) - lines.Sum(l => l.Value * l.Value / 2);
            Add(rest, one, all, Math.Sqrt(Math.Max(power, rest.Floor * rest.Floor)), all.Uncertainty);
        }
    }

    // The level of one's own recording at the reference tone against playback's, and the separation in the middle of the band.
    private void Recorded(MeasuredUnder one)
    {
        if (kinds.TryGetValue("record/level", out var level))
        {
            foreach (
                var side in one
                    .Readings.Where(r => r.Quantity == "tone-level" && r.FrequencyHz is { } f && Math.Abs(f - CauseLaw.ReferenceHz) < 1)
                    .GroupBy(r => r.Channel)
            )
                Add(level, one, side.First(), side.First().Value, side.First().Uncertainty);
        }

        if (!kinds.TryGetValue("record/separation", out var separation))
            return;
        foreach (
            var side in one
                .Readings.Where(r => r.Quantity == "separation" && r.Uncertainty is not null && r.FrequencyHz is >= 400 and <= 8000)
                .GroupBy(r => r.Channel)
        )
        {
            var several = side.ToArray();
            Add(separation, one, several[0], several.Average(r => r.Value), several.Max(r => r.Uncertainty));
        }
    }
}
