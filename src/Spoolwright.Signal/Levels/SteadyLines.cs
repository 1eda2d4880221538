using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Levels;

/// <summary>A line of the mean spectrum of a capture.</summary>
/// <param name="FrequencyHz">Its frequency, Hz.</param>
/// <param name="Power">Mean square over the whole capture, both channels (1 is a full-scale sine in one).</param>
/// <param name="NoiseDensity">Density of what lies beside it, a channel, 1/Hz on the same scale.</param>
public readonly record struct SteadyLine(double FrequencyHz, double Power, double NoiseDensity);

/// <summary>Finds tones by their lines in the mean spectrum of a whole capture, whatever their level does meanwhile.</summary>
public sealed class SteadyLines
{
    private const double Width = 0.004; // flutter spreads a line by some 0.3 % either way
    private const double LeastRatio = 12;
    private readonly WelchSpectrum _left;
    private readonly WelchSpectrum _right;
    private readonly double[] _a = new double[4096];
    private readonly double[] _b = new double[4096];
    private readonly bool _stereo;

    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    /// <param name="channels">1 or 2.</param>
    public SteadyLines(double sampleRateHz, int channels)
    {
        var segment = 1 << (int)Math.Round(Math.Log2(sampleRateHz / 6));
        _left = new WelchSpectrum(segment, sampleRateHz);
        _right = new WelchSpectrum(segment, sampleRateHz);
        _stereo = channels == 2;
    }

    /// <summary>Takes the next frames.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        for (var at = 0; at < left.Length; at += _a.Length)
        {
            var n = Math.Min(_a.Length, left.Length - at);
            for (var i = 0; i < n; i++)
            {
                _a[i] = left[at + i];
                _b[i] = _stereo ? right[at + i] : 0;
            }

            WelchSpectrum.AddPair(_left, _a.AsSpan(0, n), _right, _b.AsSpan(0, n));
        }
    }

    /// <summary>Lines from 200 Hz up, the strongest first.</summary>
    public IReadOnlyList<SteadyLine> Find()
    {
        double[] l = _left.Density(), r = _right.Density();
        var bin = _left.BinHz;
        var density = l.Zip(r, (x, y) => 2 * (x + y)).ToArray();
        var lines = new List<SteadyLine>();
        for (var k = (int)(200 / bin); k < density.Length - 8; k++)
        {
            var reach = Math.Max(3, (int)Math.Ceiling(Width * k));
            var isPeak = true;
            for (var d = -reach; d <= reach && isPeak; d++)
            {
                isPeak = k + d >= 0 && k + d < density.Length && density[k + d] <= density[k];
            }

            if (!isPeak || density[k] <= 0)
            {
                continue;
            }

            double power = 0, moment = 0;
            var beside = new List<double>();
            for (var d = -reach; d <= reach; d++)
            {
                power += density[k + d] * bin;
                moment += density[k + d] * (k + d) * bin;
            }

            for (var d = (2 * reach) + 2; d <= 5 * reach; d++)
            {
                if (k - d > 0)
                {
                    beside.Add(density[k - d]);
                }

                if (k + d < density.Length)
                {
                    beside.Add(density[k + d]);
                }
            }

            beside.Sort();
            var noise = beside.Count == 0 ? 0 : beside[beside.Count / 2];
            if (power > LeastRatio * noise * bin * ((2 * reach) + 1) && power > 1e-11)
            {
                lines.Add(new SteadyLine(moment / power * bin, power, noise / (_stereo ? 2 : 1)));
            }
        }

        return [.. lines.OrderByDescending(x => x.Power)];
    }
}
