namespace Spoolwright.Signal.Sound;

/// <summary>
/// Sound read block by block from a file's bytes, one or two of its channels. Memory does not grow with the file's length.
/// Full scale of integers is exactly ±1: a sample of n bits is divided by 2^(n-1).
/// </summary>
public abstract class SoundFileReader : SoundSource
{
    private readonly List<Note> _notes;

    private protected SoundFileReader(SoundFormat format, ChannelPair? channels, IEnumerable<Note> notes)
    {
        Format = format;
        _notes = [.. notes];
        var pair = channels ?? new ChannelPair(1, Math.Min(2, format.ChannelsInFile));
        ChannelPair.MustFit(pair, format.ChannelsInFile);
        LeftIndex = pair.Left - 1;
        RightIndex = pair.Right - 1;
        Channels = pair.IsSingle ? 1 : 2;
    }

    /// <summary>How the file holds its sound.</summary>
    public SoundFormat Format { get; }

    /// <inheritdoc/>
    public override int SampleRateHz => Format.SampleRateHz;

    /// <inheritdoc/>
    public override int Channels { get; }

    /// <inheritdoc/>
    public override long? Frames => Format.Frames;

    /// <inheritdoc/>
    public override IReadOnlyList<Note> Notes => _notes;

    /// <summary>Place of the left channel among the file's, from 0.</summary>
    private protected int LeftIndex { get; }

    /// <summary>Place of the right channel among the file's, from 0.</summary>
    private protected int RightIndex { get; }

    private protected void AddNote(Note note) => _notes.Add(note);

    /// <summary>Puts a note in the place of an earlier one (or at the end for a negative place); returns its place.</summary>
    private protected int ReplaceNote(int place, Note note)
    {
        if (place < 0)
        {
            place = _notes.Count;
            _notes.Add(note);
        }

        _notes[place] = note;
        return place;
    }

    private protected void MustHaveRoom(Span<float> left, Span<float> right)
    {
        if (Channels == 2 && right.Length < left.Length)
            throw new ArgumentException($"The right buffer holds {right.Length} samples, the left {left.Length}.", nameof(right));
    }
}
