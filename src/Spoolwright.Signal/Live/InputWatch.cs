using Spoolwright.Signal.Sound;

namespace Spoolwright.Signal.Live;

/// <summary>
/// Watches a live input for what would make its figures wrong: one input sent to both channels, silence, a dead channel, clipping, samples
/// lost. Says what holds now, not since the beginning; only breaks are counted. Allocates nothing while it is fed.
/// </summary>
public sealed class InputWatch
{
    private const double HeldSeconds = 0.5;
    private const double IdenticalSeconds = 1;
    private readonly int _rate;
    private readonly BreakFinder _leftBreaks, _rightBreaks;
    private readonly double _fall;
    private double _peakLeft, _peakRight, _powerLeft, _powerRight;
    private long _identical;
    private long _sinceClip = long.MaxValue / 2;

    /// <param name="sampleRateHz">Frames per second.</param>
    public InputWatch(int sampleRateHz)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(sampleRateHz);
        _rate = sampleRateHz;
        const float step = 1f / (1 << 23);
        (_leftBreaks, _rightBreaks) = (new BreakFinder(sampleRateHz, step), new BreakFinder(sampleRateHz, step));
        _fall = 1 / (HeldSeconds * sampleRateHz);
    }

    /// <summary>Frames heard.</summary>
    public long Frames { get; private set; }

    /// <summary>Places where samples were lost so far.</summary>
    public int Breaks => Math.Max(_leftBreaks.Count, _rightBreaks.Count);

    /// <summary>Highest peak of about the last half second, dBFS; −200 where silent.</summary>
    public (double Left, double Right) PeakDb => (Db(_peakLeft * _peakLeft), Db(_peakRight * _peakRight));

    /// <summary>Level by rms over about the last half second, on the scale of sines, dBFS.</summary>
    public (double Left, double Right) LevelDb => (Db(2 * _powerLeft), Db(2 * _powerRight));

    /// <summary>Takes the next frames.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        if (left.Length == 0)
        {
            return;
        }

        _leftBreaks.Add(left);
        _rightBreaks.Add(right);
        var same = left.SequenceEqual(right);
        Channel(left, ref _peakLeft, ref _powerLeft);
        Channel(right, ref _peakRight, ref _powerRight);
        // Two silent channels are the same too, and no fault.
        _identical = same && _powerLeft > 1e-12 ? _identical + left.Length : 0;
        _sinceClip = _peakLeft >= 1 || _peakRight >= 1 ? 0 : _sinceClip + left.Length;
        Frames += left.Length;
    }

    /// <summary>What a person should know now, the gravest first.</summary>
    /// <param name="breaks">Places where samples were lost, by whatever found them.</param>
    public IReadOnlyList<Note> Notes(int breaks)
    {
        var notes = new List<Note>();
        var (left, right) = LevelDb;
        if (_identical > IdenticalSeconds * _rate)
        {
            notes.Add(
                Note.Error(
                    "identical-channels",
                    "Both channels are the same, bit for bit: the input is mono, or something sums it. Nothing between the channels can be measured. Choose a stereo input."
                )
            );
        }

        if (Frames > _rate / 2 && Math.Max(left, right) < SoundInspector.SilenceDb)
        {
            notes.Add(Note.Warning("silence", "The input is silent. Check the cable, the interface's input and its level."));
        }
        else if (Frames > _rate / 2 && Math.Abs(left - right) > SoundInspector.DeadDb)
        {
            notes.Add(
                Note.Warning(
                    "dead-channel",
                    $"The {(left < right ? "left" : "right")} channel is dead: it lies {Math.Abs(left - right):0} dB below the other. Check its cable."
                )
            );
        }

        if (_sinceClip < 2L * _rate)
        {
            notes.Add(Note.Warning("clipped", "The input reaches full scale. Lower its level."));
        }

        if (breaks > 0)
        {
            notes.Add(
                Note.Warning(
                    "break",
                    $"Samples were lost {breaks} {(breaks == 1 ? "time" : "times")} since this input was opened: a capture kept meanwhile is not measured. Close other programs."
                )
            );
        }

        return notes;
    }

    private void Channel(ReadOnlySpan<float> samples, ref double peak, ref double power)
    {
        double sum = 0, most = 0;
        foreach (var x in samples)
        {
            sum += x * x;
            most = Math.Max(most, Math.Abs(x));
        }

        if (!double.IsFinite(sum))
        {
            return;
        }

        var share = 1 - Math.Exp(-samples.Length * _fall);
        power += share * ((sum / samples.Length) - power);
        peak = Math.Max(most, peak * (1 - share));
    }

    private static double Db(double power) => power > 1e-20 ? 10 * Math.Log10(power) : -200;
}
