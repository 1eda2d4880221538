using Spoolwright.Bench.Standards;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Measurements;

/// <summary>What a tone of moving level says: third harmonic against level, and from it the maximum output level; for a high tone,
/// saturation.</summary>
internal static class DistortionLevels
{
    private const double AtReferenceDb = 0.5;

    // A tone's level as the tracker has it, k = 2 (a cube's MOL under noise and flutter: 0.0005 dB off in the mean of 500 captures).
    private const double LevelMethodDb = 0.001;

    public static void Read(
        Voice voice,
        Channel channel,
        double nominalHz,
        double? reference,
        InterfaceHarmonics own,
        List<Reading> readings,
        List<Trace> traces,
        List<Note> notes
    )
    {
        var all = LevelPoint.Of(voice.Tracker, voice.RateHz, voice.From, voice.Clips);
        var points = all.Where(p => !p.Clips).ToArray();
        var place = FormattableString.Invariant($"{DistortionMeasurement.Word(channel)} channel, {nominalHz:0.##} Hz");
        if (points.Length < all.Count)
        {
            notes.Add(
                Note.Warning(
                    "clipped-levels",
                    FormattableString.Invariant(
                        $"The interface clips at {all.Count - points.Length} of {all.Count} levels ({place}), from {all.Where(p => p.Clips).Min(p => p.LevelDb):0.0} dBFS up; they are left out, for a flat top is the interface's and not the tape's. Lower its input and capture again."
                    )
                )
            );
        }

        if (points.Length < 2)
        {
            notes.Add(
                Note.Error(
                    "no-levels",
                    FormattableString.Invariant(
                        $"Fewer than two levels can be read ({place}). Let the level rise more slowly, under 6 dB a second, or hold each step for half a second."
                    )
                )
            );
            return;
        }

        if (voice.Tracker.Orders >= 3)
        {
            var reached = ReadMaximum(points, points.Length < all.Count, channel, nominalHz, reference, own, place, readings, notes);
            var curve = points
                .Select(p => (p.LevelDb, Percent: 100 * own.Taken(p.Figures).Ratio(3, 3).Value))
                .OrderBy(p => p.LevelDb)
                .ToArray();
            if (!reached && reference is null)
            {
                var top = points.MaxBy(p => p.LevelDb)!;
                readings.AddRange(
                    HarmonicReadings
                        .Of(
                            top.Figures,
                            false,
                            channel,
                            nominalHz,
                            FormattableString.Invariant($"at {top.LevelDb:0.0} dBFS, the highest level played"),
                            own
                        )
                        .Select(r => r with { Judgeable = false })
                );
            }

            traces.Add(
                new Trace(
                    "third-harmonic-against-level",
                    channel,
                    "dBFS",
                    "%",
                    [.. curve.Select(p => p.LevelDb)],
                    [.. curve.Select(p => p.Percent)]
                )
            );
        }

        if (nominalHz >= DistortionPractice.SaturationFromHz)
        {
            // The round top of the curve is read in short pieces: the mean of a long one would lie under it.
            var (fine, pieces) = LevelPoint.Even(voice.Tracker, voice.RateHz, voice.From, voice.Clips);
            ReadSaturation(fine, pieces, points.Length < all.Count, channel, nominalHz, place, readings, notes);
            traces.Add(
                new Trace("level-in-time", channel, "s", "dBFS", [.. fine.Select(p => p.Seconds)], [.. fine.Select(p => p.LevelDb)])
            );
        }

        if (
            reference is { } level
            && points.MinBy(p => Math.Abs(p.LevelDb - level)) is { } there
            && Math.Abs(there.LevelDb - level) < AtReferenceDb
            && voice.Tracker.Orders >= 2
        )
        {
            readings.AddRange(
                HarmonicReadings.Of(
                    there.Figures,
                    false,
                    channel,
                    nominalHz,
                    FormattableString.Invariant($"at {there.LevelDb:0.0} dBFS, the level played nearest to reference level"),
                    own
                )
            );
        }
    }

    private static bool ReadMaximum(
        LevelPoint[] points,
        bool clipped,
        Channel channel,
        double nominalHz,
        double? reference,
        InterfaceHarmonics own,
        string place,
        List<Reading> readings,
        List<Note> notes
    )
    {
        var thirds = points.Select(p => (p.LevelDb, Third: own.Taken(p.Figures).Ratio(3, 3), p.Moved, p.Shared)).ToArray();
        var fit = ThirdHarmonicFit.Of(
            [.. thirds.Select(p => (p.LevelDb, p.Third.Value, p.Shared * p.Third.Noise, p.Moved))],
            DistortionPractice.MaximumThirdHarmonic
        );
        if (fit.LevelDb is not { } mol)
        {
            var highest = thirds.MaxBy(p => p.Third.Value);
            var lowest = thirds.MinBy(p => p.Third.Value);
            notes.Add(
                highest.Third.Value < DistortionPractice.MaximumThirdHarmonic
                    ? Note.Warning(
                        "mol-not-reached",
                        FormattableString.Invariant(
                            $"The third harmonic rises to {100 * highest.Third.Value:0.00} % at {highest.LevelDb:0.0} dBFS and not to 3 %, so there is no maximum output level ({place}): a law is followed 1 dB beyond the levels played and no further. {(clipped ? "Lower the interface's input" : "Record up to a higher level")} and capture again."
                        )
                    )
                    : Note.Warning(
                        "mol-not-reached",
                        FormattableString.Invariant(
                            $"The third harmonic does not pass through 3 % on a law that can be fitted ({100 * lowest.Third.Value:0.00} to {100 * highest.Third.Value:0.0} %, {place}). Begin at a lower level, and let it rise slowly."
                        )
                    )
            );
            return false;
        }

        if (fit.BeyondDb > 0.05)
        {
            notes.Add(
                Note.Hint(
                    "mol-extrapolated",
                    FormattableString.Invariant(
                        $"3 % third harmonic lies {fit.BeyondDb:0.0} dB beyond the levels played ({place}); the law fitted was followed that far, and its uncertainty allows for it."
                    )
                )
            );
        }

        UncertaintyPart[] parts =
        [
            new("noise", fit.NoiseDb),
            new("method", double.Hypot(fit.MethodDb, LevelMethodDb)),
            .. Interface(points[^1], own),
            new("interface-response", null),
        ];
        var method = FormattableString.Invariant(
            $"output level of the fundamental at 3 % third harmonic (of the total), by a curve through third harmonic against level near 3 %, of {points.Length} levels [IEC60094-5:1988]"
        );
        readings.Add(Uncertain.Reading(Quantity.Mol, mol, parts, method, channel, nominalHz));
        if (reference is { } level)
        {
            readings.Add(
                Uncertain.Reading(
                    Quantity.MolRelative,
                    mol - level,
                    [.. parts.Where(p => p.Name != "interface-response"), new UncertaintyPart("reference-level", null)],
                    FormattableString.Invariant($"{method}; less the reference level of {level:0.00} dBFS as stated"),
                    channel,
                    nominalHz
                )
            );
        }

        return true;
    }

    // The third harmonic goes with the square of the amplitude: a share of it counts half in the level at which it reaches 3 %.
    private static IEnumerable<UncertaintyPart> Interface(LevelPoint point, InterfaceHarmonics own) =>
        own.Parts(point.Figures, 3, 3, DistortionPractice.MaximumThirdHarmonic, 10 / Math.Log(10) / DistortionPractice.MaximumThirdHarmonic)
            .Where(p => p.Name != "interface-response");

    private static void ReadSaturation(
        LevelPoint[] points,
        WanderingLevel.Pieces pieces,
        bool clipped,
        Channel channel,
        double nominalHz,
        string place,
        List<Reading> readings,
        List<Note> notes
    )
    {
        if (SaturationFit.Of([.. points.Select(p => (p.Seconds, p.LevelDb, p.Figures.Seconds))], pieces, out var input, out var why) is not { } fit)
        {
            notes.Add(
                Note.Error(
                    "saturation-not-read",
                    FormattableString.Invariant($"Saturation cannot be read ({place}{(clipped ? ", levels that clip left out" : "")}): {why}")));
            return;
        }

        if (input!.Fade is { } fade)
        {
            notes.Add(
                Note.Hint(
                    "saturation-fade",
                    FormattableString.Invariant(
                        $"From {fade.From:0.0} to {fade.To:0.0} s the level fades faster than a tape saturates ({place}); that part is left out of saturation.")));
        }

        if (!fit.Reached)
        {
            notes.Add(
                Note.Warning(
                    "saturation-not-reached",
                    FormattableString.Invariant(
                        $"The last decibel of input still brought {fit.Slope:0.00} dB of output ({place}, from {input.Side[0].Seconds:0.0} to {input.Side[^1].Seconds:0.0} s): the tape was not saturated, and the figure is only the highest level played. Record up to a higher level."
                    )
                )
            );
        }

        readings.Add(Uncertain.Reading(
            Quantity.Saturation, fit.LevelDb,
            [new UncertaintyPart("noise", fit.NoiseDb), new UncertaintyPart("method", fit.Reached ? fit.MethodDb : null), new UncertaintyPart("interface-response", null)],
            "highest output level of the fundamental, by the top of a curve through its level in time or through the steps it rises in; input reckoned by the linear part [IEC60094-5:1988]"
            + (fit.Falls ? "" : "; it rises to the last level played, and half of what its last rises may go on to is added"),
            channel, nominalHz) with
        { Judgeable = fit.Reached });
    }
}
