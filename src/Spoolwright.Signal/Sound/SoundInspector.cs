namespace Spoolwright.Signal.Sound;

/// <summary>
/// Looks over every capture, beside the meters, for what would make their figures wrong: clipping, offset, a dead channel,
/// silence, one input on both channels, and breaks where samples were lost. Fed the same blocks; what it says does not hang on their size.
/// Allocates nothing while it is fed.
/// </summary>
public sealed class SoundInspector
{
    /// <summary>A channel's mean above this is told, in dB re full scale: some 0.3 % of the range.</summary>
    public const double OffsetDb = -50;

    /// <summary>A channel this much weaker than the other, in dB, is dead.</summary>
    public const double DeadDb = 60;

    /// <summary>Root mean square, in dB re full scale, under which there is no sound at all: below the noise of any converter.</summary>
    public const double SilenceDb = -120;

    // The largest value of sixteen bits, less half a step.
    private const double FullScale = 1 - (1.5 / 32768);

    /// <summary>Lowest frequency of sound, in Hz: the mean of a shorter stretch says nothing of an offset.</summary>
    private const double LowestSoundHz = 20;

    private readonly int _sampleRateHz;
    private readonly ChannelInspector[] _channels;
    private long _frames;
    private bool _isIdentical = true;

    /// <param name="sampleRateHz">Frames per second, in Hz, above 0.</param>
    /// <param name="channels">1 or 2.</param>
    /// <param name="bits">Bits of a sample where the sound was stored as integers, 4 to 32; a coarser step makes flat tops of its
    /// own.</param>
    /// <exception cref="ArgumentOutOfRangeException">An argument is outside its range.</exception>
    public SoundInspector(int sampleRateHz, int channels, int bits = 24)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(sampleRateHz);
        ArgumentOutOfRangeException.ThrowIfLessThan(channels, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(channels, 2);
        ArgumentOutOfRangeException.ThrowIfLessThan(bits, 4);
        _sampleRateHz = sampleRateHz;
        _channels = [.. Enumerable.Range(0, channels).Select(_ => new ChannelInspector(sampleRateHz, Math.Min(bits, 24)))];
    }

    /// <summary>An inspector for a file's sound.</summary>
    public static SoundInspector For(SoundFileReader reader)
    {
        ArgumentNullException.ThrowIfNull(reader);
        return new(reader.SampleRateHz, reader.Channels, reader.Format.Encoding == SampleEncoding.Float ? 24 : reader.Format.Bits);
    }

    /// <summary>True once a break was found: such a capture must not be measured.</summary>
    public bool HasBreak => _channels.Any(c => c.Breaks.Count > 0);

    /// <summary>
    /// Where a channel's samples can go no further, full scale 1: the level of its flat tops, or full scale where it goes there. A tone
    /// of few samples a period has no flat tops, however far it is clipped: who follows one counts samples that stand here. Null where
    /// neither is so.
    /// </summary>
    /// <param name="channel">0 left, 1 right.</param>
    /// <exception cref="ArgumentOutOfRangeException">There is no such channel.</exception>
    public double? Ceiling(int channel)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(channel);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(channel, _channels.Length);
        var clipping = _channels[channel].Clipping;
        return clipping.Runs > 0 ? clipping.Level
            : _channels[channel].Peak >= FullScale ? FullScale
            : null;
    }

    /// <summary>Takes the next frames.</summary>
    /// <param name="left">Left (or only) channel.</param>
    /// <param name="right">Right channel, as long as the left; not looked at when there is one channel.</param>
    /// <exception cref="ArgumentException">The channels differ in length.</exception>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        if (_channels.Length == 2 && left.Length != right.Length)
            throw new ArgumentException($"The right block holds {right.Length} samples, the left {left.Length}.", nameof(right));
        _channels[0].Add(left);
        if (_channels.Length == 2)
        {
            _channels[1].Add(right);
            // Values, not bytes: plus and minus zero are the same sound.
            _isIdentical = _isIdentical && left.SequenceEqual(right);
        }

        _frames += left.Length;
    }

    /// <summary>What was found so far, left channel before right.</summary>
    public IReadOnlyList<Note> Notes()
    {
        var notes = new List<Note>();
        if (_frames == 0)
            return notes;
        if (_channels.All(c => c.LevelDb < SilenceDb))
        {
            notes.Add(Note.Warning(
                "silence",
                _channels.Length == 1
                    ? "The sound is silent from start to end; check the connection and capture it again."
                    : "Both channels are silent from start to end; check the connections and capture it again."));
        }
        else if (_channels.Length == 2)
        {
            AddDead(notes);
            if (_isIdentical)
                notes.Add(Note.Warning(
                    "identical-channels",
                    "Both channels are the same, bit for bit: one input was sent to both, so nothing between the channels can be measured. "
                    + "Connect both outputs and capture in stereo."));
        }

        for (var i = 0; i < _channels.Length; i++)
        {
            var name = _channels.Length == 1 ? "The sound" : i == 0 ? "The left channel" : "The right channel";
            AddClipping(notes, name, _channels[i]);
            AddOver(notes, name, _channels[i]);
            AddOffset(notes, name, _channels[i]);
            AddBreaks(notes, name, _channels[i].Breaks);
        }

        return notes;
    }

    private void AddDead(List<Note> notes)
    {
        var difference = _channels[0].LevelDb - _channels[1].LevelDb;
        if (Math.Abs(difference) <= DeadDb)
            return;
        var name = difference < 0 ? "left" : "right";
        var dead = _channels[difference < 0 ? 0 : 1];
        notes.Add(Note.Warning(
            "dead-channel",
            $"The {name} channel is dead: {(dead.IsConstant ? "it never changes" : $"it lies {Math.Abs(difference):0} dB below the other")}. "
            + "Check its cable and the head's connection."));
    }

    private void AddClipping(List<Note> notes, string name, ChannelInspector channel)
    {
        var clipping = channel.Clipping;
        var count = clipping.Runs < ClipFinder.MostRuns
            ? $"{clipping.Runs} times ({clipping.Samples} samples)"
            : $"{ClipFinder.MostRuns} times or more";
        if (clipping.Runs > 0)
            notes.Add(Note.Warning(
                "clipped",
                $"{name} is clipped {count}, first at {clipping.First / (double)_sampleRateHz:0.000} s, "
                + $"at {20 * Math.Log10(Math.Max(clipping.Level, 1e-6)):0.0} dB re full scale. Lower the input level and capture it again."));
    }

    private static void AddOver(List<Note> notes, string name, ChannelInspector channel)
    {
        // What integers hold ends at full scale; half a step more is rounding.
        var over = 20 * Math.Log10(Math.Max(channel.Peak, 1e-20));
        if (over > 0.01)
            notes.Add(Note.Hint(
                "over-full-scale",
                $"{name} reaches {over:0.0} dB over full scale. Floating-point samples can hold that and levels are counted from full scale all the same, "
                + "but no converter gives it: the sound was amplified after it was captured, and absolute levels may be off."));
    }

    private void AddOffset(List<Note> notes, string name, ChannelInspector channel)
    {
        // A sine at the lowest frequency leaves at most this mean behind when it is cut anywhere.
        var chance = channel.Peak / (Math.PI * LowestSoundHz * _frames / _sampleRateHz);
        if (Math.Abs(channel.Mean) > Math.Max(Math.Pow(10, OffsetDb / 20), chance))
            notes.Add(Note.Warning(
                "dc-offset",
                $"{name} has an offset of {100 * channel.Mean:+0.00;-0.00;0.00} % of full scale ({20 * Math.Log10(Math.Abs(channel.Mean)):0.0} dB); "
                + "look for a leaking coupling capacitor, or the interface's input."));
    }

    private void AddBreaks(List<Note> notes, string name, BreakFinder breaks)
    {
        if (breaks.Count > 0)
            notes.Add(Note.Warning(
                "break",
                $"{name} breaks off {(breaks.Count == 1 ? "once" : $"{breaks.Count} times, first")} at {breaks.First / (double)_sampleRateHz:0.000} s for "
                + $"{1000 * breaks.FirstLength / (double)_sampleRateHz:0.0} ms of exact zeros: samples were lost on the way in. Capture it again."));
    }
}
