using System.Numerics;
using Spoolwright.Practice.Waves;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Practice.Scenario;

/// <summary>A sound through the two inputs of an interface: a short filter each, and its noise where it is not in the sound
/// already.</summary>
internal sealed class InterfaceSound(SoundSource sound, float[] leftTaps, float[] rightTaps, NoiseStream[]? noise) : SoundSource
{
    private readonly float[][] _past = [new float[leftTaps.Length - 1], new float[rightTaps.Length - 1]];
    private readonly double _noise = BenchInterface.NoiseRms(sound.SampleRateHz);
    private float[] _line = [];

    /// <inheritdoc/>
    public override int SampleRateHz => sound.SampleRateHz;

    /// <inheritdoc/>
    public override int Channels => 2;

    /// <inheritdoc/>
    public override long? Frames => sound.Frames;

    /// <inheritdoc/>
    public override IReadOnlyList<Note> Notes => sound.Notes;

    /// <inheritdoc/>
    public override int Read(Span<float> left, Span<float> right)
    {
        var n = sound.Read(left, right);
        Run(0, leftTaps, left[..n]);
        Run(1, rightTaps, right[..n]);
        return n;
    }

    /// <inheritdoc/>
    protected override void Dispose(bool disposing) => sound.Dispose();

    private void Run(int channel, float[] taps, Span<float> samples)
    {
        var past = _past[channel];
        if (_line.Length < past.Length + samples.Length)
            _line = new float[past.Length + samples.Length];
        past.CopyTo(_line, 0);
        samples.CopyTo(_line.AsSpan(past.Length));
        _line.AsSpan(samples.Length, past.Length).CopyTo(past);
        var i = 0;
        for (; i <= samples.Length - Vector<float>.Count; i += Vector<float>.Count)
        {
            var sum = Vector<float>.Zero;
            for (var k = 0; k < taps.Length; k++)
                sum += taps[taps.Length - 1 - k] * new Vector<float>(_line, i + k);
            sum.CopyTo(samples[i..]);
        }

        for (; i < samples.Length; i++)
        {
            float sum = 0;
            for (var k = 0; k < taps.Length; k++)
                sum += taps[taps.Length - 1 - k] * _line[i + k];
            samples[i] = sum;
        }

        if (noise is null)
            return;
        for (i = 0; i < samples.Length; i++)
            samples[i] += (float)(_noise * noise[channel].NextGaussian());
    }
}
