using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Tape;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Practice.Playing;

/// <summary>One pass of a tape: the sound for whoever measures, and apart from it the truth for whoever marks the result.</summary>
public sealed class PlaySession : IDisposable
{
    private readonly PracticeDeck _deck;
    private readonly PracticeTape _tape;
    private readonly PlayOptions _options;
    private readonly PracticeSound _sound;
    private PracticeTruth? _truth;

    internal PlaySession(PracticeDeck deck, PracticeTape tape, PlayOptions options)
    {
        (_deck, _tape, _options) = (deck, tape, options);
        _sound = new PracticeSound(deck, tape, options);
    }

    /// <summary>The sound as an interface heard it: two channels, streamed, memory flat with length. Never give measuring code anything
    /// else of this.</summary>
    public SoundSource Sound => _sound;

    /// <summary>
    /// What is true of this capture, found by running the same motions without sound. It may be asked before, while or after the sound is
    /// read.
    /// </summary>
    public PracticeTruth Truth => _truth ??= TruthSurvey.Take(_deck, _tape, _options);

    /// <summary>Samples read so far that went beyond full scale and were held at it.</summary>
    public long ClippedSamples => _sound.Clipped;

    /// <inheritdoc/>
    public void Dispose() => _sound.Dispose();
}
