using Spoolwright.Signal.Tones;

namespace Spoolwright.Signal.Levels;

/// <summary>A place where the tone's level fell.</summary>
/// <param name="Seconds">Its start, s from the first frame given.</param>
/// <param name="Milliseconds">How long it lay below the threshold.</param>
/// <param name="DepthDb">How deep it fell at most: the lowest mean of five outputs, some 2 ms with a tone above 2 kHz.</param>
public readonly record struct Dropout(double Seconds, double Milliseconds, double DepthDb);

/// <summary>What was found in one channel.</summary>
public sealed record ChannelDropouts
{
    /// <summary>Dropouts, in order of time.</summary>
    public required IReadOnlyList<Dropout> Dropouts { get; init; }

    /// <summary>How many there would be at the thresholds a little lower and a little higher than asked.</summary>
    public required (int Loose, int Strict) Range { get; init; }

    /// <summary>Length in which there was a tone, s.</summary>
    public required double Seconds { get; init; }

    /// <summary>Length in which the tone was gone for more than a second at a time, s.</summary>
    public required double LostSeconds { get; init; }

    /// <summary>From the 5th to the 95th percentile of the level over 0.1 s, noise taken off, dB; k = 2; null below 2 s.</summary>
    public (double Db, double Expanded)? Stability { get; init; }

    /// <summary>The level over 0.1 s, dBFS, for plots.</summary>
    public required IReadOnlyList<float> LevelDb { get; init; }

    /// <summary>Tone over noise in the band followed, dB.</summary>
    public required double BandSnrDb { get; init; }
}

/// <summary>
/// Follows the level of a steady tone through flutter and hiss: the band around it brought to 0 Hz, its magnitude held against the median
/// of a second and a half around. Keeps 4 bytes for each tenth of a second and what it finds.
/// </summary>
public sealed class DropoutMeter
{
    /// <summary>Length of one level, s.</summary>
    public const double LevelSeconds = 0.1;

    private const int BlockFrames = 1 << 14;
    private readonly ToneDownconverter[] _down;
    private readonly DropoutFollower[] _followers;
    private readonly double[] _re;
    private readonly double[] _im;

    /// <param name="toneHz">Frequency of the tone, Hz.</param>
    /// <param name="amplitudes">Peak amplitude of the tone in each channel, as surveyed.</param>
    /// <param name="depthDb">Least depth of a dropout, 1 to 40 dB.</param>
    /// <param name="milliseconds">Least length, 0.5 to 1000 ms.</param>
    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    public DropoutMeter(double toneHz, IReadOnlyList<double> amplitudes, double depthDb, double milliseconds, double sampleRateHz)
    {
        ArgumentNullException.ThrowIfNull(amplitudes);
        ArgumentOutOfRangeException.ThrowIfLessThan(depthDb, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(depthDb, 40);
        ArgumentOutOfRangeException.ThrowIfLessThan(milliseconds, 0.5);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(milliseconds, 1000);
        var room = 0.92 * Math.Min(toneHz, (sampleRateHz / 2) - toneHz);

        // Falls gently from the middle on: a sharp edge in frequency would ring, and ringing makes a fall look deeper than it is.
        var stop = Math.Min(2000, room);
        PassHz = 0.5 * stop;
        var decimation = Math.Max(1, (int)(sampleRateHz / (1.3 * stop)));
        _down = [.. amplitudes.Select(_ => new ToneDownconverter(toneHz, 0.05 * stop, stop, decimation, sampleRateHz, 70))];
        var start = _down[0].FirstOutputFrame / sampleRateHz;
        var noise = 6 - (8 * _down[0].NoiseCorrelation(DropoutFollower.Lag)) + (2 * _down[0].NoiseCorrelation(2 * DropoutFollower.Lag));
        _followers =
        [
            .. amplitudes.Select(a => new DropoutFollower(
                a,
                depthDb,
                milliseconds,
                _down[0].OutputRateHz,
                start,
                noise,
                _down[0].NoiseBandwidthHz
            )),
        ];
        _re = new double[_down[0].MaximumOutputs(BlockFrames)];
        _im = new double[_re.Length];
    }

    /// <summary>Half width of the band followed, at −6 dB, Hz: a step of level shows within about half its inverse.</summary>
    public double PassHz { get; }

    /// <summary>Takes the next frames.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        while (left.Length > 0)
        {
            var take = Math.Min(left.Length, BlockFrames);
            Take(0, left[..take]);
            left = left[take..];
            if (_down.Length == 2)
            {
                Take(1, right[..take]);
                right = right[take..];
            }
        }
    }

    /// <summary>What was found, channel by channel.</summary>
    public IReadOnlyList<ChannelDropouts> Finish() => [.. _followers.Select(f => f.Finish())];

    private void Take(int channel, ReadOnlySpan<float> frames)
    {
        var n = _down[channel].Add(frames, _re, _im);
        for (var i = 0; i < n; i++)
        {
            _followers[channel].Next(Math.Sqrt((_re[i] * _re[i]) + (_im[i] * _im[i])));
        }
    }
}
