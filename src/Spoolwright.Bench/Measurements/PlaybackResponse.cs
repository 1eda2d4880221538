using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Measurements;

/// <summary>Response of one channel against the reference tone, with the tape's corrections and fringing applied.</summary>
internal sealed class PlaybackResponse(
    TestTape tape,
    double speedCmPerS,
    TrackBand track,
    bool trackKnown,
    Channel channel,
    FoundTone reference,
    LoopbackCalibration? loopback = null
)
{
    private const string Method = "level found less the level the tape holds, less the same at the reference tone";

    /// <summary>Response of every tone, then highest, lowest and tilts over those that may be judged.</summary>
    /// <param name="found">The tones found.</param>
    /// <param name="unknown">Takes the frequencies whose fringing is not known.</param>
    public IEnumerable<Reading> Readings(IReadOnlyList<FoundTone> found, SortedSet<double> unknown)
    {
        var responses = new List<Reading>();
        foreach (
            var group in found
                .Where(f => PlaybackMeasurement.FiguresOf(f, channel) is not null)
                .GroupBy(f => f.Tone.FrequencyHz)
                .OrderBy(g => g.Key)
        )
        {
            // A response tone speaks before the azimuth tone of its frequency; of two sections the one nearest in
            // level to the reference; the reference tone itself is 0 by its own definition.
            var tone = group.OrderBy(f => f.Tone.Role switch { ToneRole.Response => 0, ToneRole.Azimuth => 1, _ => 2 })
                .ThenBy(f => Math.Abs(f.Tone.LevelDb - reference.Tone.LevelDb)).ThenBy(f => f == reference ? 1 : 0).First();
            var response = Response(tone);
            if (!response.Judgeable)
            {
                unknown.Add(tone.Tone.FrequencyHz);
            }

            responses.Add(response);
        }

        return responses.Concat(Extremes(responses));
    }

    private Reading Response(FoundTone tone)
    {
        if (tone == reference)
        {
            return Uncertain.Reading(
                Quantity.Response,
                0,
                [new UncertaintyPart("method", 0)],
                "the reference tone itself",
                channel,
                tone.Tone.FrequencyHz
            ) with
            {
                Role = PlaybackMeasurement.RoleWord(tone.Tone.Role),
            };
        }

        var here = PlaybackMeasurement.FiguresOf(tone, channel)!.Value;
        var there = PlaybackMeasurement.FiguresOf(reference, channel)!.Value;
        var fringing = Fringing.Correction(tape, track, tone.Tone.FrequencyHz, speedCmPerS);
        var fringingThere = Fringing.Correction(tape, track, reference.Tone.FrequencyHz, speedCmPerS);
        var known = fringing is not null && fringingThere is not null && (trackKnown || fringing.GainDb == 0);
        var fringe = known ? fringing!.GainDb - fringingThere!.GainDb : 0;
        var value = here.LevelDb - PlaybackMeasurement.TapeLevel(tape, tone.Tone)
            - (there.LevelDb - PlaybackMeasurement.TapeLevel(tape, reference.Tone)) - fringe;
        var own = loopback?.ResponseBetween(tone.Tone.FrequencyHz, reference.Tone.FrequencyHz, channel);
        value -= own?.Db ?? 0;
        double? ofTape = PlaybackMeasurement.Uncertainty(tape, tone.Tone),
            ofReference = PlaybackMeasurement.Uncertainty(tape, reference.Tone);
        var parts = new List<UncertaintyPart>
        {
            new("noise", Root(here.LevelNoiseDb, there.LevelNoiseDb)),
            new("method", Root(here.LevelMethodDb, there.LevelMethodDb)),
            new("test-tape", ofTape is null ? null : Root(ofTape.Value, ofReference ?? 0)),
            own is { } known_ ? new("interface", known_.Uncertainty) : new("interface-response", null),
        };
        var long_ = Fringing.Matters(track, tone.Tone.FrequencyHz, speedCmPerS);
        if (known)
        {
            if (fringe != 0)
            {
                parts.Add(new UncertaintyPart("fringing", Math.Abs(fringing!.UncertaintyDb - fringingThere!.UncertaintyDb)));
            }
        }
        else if (long_)
        {
            parts.Add(new UncertaintyPart("fringing", null));
        }

        var method = known && fringe != 0
            ? FormattableString.Invariant($"{Method}; fringing of {fringe:0.00} dB taken off [FRINGING-1972]")
            : Method;
        method += own is { } taken ? FormattableString.Invariant($"; interface's own response of {taken.Db:0.000} dB taken off") : "";
        return Uncertain.Reading(Quantity.Response, value, parts, method, channel, tone.Tone.FrequencyHz)
            with
        { Judgeable = known || !long_, Role = PlaybackMeasurement.RoleWord(tone.Tone.Role) };
    }

    private IEnumerable<Reading> Extremes(List<Reading> responses)
    {
        var judged = responses.Where(r => r.Judgeable).ToArray();
        if (judged.Length == 0)
        {
            yield break;
        }

        yield return Extreme(Quantity.ResponseMax, judged.MaxBy(r => r.Value)!, "highest of the tones that may be judged");
        yield return Extreme(Quantity.ResponseMin, judged.MinBy(r => r.Value)!, "lowest of the tones that may be judged");
        if (Tilt(Quantity.TrebleTilt, judged.Where(r => r.FrequencyHz > 5000).ToArray()) is { } treble)
        {
            yield return treble;
        }

        if (Tilt(Quantity.BassTilt, judged.Where(r => r.FrequencyHz < 250).ToArray()) is { } bass)
        {
            yield return bass;
        }
    }

    private Reading Extreme(Quantity quantity, Reading from, string method) => new()
    {
        Quantity = quantity.Id,
        Value = from.Value,
        Unit = quantity.Unit,
        Uncertainty = from.Uncertainty,
        Parts = from.Parts,
        Channel = channel,
        FrequencyHz = from.FrequencyHz,
        Method = method,
    };

    private Reading? Tilt(Quantity quantity, Reading[] of)
    {
        if (of.Length < 2)
        {
            return null;
        }

        // The reference tone's noise is in all of them alike; the largest uncertainty among them is a safe one for their mean.
        return Uncertain.Reading(
            quantity,
            of.Average(r => r.Value),
            [
                new UncertaintyPart("tones", of.Max(r => r.Uncertainty ?? 0)),
                .. of.All(r => r.Parts.Any(p => p.Name == "interface"))
                    ? Array.Empty<UncertaintyPart>()
                    : [new("interface-response", null)],
            ],
            FormattableString.Invariant(
                $"mean of {of.Length} tones from {of.Min(r => r.FrequencyHz):0.##} to {of.Max(r => r.FrequencyHz):0.##} Hz"
            ),
            channel
        );
    }

    private static double Root(double a, double b) => Math.Sqrt((a * a) + (b * b));
}
