using Spoolwright.Signal;
using Spoolwright.Signal.Alignment;
using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Bench.Samples;

/// <summary>
/// A marked sound and what came back of it from a tape, laid on one clock: that of the capture. Both are cut to the sound between the
/// markers.
/// </summary>
public sealed record SampleAlignment
{
    // Where the tape's own unevenness of speed may be heard the source must not follow it: only what is slower than this is followed.
    private const double HeardSeconds = 5;

    // A window sees 96 % of a flutter of 4 Hz, half of one of 15 Hz: twice more leaves a thousandth and an eighth.
    private const int Rounds = 2;

    /// <summary>The tape as it was captured, untouched.</summary>
    public required SampleSound Tape { get; init; }

    /// <summary>The source laid on the tape's clock through all its flutter: for figures.</summary>
    public required SampleSound SourceThroughFlutter { get; init; }

    /// <summary>The source laid on the tape's clock but for what is faster than some seconds: for ears, which are to hear the deck's
    /// flutter.</summary>
    public required SampleSound SourceInTime { get; init; }

    /// <summary>Lag of the tape behind the source as the markers alone lay them, s.</summary>
    public required LagCourse Lag { get; init; }

    /// <summary>Speed of the tape against that at which it was recorded.</summary>
    public required double Speed { get; init; }

    /// <summary>Lays them together.</summary>
    /// <param name="sent">The file that was recorded on the deck, markers and all.</param>
    /// <param name="heard">The capture of the deck's line output.</param>
    /// <exception cref="CannotMeasureException">A marker is missing, the tape runs backwards, or the sounds have nothing in
    /// common.</exception>
    public static SampleAlignment Of(SampleSound sent, SampleSound heard)
    {
        ArgumentNullException.ThrowIfNull(sent);
        ArgumentNullException.ThrowIfNull(heard);
        var (from, to) = (Markers(sent, "The source"), Markers(heard, "The capture"));
        var ratio = (to.End - to.Begin) / (from.End - from.Begin);
        double first = from.Begin + MarkedSound.SoundSeconds, length = from.End - SignalProgram.PauseSeconds - first;
        var start = (int)Math.Round((to.Begin + (ratio * MarkedSound.SoundSeconds)) * heard.SampleRateHz);
        var frames = Math.Min((int)(ratio * length * heard.SampleRateHz), heard.Left.Length - start);
        var tape = new SampleSound(heard.Left[start..(start + frames)], heard.Right[start..(start + frames)], heard.SampleRateHz);

        // Seconds of the source for a frame of the capture, by the markers.
        double SourceSeconds(double frame) => from.Begin + ((((start + frame) / heard.SampleRateHz) - to.Begin) / ratio);
        var warp = new Warp(Math.Min(0.95, 0.95 * heard.SampleRateHz / sent.SampleRateHz));
        SampleSound Laid(Func<double, double> lag)
        {
            var at = new double[frames];
            for (var i = 0; i < frames; i++)
            {
                at[i] = SourceSeconds(i - (lag((double)i / heard.SampleRateHz) * heard.SampleRateHz)) * sent.SampleRateHz;
            }

            float[] left = new float[frames], right = new float[frames];
            warp.Read(sent.Left, at, left);
            warp.Read(sent.Right, at, right);
            return new SampleSound(left, right, heard.SampleRateHz);
        }

        var near = Laid(_ => 0);
        var course =
            new LagSearch().Find((near.Left, near.Right), (tape.Left, tape.Right), heard.SampleRateHz)
            ?? throw new CannotMeasureException(
                "another-sound",
                "Between the markers the capture has nothing in common with the source. Name the file that was recorded on the deck."
            );
        var followed = Laid(course.At);
        for (var round = 0; round < Rounds; round++)
        {
            course = LagSearch.Refined((followed.Left, followed.Right), (tape.Left, tape.Right), heard.SampleRateHz, course);
            followed = Laid(course.At);
        }

        var slow = course.Slow(HeardSeconds);
        return new SampleAlignment
        {
            Tape = tape,
            SourceThroughFlutter = followed,
            SourceInTime = Laid(slow.At),
            Lag = course,
            Speed = 1 / (ratio * (1 + course.Line().Slope)),
        };
    }

    private static (double Begin, double End) Markers(SampleSound sound, string what)
    {
        var search = new MarkerSearch(sound.SampleRateHz, 2);
        search.Add(sound.Left, sound.Right);
        var found = search.Finish().Where(m => m.Word.Program == MarkedSound.Number).ToArray();
        if (found.Any(m => m.Word.IsBackwards))
        {
            throw new CannotMeasureException(
                "backwards",
                $"{what} holds the sound backwards. Play the tape in the direction in which it was recorded."
            );
        }

        double? Middle(bool end) =>
            found
                .Where(m => m.Word.Variant >= SignalProgram.EndVariant == end)
                .Select(m => (double?)(m.MiddleSeconds - (MarkerSweep.MarkerSeconds / 2)))
                .Average();
        if (Middle(false) is { } begin && Middle(true) is { } last && last > begin + 1)
        {
            return (begin, last);
        }

        if (search.SumsSides)
        {
            throw new CannotMeasureException(
                "summed-sides",
                $"Both sides of a marker stand in each channel of {what.ToLowerInvariant()}, equally strong: left and right were summed on their way (a mono switch, a mixer, a cable). Part the channels and capture again."
            );
        }

        throw new CannotMeasureException(
            "no-marker",
            $"{what} does not hold both markers of a sample. Record the whole file that spoolwright sample make wrote, and capture it from before its start to after its end."
        );
    }
}
