using Spoolwright.Bench.Instruments;
using Spoolwright.Signal;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>One channel's levels and overall response, and record's part in it where playback readings are given.</summary>
internal sealed class RecordResponse(
    IReadOnlyList<RecordedTone> tones,
    Channel channel,
    IReadOnlyList<Reading> playback,
    List<Note> notes,
    Func<RecordedTone, SideLeak.Pulled?> leak,
    LoopbackCalibration? loopback
)
{
    private const double MoveDb = 0.3;

    public IReadOnlyList<Reading> Readings()
    {
        var readings = new List<Reading>();
        foreach (var tone in tones.OrderBy(t => t.FrequencyHz))
        {
            var figures = RecordMeasurement.FiguresOf(tone, channel)!.Value;
            readings.Add(
                Uncertain.Reading(
                    Quantity.ToneLevel,
                    figures.LevelDb,
                    [new("noise", figures.LevelNoiseDb), new("method", figures.LevelMethodDb), new("interface-response", null)],
                    FormattableString.Invariant(
                        $"power of the tone brought to 0 Hz, noise taken off, averaged over {tone.Figures.Seconds:0.0} s, through flutter [IEEE1057:2017]"
                    ),
                    channel,
                    tone.FrequencyHz
                ) with
                {
                    Role = tone.IsReference ? "reference" : "response",
                }
            );
        }

        var references = tones.Where(t => t.IsReference).Select(t => RecordMeasurement.FiguresOf(t, channel)!.Value).ToArray();
        if (references.Length == 0)
        {
            notes.Add(
                Note.Error(
                    "no-reference",
                    $"The {PlaybackMeasurement.Word(channel)} channel holds no reference tone of 1 kHz, so response is not measured."
                )
            );
            return readings;
        }

        // Two of them, before and after, are averaged: what moved meanwhile is half in it.
        var reference = new ChannelFigures(
            references.Average(r => r.LevelDb),
            Math.Sqrt(references.Sum(r => r.LevelNoiseDb * r.LevelNoiseDb)) / references.Length,
            references.Min(r => r.SnrDb),
            Math.Sqrt(references.Sum(r => r.LevelMethodDb * r.LevelMethodDb)) / references.Length
        );
        var moved = references.Max(r => r.LevelDb) - references.Min(r => r.LevelDb);
        if (moved > MoveDb)
        {
            notes.Add(
                Note.Warning(
                    "level-moved",
                    FormattableString.Invariant(
                        $"The {PlaybackMeasurement.Word(channel)} channel's reference tone moved by {moved:0.0} dB from the program's start to its end: tape or contact is uneven."
                    )
                )
            );
        }

        var responses = tones
            .Where(t => !t.IsReference || t.FrequencyHz.Equals(1000))
            .GroupBy(t => t.FrequencyHz)
            .OrderBy(g => g.Key)
            .Select(g => Response(g.OrderBy(t => t.IsReference).First(), reference, tones.First(t => t.IsReference), references.Length))
            .ToArray();
        if (responses.Length == 0)
        {
            notes.Add(
                Note.Error(
                    "no-response",
                    $"The {PlaybackMeasurement.Word(channel)} channel holds no tone but the one that the others would be held against, so response is not measured."
                )
            );
            return readings;
        }

        readings.AddRange(responses);
        readings.Add(Extreme(Quantity.ResponseMax, responses.MaxBy(r => r.Value)!));
        readings.Add(Extreme(Quantity.ResponseMin, responses.MinBy(r => r.Value)!));
        readings.AddRange(DueToRecord(responses));
        return readings;
    }

    private Reading Response(RecordedTone tone, ChannelFigures reference, RecordedTone beside, int references)
    {
        if (tone.IsReference && references == 1)
        {
            return Uncertain.Reading(
                Quantity.Response,
                0,
                [new UncertaintyPart("method", 0)],
                "the reference tone itself",
                channel,
                tone.FrequencyHz
            ) with
            {
                Role = "reference",
            };
        }

        var figures = RecordMeasurement.FiguresOf(tone, channel)!.Value;
        var noise = double.Hypot(figures.LevelNoiseDb, reference.LevelNoiseDb);
        var own = loopback?.ResponseBetween(tone.FrequencyHz, 1000, channel);
        SideLeak.Pulled? here = leak(tone), there = leak(beside);
        return Uncertain.Reading(
            Quantity.Response,
            figures.LevelDb - (here?.Value ?? 0) - tone.SentDb - (reference.LevelDb - (there?.Value ?? 0) - beside.SentDb) - (own?.Db ?? 0),
            [
                new("noise", noise),
                new("method", double.Hypot(figures.LevelMethodDb, reference.LevelMethodDb)),
                .. here is not null || there is not null
                    ? new UncertaintyPart[] { new("leak", double.Hypot(here?.Expanded ?? 0, there?.Expanded ?? 0)) }
                    : [],
                own is { } known ? new("interface", known.Uncertainty) : new("interface-response", null),
            ],
            "level found less the level sent, less the same at the reference tone: record and playback together"
                + (here is not null || there is not null ? "; what leaks from the other side into tones of both taken off" : "")
                + (own is { } taken ? FormattableString.Invariant($"; interface's own response of {taken.Db:0.000} dB taken off") : ""),
            channel,
            tone.FrequencyHz
        ) with
        {
            Role = "response",
        };
    }

    private Reading Extreme(Quantity quantity, Reading of) => new()
    {
        Quantity = quantity.Id,
        Value = of.Value,
        Unit = quantity.Unit,
        Uncertainty = of.Uncertainty,
        Parts = of.Parts,
        Channel = channel,
        FrequencyHz = of.FrequencyHz,
        Method = quantity == Quantity.ResponseMax ? "highest of all tones" : "lowest of all tones",
    };

    private IEnumerable<Reading> DueToRecord(Reading[] responses)
    {
        var known = playback.Where(r => r.Quantity == Quantity.Response.Id && r.Channel == channel && r.FrequencyHz is not null).ToArray();
        if (playback.Count > 0 && known.Length == 0 && playback.Any(r => r.Quantity == Quantity.Response.Id))
        {
            notes.Add(
                Note.Warning(
                    "no-playback",
                    $"The playback readings given say nothing of the {PlaybackMeasurement.Word(channel)} channel's response."
                )
            );
        }

        var without = new List<double>();
        foreach (var overall in responses)
        {
            if (known.FirstOrDefault(r => Math.Abs((r.FrequencyHz!.Value / overall.FrequencyHz!.Value) - 1) < 0.015) is not { } own)
            {
                without.Add(overall.FrequencyHz!.Value);
                continue;
            }

            yield return Uncertain.Reading(
                Quantity.RecordResponse, overall.Value - own.Value, [new("overall", overall.Uncertainty), new("playback", own.Uncertainty)],
                "overall response less the playback response of the same condition", channel, overall.FrequencyHz) with
            { Judgeable = own.Judgeable };
        }

        if (known.Length > 0 && without.Count > 0)
        {
            notes.Add(
                Note.Hint(
                    "no-playback-tone",
                    FormattableString.Invariant(
                        $"The playback readings have no tone of {string.Join(", ", without.Select(f => f.ToString("0.##", System.Globalization.CultureInfo.InvariantCulture)))} Hz in the {PlaybackMeasurement.Word(channel)} channel; record's part is not told there."
                    )
                )
            );
        }
    }
}
