using System.Numerics;

namespace Spoolwright.Signal.Distortion;

/// <summary>A tone's harmonics over a stretch in which they held still.</summary>
public sealed class HarmonicFigures
{
    private readonly Complex[] _harmonics;
    private readonly double[] _variances;

    private HarmonicFigures(Complex[] harmonics, double[] variances) => (_harmonics, _variances) = (harmonics, variances);

    /// <summary>Mean frequency, Hz.</summary>
    public required double FrequencyHz { get; init; }

    /// <summary>Peak amplitude of the fundamental, full scale 1.</summary>
    public required double Amplitude { get; init; }

    /// <summary>Length that counted, s.</summary>
    public required double Seconds { get; init; }

    /// <summary>Fundamental and harmonics held.</summary>
    public int Orders => _harmonics.Length;

    /// <summary>Level of the fundamental by its rms; a full-scale sine is 0 dB.</summary>
    public double LevelDb => 20 * Math.Log10(Math.Max(Amplitude, 1e-10));

    /// <summary>What noise makes uncertain of the level, k = 2, dB.</summary>
    public double LevelNoiseDb => 2 * 20 / Math.Log(10) * Math.Sqrt(_variances[0] / 2) / Math.Max(Amplitude, 1e-10);

    /// <summary>Root of the sum of squares of fundamental and harmonics, peak.</summary>
    public double Total => Math.Sqrt((Amplitude * Amplitude) + Math.Max(0, SumOfSquares(2, Orders)));

    /// <summary>Mean of frames with their phase; noise falls with their number.</summary>
    /// <param name="tracker">Whose frames they are.</param>
    /// <param name="frames">The frames, at least one, neighbours in time but for dropouts.</param>
    public static HarmonicFigures Of(HarmonicTracker tracker, IReadOnlyList<HarmonicFrame> frames)
    {
        ArgumentNullException.ThrowIfNull(tracker);
        ArgumentOutOfRangeException.ThrowIfZero(frames.Count, nameof(frames));
        var harmonics = new Complex[tracker.Orders];
        var variances = new double[tracker.Orders];
        var share = tracker.VarianceOfMean(frames.Count);
        double amplitude = 0, frequency = 0;
        foreach (var frame in frames)
        {
            amplitude += frame.Fundamental / frames.Count;
            frequency += frame.FrequencyHz / frames.Count;
            for (var i = 0; i < harmonics.Length; i++)
            {
                harmonics[i] += new Complex(frame.Re[i], frame.Im[i]) / frames.Count;
                variances[i] += frame.Noise[i] * share / frames.Count;
            }
        }

        return new HarmonicFigures(harmonics, variances)
        {
            Amplitude = amplitude,
            FrequencyHz = frequency,
            Seconds = ((frames.Count - 1) * tracker.HopSeconds) + tracker.FrameLengthSeconds,
        };
    }

    /// <summary>The same with every harmonic, its noise too, divided by a gain: what a path of that response made of them.</summary>
    /// <param name="gains">One for each, the fundamental's first, which is not used.</param>
    public HarmonicFigures Without(IReadOnlyList<double> gains)
    {
        ArgumentNullException.ThrowIfNull(gains);
        return new HarmonicFigures(
            [.. _harmonics.Select((h, i) => i == 0 ? h : h / gains[i])],
            [.. _variances.Select((v, i) => i == 0 ? v : v / (gains[i] * gains[i]))]
        )
        {
            Amplitude = Amplitude,
            FrequencyHz = FrequencyHz,
            Seconds = Seconds,
        };
    }

    /// <summary>The n-th harmonic's amplitude and phase against the fundamental's (n times its phase); noise is in it.</summary>
    public Complex Harmonic(int n) => _harmonics[n - 1];

    /// <summary>Mean square of the noise in <see cref="Harmonic"/>.</summary>
    public double Variance(int n) => _variances[n - 1];

    /// <summary>Root of the sum of squares of some harmonics over the total, noise taken out, with what it leaves uncertain (k = 2), as
    /// ratios.</summary>
    public (double Value, double Noise) Ratio(int from, int to)
    {
        double sum = Math.Max(0, SumOfSquares(from, to)), variance = 0;
        for (var n = from; n <= Math.Min(to, Orders); n++)
        {
            // |a + noise|²: twice the product of both, and the noise's own square.
            var own = Math.Max(0, Square(n) - Variance(n));
            variance += (2 * own * Variance(n)) + (Variance(n) * Variance(n));
        }

        var spread = 2 * Math.Sqrt(variance);
        var value = Math.Sqrt(sum);
        var up = Math.Sqrt(sum + spread) - value;
        var down = value - Math.Sqrt(Math.Max(0, sum - spread));
        var total = Math.Max(Total, 1e-12);
        return (value / total, Math.Max(up, down) / total);
    }

    private double SumOfSquares(int from, int to)
    {
        double sum = 0;
        for (var n = from; n <= Math.Min(to, Orders); n++)
        {
            sum += Square(n) - Variance(n);
        }

        return sum;
    }

    private double Square(int n) =>
        (_harmonics[n - 1].Real * _harmonics[n - 1].Real) + (_harmonics[n - 1].Imaginary * _harmonics[n - 1].Imaginary);
}
