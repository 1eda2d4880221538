namespace Spoolwright.Bench.Samples;

/// <summary>Source and tape for ears: in time, at one level, and a sound that goes from one to the other and back.</summary>
public sealed record SwitchingSample
{
    private const double CrossfadeSeconds = 0.03;
    private const double HighestPeak = 0.89; // 1 dB under full scale

    /// <summary>The source in the tape's time.</summary>
    public required SampleSound Source { get; init; }

    /// <summary>The tape at the source's level, else as it was captured.</summary>
    public required SampleSound Tape { get; init; }

    /// <summary>Source first, then tape, and so on.</summary>
    public required SampleSound Switching { get; init; }

    /// <summary>Tape less source, in time through all flutter: what the deck added or took.</summary>
    public required SampleSound Difference { get; init; }

    /// <summary>Times at which the switching sound changes over, s.</summary>
    public required IReadOnlyList<double> SwitchSeconds { get; init; }

    /// <summary>Makes it.</summary>
    /// <param name="alignment">Source and tape on one clock.</param>
    /// <param name="comparison">Their figures.</param>
    /// <param name="everySeconds">From one change to the next, s, 1 or more.</param>
    public static SwitchingSample Of(SampleAlignment alignment, SampleComparison comparison, double everySeconds)
    {
        ArgumentNullException.ThrowIfNull(alignment);
        ArgumentNullException.ThrowIfNull(comparison);
        ArgumentOutOfRangeException.ThrowIfLessThan(everySeconds, 1);

        // One gain for both sides: the deck's balance is its own.
        var gain = Math.Pow(10, -comparison.Channels.Average(c => c.LevelDb) / 20);
        var source = alignment.SourceInTime;
        var tape = Scaled(alignment.Tape, gain);
        var peak = new[] { source.Left, source.Right, tape.Left, tape.Right }.Max(side => side.Max(v => Math.Abs(v)));
        var fit = Math.Min(1, HighestPeak / peak);
        (source, tape) = (Scaled(source, fit), Scaled(tape, fit));
        var followed = Scaled(alignment.SourceThroughFlutter, fit);
        var rate = source.SampleRateHz;
        var switches = Enumerable
            .Range(1, (int)(source.Seconds / everySeconds))
            .Select(i => i * everySeconds)
            .Where(t => t < source.Seconds - 0.5)
            .ToArray();
        return new SwitchingSample
        {
            Source = source,
            Tape = tape,
            SwitchSeconds = switches,
            Switching = new SampleSound(
                Mixed(source.Left, tape.Left, everySeconds * rate, rate),
                Mixed(source.Right, tape.Right, everySeconds * rate, rate),
                rate
            ),
            Difference = new SampleSound(
                [.. tape.Left.Zip(followed.Left, (t, s) => t - s)],
                [.. tape.Right.Zip(followed.Right, (t, s) => t - s)],
                rate
            ),
        };
    }

    // The sounds are alike, so amplitudes, not powers, are faded.
    private static float[] Mixed(float[] source, float[] tape, double every, int rate)
    {
        var mixed = new float[source.Length];
        var fade = CrossfadeSeconds * rate;
        for (var i = 0; i < mixed.Length; i++)
        {
            var turn = Math.Floor((i + (fade / 2)) / every);
            var into = Math.Clamp((i + (fade / 2) - (turn * every)) / fade, 0, 1);
            var share = turn == 0 ? 0 : turn % 2 == 1 ? into : 1 - into;
            mixed[i] = (float)(((1 - share) * source[i]) + (share * tape[i]));
        }

        return mixed;
    }

    private static SampleSound Scaled(SampleSound sound, double gain) =>
        new([.. sound.Left.Select(v => (float)(gain * v))], [.. sound.Right.Select(v => (float)(gain * v))], sound.SampleRateHz);
}
