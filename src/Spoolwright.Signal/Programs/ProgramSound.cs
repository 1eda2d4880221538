using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Signal.Programs;

/// <summary>A program as sound, computed as it is read: the same samples each time, on every machine.</summary>
public sealed class ProgramSound : SoundSource
{
    private readonly SignalProgram _program;
    private readonly Sides _sides;
    private readonly double _referenceDb;
    private readonly int _rate;
    private readonly bool[] _begin;
    private readonly bool[] _end;
    private readonly double _markerAmplitude;
    private readonly Voice[][] _voices;
    private readonly long _frames;
    private long _at;

    /// <param name="program">What to sound.</param>
    /// <param name="sampleRateHz">Frames per second.</param>
    /// <param name="referenceDbfs">Level of a sine that gives the deck's reference level at record, dBFS.</param>
    /// <param name="sides">Sides that sound; the other is silent.</param>
    /// <exception cref="ArgumentException">A tone lies above what the rate can hold.</exception>
    public ProgramSound(SignalProgram program, int sampleRateHz, double referenceDbfs, Sides sides = Sides.Both)
    {
        ArgumentNullException.ThrowIfNull(program);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(sampleRateHz);
        var highest = program.Steps.SelectMany(s => s.Tones).Select(t => t.FrequencyHz).Append(MarkerSweep.HighestHz).Max();
        if (highest > 0.47 * sampleRateHz)
        {
            throw new ArgumentException(
                $"The program {program.Name} has a tone of {highest} Hz, which {sampleRateHz} Hz cannot hold.",
                nameof(sampleRateHz)
            );
        }

        _program = program;
        _rate = sampleRateHz;
        _referenceDb = referenceDbfs;
        _sides = sides;
        _begin = MarkerCode.Encode(program.Number, program.Variant);
        _end = MarkerCode.Encode(program.Number, program.Variant + SignalProgram.EndVariant);
        _markerAmplitude = Amplitude(SignalProgram.MarkerLevelDb);
        _frames = (long)Math.Ceiling(program.Seconds * sampleRateHz);
        _voices = [.. program.Steps.Select(s => s.Tones.Select((t, k) => new Voice(
            Amplitude(t.LevelDb),
            2 * Math.PI * t.FrequencyHz,
            s.Tones.Count > 2 ? Math.PI * k * k / s.Tones.Count : 0, // phases that keep many tones from peaking together
            t.Sides & sides)).ToArray())];
    }

    /// <inheritdoc/>
    public override int SampleRateHz => _rate;

    /// <inheritdoc/>
    public override int Channels => 2;

    /// <inheritdoc/>
    public override long? Frames => _frames;

    /// <inheritdoc/>
    public override IReadOnlyList<Note> Notes => [];

    /// <inheritdoc/>
    public override bool CanRewind => true;

    /// <inheritdoc/>
    public override void Rewind() => _at = 0;

    /// <summary>The highest magnitude of any sample, full scale 1. Leaves the sound rewound.</summary>
    public double Peak()
    {
        var (left, right) = (new float[1 << 14], new float[1 << 14]);
        double peak = 0;
        Rewind();
        for (int n; (n = Read(left, right)) > 0;)
        {
            for (var i = 0; i < n; i++)
            {
                peak = Math.Max(peak, Math.Max(Math.Abs(left[i]), Math.Abs(right[i])));
            }
        }

        Rewind();
        return peak;
    }

    /// <inheritdoc/>
    public override int Read(Span<float> left, Span<float> right)
    {
        var n = (int)Math.Min(left.Length, _frames - _at);
        for (var i = 0; i < n; i++)
        {
            var t = ((_at + i) / (double)_rate) - SignalProgram.PauseSeconds;
            var (l, r) = At(t);
            left[i] = (float)l;
            right[i] = (float)r;
        }

        _at += n;
        return n;
    }

    private (double Left, double Right) At(double t)
    {
        var (sweeps, since) = t < MarkerSweep.MarkerSeconds ? (_begin, t) : (_end, t - _program.EndMarkerSeconds);
        if (since >= 0)
        {
            return (
                _sides.HasFlag(Sides.Left) ? _markerAmplitude * MarkerSweep.MarkerValue(since, sweeps, false) : 0,
                _sides.HasFlag(Sides.Right) ? _markerAmplitude * MarkerSweep.MarkerValue(since, sweeps, true) : 0);
        }

        for (var s = 0; s < _program.Steps.Count; s++)
        {
            var step = _program.Steps[s];
            var at = t - step.StartSeconds;
            if (at <= 0 || at >= step.Seconds)
            {
                continue;
            }

            var beside = Math.Min(at, step.Seconds - at) / SignalProgram.EdgeSeconds;
            var edge = beside < 1 ? 0.5 - (0.5 * Math.Cos(Math.PI * beside)) : 1;
            double l = 0, r = 0;
            foreach (var voice in _voices[s])
            {
                var value = edge * voice.Amplitude * Math.Sin((voice.Omega * at) + voice.Phase);
                l += voice.Sides.HasFlag(Sides.Left) ? value : 0;
                r += voice.Sides.HasFlag(Sides.Right) ? value : 0;
            }

            return (l, r);
        }

        return (0, 0);
    }

    private double Amplitude(double levelDb) => Math.Pow(10, (_referenceDb + levelDb) / 20);

    private readonly record struct Voice(double Amplitude, double Omega, double Phase, Sides Sides);
}
