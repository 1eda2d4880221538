namespace Spoolwright.Signal.Live;

/// <summary>
/// Looks at a known signal that was sent out and has come back through an input, and says what was done to it on the way: channels summed,
/// exchanged or mixed, gain that follows the sound, sound taken for noise and taken away, bass or treble cut off. The signal is
/// <see cref="Steps"/>, played once from any moment after the check began; the way's delay and gain are free.
/// </summary>
public sealed class InputCheck
{
    /// <summary>Length of a step, s.</summary>
    public const double StepSeconds = 1.5;

    /// <summary>What is sent: frequency left and right, Hz, and the level of both, dBFS.</summary>
    public static IReadOnlyList<(double LeftHz, double RightHz, double LevelDb)> Steps { get; } =
    [(1000, 1600, -20), (1000, 1600, -40), (100, 12_000, -20), (1000, 1600, -20)];

    private const double BlockSeconds = 0.05;
    private const double MarginSeconds = 0.35;
    private const double LongestWait = 4;

    // How far gain may be off what was sent, dB: interfaces keep to hundredths; the fade of a tone and the mains leave tenths.
    private const double GainDb = 0.7;
    private const double BandDb = 4;
    private const double RestlessDb = 0.5;
    private const double LeakDb = 30;
    private const double SameDb = 6;
    private static readonly double[] Tones = [1000, 1600, 100, 12_000];
    private readonly double _rate;
    private readonly int _blockFrames;
    private readonly float[] _left, _right;
    private readonly List<double[]> _levels = [];
    private int _held;
    private List<Note>? _notes;

    /// <param name="sampleRateHz">Frames per second.</param>
    public InputCheck(double sampleRateHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 32_000);
        _rate = sampleRateHz;
        _blockFrames = (int)(BlockSeconds * sampleRateHz);
        (_left, _right) = (new float[_blockFrames], new float[_blockFrames]);
    }

    /// <summary>How far it is, 0 to 1.</summary>
    public double Progress => IsDone ? 1 : Math.Min(1, _levels.Count * BlockSeconds / LongestSeconds);

    /// <summary>Whether it has come to an end.</summary>
    public bool IsDone => _notes is not null;

    /// <summary>Whether nothing was found that makes measuring through this input untrue.</summary>
    public bool IsUsable => IsDone && !_notes!.Exists(n => n.Severity == NoteSeverity.Error);

    /// <summary>What was found; empty until it is done.</summary>
    public IReadOnlyList<Note> Notes => _notes ?? [];

    private static double LongestSeconds => (Steps.Count * StepSeconds) + LongestWait;

    /// <summary>Takes the next frames of both channels.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        while (left.Length > 0 && !IsDone)
        {
            var take = Math.Min(left.Length, _blockFrames - _held);
            left[..take].CopyTo(_left.AsSpan(_held));
            right[..take].CopyTo(_right.AsSpan(_held));
            _held += take;
            left = left[take..];
            right = right[take..];
            if (_held < _blockFrames)
                return;
            _held = 0;
            _levels.Add([.. Tones.Select(f => Level(_left, f)), .. Tones.Select(f => Level(_right, f))]);
            if (Onset() is { } at && _levels.Count >= at + Blocks(Steps.Count * StepSeconds))
                _notes = Judge(at);
            else if (_levels.Count * BlockSeconds >= LongestSeconds)
                _notes = Onset() is { } late ? Judge(late) : [Nothing];
        }
    }

    private static Note Nothing =>
        Note.Error(
            "nothing-came",
            "What was sent did not come back. Connect the interface's output to its input (or set the deck to source), raise the level, and check again."
        );

    private static int Blocks(double seconds) => (int)Math.Round(seconds / BlockSeconds);

    // The first block in which one of the first step's tones stands.
    private int? Onset()
    {
        for (var i = 0; i < _levels.Count; i++)
        {
            var b = _levels[i];
            if (Math.Max(Math.Max(b[0], b[1]), Math.Max(b[4], b[5])) > -85)
                return i;
        }

        return null;
    }

    private List<Note> Judge(int onset)
    {
        var notes = new List<Note>();
        double Of(int step, int channel, double hz)
        {
            var from = onset + Blocks((step * StepSeconds) + MarginSeconds);
            var to = onset + Blocks(((step + 1) * StepSeconds) - MarginSeconds + 0.05);
            return Enumerable
                .Range(from, to - from)
                .Where(i => i < _levels.Count)
                .Select(i => _levels[i][(4 * channel) + Array.IndexOf(Tones, hz)])
                .DefaultIfEmpty(-200)
                .Average();
        }

        double ll = Of(0, 0, 1000), lr = Of(0, 0, 1600), rl = Of(0, 1, 1000), rr = Of(0, 1, 1600);
        if (Math.Max(ll, lr) < -100 || Math.Max(rl, rr) < -100)
        {
            return
            [
                Note.Error(
                    "dead-channel",
                    $"Only the {(Math.Max(ll, lr) < -100 ? "right" : "left")} channel came back. Check the other one's cable."
                ),
            ];
        }

        if (Math.Abs(ll - rl) < SameDb && Math.Abs(lr - rr) < SameDb)
        {
            return
            [
                Note.Error(
                    "mono-summed",
                    "What was sent left and right apart comes back mixed in both channels: the input, the browser or the system sums to mono. Nothing between the channels can be measured. Choose a stereo input, and set the system to stereo."
                ),
            ];
        }

        if (lr > ll && rl > rr)
        {
            return [Note.Error("exchanged", "Left and right are exchanged on the way. Exchange the two cables.")];
        }

        var leak = Math.Max(lr - ll, rl - rr);
        if (leak > -LeakDb)
            notes.Add(
                Note.Error(
                    "mixed",
                    FormattableString.Invariant(
                        $"A channel holds the other one's sound only {-leak:0} dB down: something widens or mixes the channels. Switch every effect of the system's sound off."
                    )
                )
            );
        var (left, right) = (Of(0, 0, 1000) - Of(1, 0, 1000), Of(0, 1, 1600) - Of(1, 1, 1600));
        var sent = Steps[0].LevelDb - Steps[1].LevelDb;
        if (Math.Abs(left - sent) > GainDb || Math.Abs(right - sent) > GainDb)
            notes.Add(
                Note.Error(
                    "gain-follows",
                    FormattableString.Invariant(
                        $"What was sent {sent:0} dB quieter comes back {left:0.0} dB (left) and {right:0.0} dB (right) quieter: gain control or noise suppression is at work. Switch it off in the system's sound settings, or choose another input."
                    )
                )
            );
        var (again, againRight) = (Of(3, 0, 1000) - ll, Of(3, 1, 1600) - rr);
        if (Math.Abs(again) > GainDb || Math.Abs(againRight) > GainDb)
            notes.Add(
                Note.Error(
                    "gain-wanders",
                    FormattableString.Invariant(
                        $"The same tone comes back {again:+0.0;-0.0;0.0} dB (left) and {againRight:+0.0;-0.0;0.0} dB (right) different a few seconds later: something follows the sound."
                    )
                )
            );
        if (Restless(onset) is > RestlessDb and var restless)
            notes.Add(
                Note.Error(
                    "restless",
                    FormattableString.Invariant(
                        $"A steady tone comes back with its level moving by {restless:0.0} dB: echo cancelling or noise suppression is at work."
                    )
                )
            );
        var (bass, treble) = (Of(2, 0, 100) - ll, Of(2, 1, 12_000) - rr);
        if (bass < -BandDb)
            notes.Add(
                Note.Error(
                    "bass-cut",
                    FormattableString.Invariant(
                        $"100 Hz comes back {-bass:0.0} dB down: a filter for speech is at work. Choose the interface's line input."
                    )
                )
            );
        if (treble < -BandDb)
            notes.Add(
                Note.Error(
                    "treble-cut",
                    FormattableString.Invariant(
                        $"12 kHz comes back {-treble:0.0} dB down: a filter for speech, or a slow sample rate, is at work. Choose the interface's line input at 44.1 kHz or more."
                    )
                )
            );
        if (notes.Count == 0)
            notes.Add(
                Note.Hint(
                    "clean",
                    FormattableString.Invariant(
                        $"The sound comes back as it was sent: channels apart by {-leak:0} dB or more, {sent:0} dB steps true, 100 Hz at {bass:+0.0;-0.0;0.0} dB and 12 kHz at {treble:+0.0;-0.0;0.0} dB."
                    )
                )
            );
        return notes;
    }

    private double Restless(int onset)
    {
        var from = onset + Blocks(MarginSeconds);
        var of = Enumerable.Range(from, Blocks(StepSeconds - (2 * MarginSeconds))).Where(i => i < _levels.Count).ToArray();
        double Span(int at) => of.Length == 0 ? 0 : of.Max(i => _levels[i][at]) - of.Min(i => _levels[i][at]);
        return Math.Max(Span(0), Span(5));
    }

    // Level of a tone in the block, dBFS, by its Hann-windowed sum: tones lie many bins of 20 Hz apart.
    private double Level(float[] block, double hz)
    {
        double re = 0, im = 0, sum = 0;
        for (var i = 0; i < block.Length; i++)
        {
            var w = 0.5 - (0.5 * Math.Cos(2 * Math.PI * (i + 0.5) / block.Length));
            var (sin, cos) = Math.SinCos(2 * Math.PI * hz * i / _rate);
            re += w * block[i] * cos;
            im += w * block[i] * sin;
            sum += w;
        }

        var amplitude = 2 * Math.Sqrt((re * re) + (im * im)) / sum;
        return 20 * Math.Log10(Math.Max(amplitude, 1e-10));
    }
}
