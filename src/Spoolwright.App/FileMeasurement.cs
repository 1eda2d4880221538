using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App;

/// <summary>What came of measuring one file.</summary>
/// <param name="Capture">The file by name and hash.</param>
/// <param name="Result">What was found in it.</param>
/// <param name="Judgements">The readings held against the limits, in the limits' order; empty without limits.</param>
public sealed record MeasuredFile(Capture Capture, MeasurementResult Result, IReadOnlyList<Judgement> Judgements)
{
    /// <summary>Whether a limit is not met. Not proven and not measured are no such thing.</summary>
    public bool BreaksLimit => Judgements.Any(j => j.Verdict == Verdict.NotMet);
}

/// <summary>The one way from a sound file to readings and verdicts, for commands and pages alike.</summary>
public static class FileMeasurement
{
    /// <summary>Opens, measures, hashes and judges one file.</summary>
    /// <param name="entry">What to measure.</param>
    /// <param name="path">The file, as the person gave it.</param>
    /// <param name="channels">Which channels are left and right; null: the first two.</param>
    /// <param name="settings">What is known beside the capture.</param>
    /// <param name="limits">Limits to hold the readings against; those of quantities the entry does not read are passed over.</param>
    /// <param name="progress">Told how far it is, 0 to 1.</param>
    /// <exception cref="CannotMeasureException">The file cannot be read as sound or measured.</exception>
    /// <exception cref="IOException">The file cannot be opened; <see cref="UnauthorizedAccessException"/> where it may not be.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A chosen channel is not in the file.</exception>
    public static MeasuredFile Run(
        MeasurementEntry entry,
        string path,
        ChannelPair? channels,
        MeasurementSettings settings,
        IReadOnlyList<Limit> limits,
        IProgress<double>? progress = null)
    {
        ArgumentNullException.ThrowIfNull(entry);
        var measure =
            entry.Measure ?? throw new CannotMeasureException("no-method", $"this build has no method for {entry.Id}; use a newer one");
        using var bytes = new HashedFile(path);
        using var file = SoundFile.Open(bytes, channels, leaveOpen: true);
        using var sound = new CountedSound(file);
        var result = Measured(measure, sound, settings, progress);

        var frames = file.Frames ?? sound.FramesToEnd();
        var capture = new Capture(path, bytes.Finish(), file.SampleRateHz, file.Format.ChannelsInFile, frames / (double)file.SampleRateHz);
        result = result with { Notes = [.. result.Notes.Union(file.Notes)] };
        return new MeasuredFile(capture, result, Judged(entry, result.Readings, limits, settings.Condition));
    }

    private static MeasurementResult Measured(
        Func<SoundSource, MeasurementSettings, IProgress<double>?, MeasurementResult> measure,
        SoundSource sound,
        MeasurementSettings settings,
        IProgress<double>? progress
    )
    {
        try
        {
            return measure(sound, settings, progress);
        }
        catch (CannotMeasureException e) when (sound.Notes.FirstOrDefault(n => n.Code == "not-a-number") is { } broken)
        {
            // Samples that are no numbers were read as zero: that is what is wrong, whatever the method then missed.
            throw new CannotMeasureException(broken.Code, broken.Text, e);
        }
    }

    private static IReadOnlyList<Judgement> Judged(
        MeasurementEntry entry, IReadOnlyList<Bench.Reading> readings, IReadOnlyList<Limit> limits, Bench.Condition? condition)
    {
        var read = entry.Yields.Select(q => q.Id).ToHashSet(StringComparer.Ordinal);
        return Judge.Readings(readings, [.. limits.Where(l => read.Contains(l.Quantity))], condition);
    }
}
