using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Signal.Programs;

/// <summary>Any sound between two markers, so that it is found again when it comes back from a tape.</summary>
public sealed class MarkedSound : SoundSource
{
    /// <summary>Number in the markers.</summary>
    public const int Number = 20;

    private readonly float[] _left;
    private readonly float[] _right;
    private readonly bool[] _begin = MarkerCode.Encode(Number, 0);
    private readonly bool[] _end = MarkerCode.Encode(Number, SignalProgram.EndVariant);
    private readonly double _amplitude;
    private readonly int _lead;
    private long _at;

    /// <param name="left">Left side, full scale 1.</param>
    /// <param name="right">Right side, of the same length.</param>
    /// <param name="sampleRateHz">Frames per second.</param>
    /// <param name="referenceDbfs">Level of a sine that gives the deck's reference level at record, dBFS.</param>
    public MarkedSound(float[] left, float[] right, int sampleRateHz, double referenceDbfs)
    {
        ArgumentNullException.ThrowIfNull(left);
        ArgumentNullException.ThrowIfNull(right);
        ArgumentOutOfRangeException.ThrowIfNotEqual(right.Length, left.Length, nameof(right));
        (_left, _right, SampleRateHz) = (left, right, sampleRateHz);
        _amplitude = Math.Pow(10, (referenceDbfs + SignalProgram.MarkerLevelDb) / 20);
        _lead = (int)Math.Round(LeadSeconds * sampleRateHz);
    }

    /// <summary>From the first marker's start to the sound's first frame, s.</summary>
    public static double SoundSeconds => MarkerSweep.MarkerSeconds + SignalProgram.PauseSeconds;

    private static double LeadSeconds => SignalProgram.PauseSeconds + SoundSeconds;

    /// <inheritdoc/>
    public override int SampleRateHz { get; }

    /// <inheritdoc/>
    public override int Channels => 2;

    /// <inheritdoc/>
    public override long? Frames => _left.Length + (2L * _lead);

    /// <inheritdoc/>
    public override IReadOnlyList<Note> Notes => [];

    /// <inheritdoc/>
    public override bool CanRewind => true;

    /// <summary>From the first marker's start to that of the last, s.</summary>
    public double EndMarkerSeconds => SoundSeconds + ((double)_left.Length / SampleRateHz) + SignalProgram.PauseSeconds;

    /// <inheritdoc/>
    public override void Rewind() => _at = 0;

    /// <inheritdoc/>
    public override int Read(Span<float> left, Span<float> right)
    {
        var n = (int)Math.Min(left.Length, Frames!.Value - _at);
        for (var i = 0; i < n; i++)
        {
            var frame = _at + i - _lead;
            if (frame >= 0 && frame < _left.Length)
            {
                (left[i], right[i]) = (_left[frame], _right[frame]);
                continue;
            }

            var t = ((_at + i) / (double)SampleRateHz) - SignalProgram.PauseSeconds;
            var (row, since) = frame < 0 ? (_begin, t) : (_end, t - EndMarkerSeconds);
            left[i] = since < 0 ? 0 : (float)(_amplitude * MarkerSweep.MarkerValue(since, row, false));
            right[i] = since < 0 ? 0 : (float)(_amplitude * MarkerSweep.MarkerValue(since, row, true));
        }

        _at += n;
        return n;
    }
}
