using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App;

/// <summary>A sound source that counts the frames read from it: some files do not say how long they are.</summary>
internal sealed class CountedSound(SoundSource source) : SoundSource
{
    private long _frames;

    public override int SampleRateHz => source.SampleRateHz;

    public override int Channels => source.Channels;

    public override long? Frames => source.Frames;

    public override IReadOnlyList<Note> Notes => source.Notes;

    public override bool CanRewind => source.CanRewind;

    public override void Rewind()
    {
        source.Rewind();
        _frames = 0;
    }

    public override int Read(Span<float> left, Span<float> right)
    {
        var read = source.Read(left, right);
        _frames += read;
        return read;
    }

    /// <summary>Reads what is left and says how many frames there were in all.</summary>
    public long FramesToEnd()
    {
        Span<float> left = new float[16_384], right = new float[16_384];
        while (Read(left, right) > 0)
        {
        }

        return _frames;
    }
}
