using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// The <c>bias</c> measurement: a tone recorded and heard while the bias is turned, slowly or in steps, either way. The peak is fitted
/// through the level's own course; the drop is that of the capture's end.
/// </summary>
public static class BiasMeasurement
{
    /// <summary>How everything else knows it.</summary>
    public static MeasurementEntry Entry { get; } = new(
        "bias",
        "Bias",
        "Fits the bias peak from a tone recorded while the bias is turned, and reads how far past it the level lies.",
        "On a deck with three heads record the tones that spoolwright signal bias writes (10 kHz with 1 kHz beside it, both 20 dB under reference; any steady tone will do), "
        + "listen to the tape and capture it while turning the bias slowly from too little, over the peak (15 seconds within half a decibel of it), "
        + "to the drop wanted, and hold it there for some seconds. At 176.4 kHz and more, bias that leaks into the output is read too. With two heads record it in steps and capture it afterwards.",
        [Quantity.BiasPeak, Quantity.Overbias, Quantity.OverbiasWanted, Quantity.OverbiasError, Quantity.WantedDropTime, Quantity.BiasLeak],
        "[TAPE-HANDBOOK]",
        Measure)
    {
        Takes = SettingKinds.Nominal | SettingKinds.Deck | SettingKinds.WantedDrop,
    };

    // Beyond this share of the drop at 10 kHz the 1 kHz level fell on the under side, below it rose or held on the over side. From the
    // course of both over bias that common practice gives [memory]: at a drop of 4 dB, 1 kHz has fallen by 1.7 dB on the one side and risen
    // by 0.5 on the other.
    private const double OverShare = 0.12;
    private const double UnderShare = 0.25;

    /// <summary>Measures a source from its start to its end.</summary>
    /// <exception cref="CannotMeasureException">No tone, or a level that passes over no peak.</exception>
    public static MeasurementResult Measure(SoundSource source, MeasurementSettings settings, IProgress<double>? progress)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(settings);
        var sound = BiasSound.Read(source, settings.NominalHz, progress);
        var notes = new List<Note>(sound.Notes);
        var readings = new List<Reading>();
        var traces = new List<Trace>();
        CannotMeasureException? refused = null;
        var wanted = WantedDrop.Of(settings, sound.NominalHz, notes);
        for (var i = 0; i < sound.Tone.Length; i++)
        {
            var channel = i == 0 ? Channel.Left : Channel.Right;
            if (sound.Tone[i] is not { } course)
            {
                notes.Add(
                    Note.Error(
                        "dead-channel",
                        $"The {PlaybackMeasurement.Word(channel)} channel does not hold the tone: it is not measured. Check its cable and the deck's output."
                    )
                );
                continue;
            }

            traces.Add(
                new Trace("bias-level", channel, "s", "dBFS", [.. course.LevelDb.Select((_, k) => course.SecondsAt(k))], course.LevelDb)
            );
            try
            {
                if (sound.Clipped[i] is { } clipped)
                {
                    throw new CannotMeasureException(
                        "clipped",
                        FormattableString.Invariant(
                            $"The tone is clipped between {clipped.From:0.0} and {clipped.To:0.0} s, so its peak would read too low. Lower the input level and turn the bias over the peak again."
                        )
                    );
                }

                readings.AddRange(
                    new BiasChannel(course, sound.Companion[i], channel, sound.NominalHz, settings, wanted, notes).Readings()
                );
            }
            catch (CannotMeasureException e)
            {
                refused ??= e;
                notes.Add(Note.Error(e.Code, $"{(channel == Channel.Left ? "Left" : "Right")} channel: {e.Message}"));
            }
        }

        readings.AddRange(readings.Count > 0 ? sound.Leak : []);
        if (readings.Count == 0)
        {
            throw refused
                ?? new CannotMeasureException(
                    "no-tone",
                    "The tone does not stand for a second in either channel. Capture it from before the peak to past it."
                );
        }

        return new MeasurementResult("bias", [.. readings.OrderBy(r => Order(r.Quantity))], notes, traces);
    }

    /// <summary>Which side of the peak the end lies on, by the 1 kHz beside the tone.</summary>
    internal static BiasSide Side(double drop, double dropUncertainty, double companionChange, double companionUncertainty)
    {
        if (drop < Math.Max(0.3, dropUncertainty))
        {
            return BiasSide.AtPeak;
        }

        return companionChange - companionUncertainty > -OverShare * drop ? BiasSide.Over
            : companionChange + companionUncertainty < -UnderShare * drop ? BiasSide.Under
            : companionChange > -OverShare * drop && companionUncertainty < 0.15 * drop ? BiasSide.Over
            : BiasSide.Unknown;
    }

    /// <summary>A side as a reading's class says it.</summary>
    internal static string Word(BiasSide side) => side switch
    {
        BiasSide.Over => "over",
        BiasSide.Under => "under",
        BiasSide.AtPeak => "at-peak",
        _ => "side-unknown",
    };

    private static int Order(string quantity) => Array.IndexOf([.. Entry.Yields.Select(q => q.Id)], quantity);
}

/// <summary>On which side of the bias peak a level lies.</summary>
internal enum BiasSide
{
    /// <summary>Nothing says.</summary>
    Unknown,

    /// <summary>No drop to speak of.</summary>
    AtPeak,

    /// <summary>More bias than at the peak.</summary>
    Over,

    /// <summary>Less.</summary>
    Under,
}
