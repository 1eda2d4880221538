using Spoolwright.Bench.Live;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Web;

/// <summary>Tones that sound together without end, both sides alike; begun at any moment they go on in phase.</summary>
internal sealed class SteadyTones : SoundSource
{
    private readonly (double Turns, double Amplitude)[] _voices;
    private long _at;

    /// <param name="signal">The tones.</param>
    /// <param name="sampleRateHz">Frames per second.</param>
    /// <param name="referenceDbfs">Level of a sine that asks for reference level, dBFS.</param>
    /// <param name="startSeconds">Moment it is begun at, s.</param>
    public SteadyTones(SentSignal signal, int sampleRateHz, double referenceDbfs, double startSeconds)
    {
        SampleRateHz = sampleRateHz;
        _at = (long)Math.Round(startSeconds * sampleRateHz);
        _voices = [.. signal.Tones.Select(t => (t.FrequencyHz / sampleRateHz, Math.Pow(10, (referenceDbfs + t.LevelDb) / 20)))];
    }

    /// <inheritdoc/>
    public override int SampleRateHz { get; }

    /// <inheritdoc/>
    public override int Channels => 2;

    /// <inheritdoc/>
    public override long? Frames => null;

    /// <inheritdoc/>
    public override IReadOnlyList<Note> Notes => [];

    /// <inheritdoc/>
    public override int Read(Span<float> left, Span<float> right)
    {
        for (var i = 0; i < left.Length; i++, _at++)
        {
            var sum = 0.0;
            foreach (var (turns, amplitude) in _voices)
                sum += amplitude * Math.Sin(2 * Math.PI * (turns * _at % 1));
            left[i] = right[i] = (float)sum;
        }

        return left.Length;
    }
}
