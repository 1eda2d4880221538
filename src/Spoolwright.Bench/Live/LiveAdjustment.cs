using Spoolwright.Bench.Controls;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;

namespace Spoolwright.Bench.Live;

/// <summary>One thing that is set at the bench: what is read for it, and what kind of control sets it.</summary>
/// <param name="Id">How pages and commands know it.</param>
/// <param name="Control">The kind of control.</param>
/// <param name="EachChannel">Whether each channel has a control of its own.</param>
/// <param name="SettleSeconds">How long a reading takes to stand again after a turn, s.</param>
public sealed record LiveAdjustment(string Id, ControlKind Control, bool EachChannel, double SettleSeconds)
{
    private const double LevelWithinDb = 0.5;
    private const double DropWithinDb = 0.5;
    private const double ResponseWithinDb = 1;
    private const double LowestTrebleHz = 5900;
    private const string Practice = "common practice, no source";

    /// <summary>In the order of the trade.</summary>
    public static IReadOnlyList<LiveAdjustment> All { get; } =
    [
        new("speed", ControlKind.Speed, EachChannel: false, 1.6),
        new("azimuth", ControlKind.AzimuthScrew, EachChannel: false, 0.8),
        new("level", ControlKind.PlaybackLevel, EachChannel: true, 0.8),
        new("equalization", ControlKind.PlaybackEqualization, EachChannel: true, 0.8),
        new("record-azimuth", ControlKind.AzimuthScrew, EachChannel: false, 1.2),
        new("bias", ControlKind.Bias, EachChannel: true, 1.4),
        new("record-level", ControlKind.RecordLevel, EachChannel: true, 1.2),
        new("record-equalization", ControlKind.RecordEqualization, EachChannel: true, 1.2),
    ];

    /// <summary>The adjustment of that id, or null.</summary>
    public static LiveAdjustment? Find(string? id) => All.FirstOrDefault(a => string.Equals(a.Id, id, StringComparison.Ordinal));

    /// <summary>What stands for a channel now, with what it must keep to; null: the picture holds nothing for it.</summary>
    public LiveReading? Reading(LivePicture picture, LiveContext context, Channel channel)
    {
        ArgumentNullException.ThrowIfNull(picture);
        ArgumentNullException.ThrowIfNull(context);
        return Id switch
        {
            "speed" => Speed(picture, context),
            "azimuth" => picture.Readings.FirstOrDefault(r => r.Reading.Quantity == Quantity.AzimuthAngle.Id),
            "record-azimuth" => picture.Readings.FirstOrDefault(r => r.Reading.Quantity == Quantity.RecordTimeSkew.Id),
            "level" => context.Sent is null ? Level(picture, context, channel) : null,
            "record-level" => context.Sent is null ? null : Level(picture, context, channel),
            "equalization" => context.Sent is null ? Treble(picture, context, channel) : null,
            "record-equalization" => context.Sent is null ? null : Treble(picture, context, channel),
            "bias" => Bias(picture, context, channel),
            _ => null,
        };
    }

    // The mean of the last second: a screw wants an answer sooner than flutter does. How far wow pulls such a mean counts in full.
    private static LiveReading? Speed(LivePicture picture, LiveContext context)
    {
        if (
            picture.Speed is not { } speed
            || picture.Readings.FirstOrDefault(r => r.Reading.Quantity == Quantity.SpeedError.Id)?.Reading is not { } mean
        )
            return null;
        var wow = picture.Readings.FirstOrDefault(r => r.Reading.Quantity == Quantity.WowRms.Id)?.Reading.Value ?? 0.05;
        var noise = mean.Parts.FirstOrDefault(p => p.Name == "noise")?.Expanded ?? 0;
        var reading = Uncertain.Reading(
            Quantity.SpeedError,
            speed.NowPercent,
            [new("noise", noise * Math.Sqrt(Math.Max(1, speed.Seconds))), new("wow", wow), new("interface-clock", null)],
            "live, time mean of the last second"
        );
        return Judged(
            reading,
            context,
            new Limit
            {
                Quantity = Quantity.SpeedError.Id,
                Min = -0.5,
                Max = 0.5,
                Source = Practice,
            }
        );
    }

    // Nothing says what level a deck must give but its owner: without that there is a value and no target.
    private static LiveReading? Level(LivePicture picture, LiveContext context, Channel channel)
    {
        var found = picture
            .Readings.Where(r =>
                r.Reading.Quantity == Quantity.ToneLevel.Id
                && r.Reading.Channel == channel
                && Math.Abs((r.Reading.FrequencyHz ?? 0) - context.ReferenceHz) < 1
            )
            .Select(r => r.Reading)
            .FirstOrDefault();
        if (found is null || context.ReferenceDb is not { } reference)
            return found is null ? null : new LiveReading(found, null);
        var held = context.Sent is { } sent ? sent.LevelOf(context.ReferenceHz) ?? 0 : HeldDb(context, found.Value - reference);
        return new LiveReading(found, Judge.Reading(found, new Limit
        {
            Quantity = Quantity.ToneLevel.Id,
            Min = reference + held - LevelWithinDb,
            Max = reference + held + LevelWithinDb,
            FrequencyHz = found.FrequencyHz,
            Source = FormattableString.Invariant($"half a decibel about {reference + held:0.0} dBFS: {Practice}"),
        }));
    }

    // A tape has its reference tone at more than one level: the one that lies nearest is the one that plays.
    private static double HeldDb(LiveContext context, double found) =>
        context
            .TestTape?.Tones.Where(t => Math.Abs((t.FrequencyHz / context.ReferenceHz) - 1) < 0.03)
            .Select(t => t.LevelDb)
            .DefaultIfEmpty(0)
            .MinBy(db => Math.Abs(db - found))
        ?? 0;

    private static LiveReading? Treble(LivePicture picture, LiveContext context, Channel channel)
    {
        // Trimmers of equalization are set by a tone of treble; where several stand, by the one that bias is set by.
        var wanted = SentSignal.BiasHz(context.Condition?.SpeedCmPerS ?? 19.05);
        var found = picture
            .Readings.Where(r =>
                r.Reading.Quantity == Quantity.Response.Id && r.Reading.Channel == channel && r.Reading.FrequencyHz >= LowestTrebleHz
            )
            .MinBy(r => Math.Abs(Math.Log((r.Reading.FrequencyHz ?? 1) / wanted)));
        return found is null || found.Judgement is not null
            ? found
            : Judged(
                found.Reading,
                context,
                new Limit
                {
                    Quantity = Quantity.Response.Id,
                    Min = -ResponseWithinDb,
                    Max = ResponseWithinDb,
                    Source = Practice,
                }
            );
    }

    private static LiveReading? Bias(LivePicture picture, LiveContext context, Channel channel)
    {
        if (
            picture.Hills.FirstOrDefault(h => h.Channel == channel) is not { DropDb: { } drop, UncertaintyDb: { } uncertainty } hill
            || hill.Side == "side-unknown"
        )
            return null;
        // On the way up the drop counts as negative: there is too little bias.
        var reading = Uncertain.Reading(
            Quantity.Overbias,
            hill.Side == "under" ? -Math.Abs(drop) : drop,
            [new("peak and noise", uncertainty)],
            "live, peak fitted less the level now",
            channel,
            hill.FrequencyHz
        ) with
        {
            Class = hill.Side,
        };
        if (hill.WantedDb is not { } wanted)
            return new LiveReading(reading, null);
        var own = context.Profile?.Limits.FirstOrDefault(l =>
            l.Quantity == Quantity.OverbiasError.Id && (l.TapeSetting is null || l.TapeSetting == context.Condition?.TapeSetting)
        );
        var (min, max) = own is null ? (-DropWithinDb, DropWithinDb) : (own.Min ?? -own.Max!.Value, own.Max ?? DropWithinDb);
        return new LiveReading(reading, Judge.Reading(reading, new Limit
        {
            Quantity = Quantity.Overbias.Id,
            Min = wanted + min,
            Max = wanted + max,
            Source = $"{hill.WantedSource}; within {own?.Source ?? Practice}",
        }));
    }

    private static LiveReading Judged(Reading reading, LiveContext context, Limit otherwise)
    {
        var judged = Judge
            .Readings([reading], [.. (context.Profile?.Limits ?? []).Where(l => l.Quantity == reading.Quantity)], context.Condition)
            .FirstOrDefault(j => j.Reading is not null);
        return new LiveReading(reading, judged ?? Judge.Reading(reading, otherwise));
    }
}
