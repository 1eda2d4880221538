namespace Spoolwright.Signal.Levels;

/// <summary>
/// Looks for lines of the mains in spectra of noise: both families, each wherever within 1.2 % of 50 and 60 Hz its lines agree best. A line
/// must stand out of the noise around it by more than chance allows; the noise under it is taken off.
/// </summary>
internal sealed class HumSearch
{
    private const int MostHarmonics = 20;
    private const double Within = 0.012;
    private const int Reach = 3;

    // The mains' own frequency is not steadier than this.
    private const double LeastFrequencySigmaHz = 0.0002;
    private static readonly int[] Families = [50, 60];
    private readonly double[][] _density;
    private readonly double[][] _floors;
    private readonly double _bin;
    private readonly double _seconds;
    private readonly double _averages;
    private readonly double _threshold;
    private readonly List<HumLine>[] _lines;
    private readonly List<MainsFrequency> _mains = [];

    public HumSearch(double[][] density, double binHz, int segments, double seconds)
    {
        _density = density;
        _bin = binHz;
        _seconds = seconds;
        _averages = Math.Max(1, 0.9 * segments);
        _threshold = Quantile(4.2);
        _lines = [.. density.Select(_ => new List<HumLine>())];
        _floors = [.. density.Select(d => Enumerable.Repeat(-1.0, d.Length).ToArray())];
        if (binHz > 3)
        {
            return; // too short to part 50 from 60 Hz and their surroundings
        }

        foreach (var family in Families)
        {
            Find(family);
        }

        foreach (var lines in _lines)
        {
            Part(lines);
        }

        foreach (var family in Families)
        {
            Settle(family);
        }
    }

    /// <summary>Mains found, with enough lines to be sure.</summary>
    public IReadOnlyList<MainsFrequency> Mains => _mains;

    /// <summary>The mains' lines of a channel, lowest first.</summary>
    public IReadOnlyList<HumLine> Lines(int channel) => [.. _lines[channel].OrderBy(l => l.FrequencyHz)];

    /// <summary>The density with all lines, the mains' and others', brought down to the noise beside them.</summary>
    public double[] WithoutLines(int channel)
    {
        var bare = (double[])_density[channel].Clone();
        foreach (var line in _lines[channel].Concat(Tones(channel, 0)))
        {
            var middle = (int)Math.Round(line.FrequencyHz / _bin);
            var floor = Floor(_density[channel], middle);
            for (var k = Math.Max(0, middle - Reach - 2); k <= Math.Min(bare.Length - 1, middle + Reach + 2); k++)
            {
                bare[k] = Math.Min(bare[k], floor);
            }
        }

        return bare;
    }

    /// <summary>Lines of no mains that hold more than a three-hundredth of all power, or stand 20 dB out of the noise; strongest first, at
    /// most four.</summary>
    public IReadOnlyList<HumLine> Tones(int channel, double power)
    {
        var density = _density[channel];
        var found = new List<HumLine>();
        for (var k = Math.Max(8, (int)(25 / _bin)); k < density.Length - 8; k++)
        {
            if (density[k] < density[k - 1] || density[k] < density[k + 1] || density[k] < 1e-22 || IsMains(k * _bin))
            {
                continue;
            }

            var floor = Floor(density, k);
            if (density[k] < Math.Max(20, 2 * _threshold) * floor)
            {
                continue;
            }

            var line = Line(channel, k, floor, 0);
            if (density[k] > 100 * floor || line.Power.Power > power / 300)
            {
                found.Add(line);
            }
        }

        // Flutter gives a tone sidebands: those beside a stronger line are not told again.
        return [.. found.OrderByDescending(l => l.Power.Power).Aggregate(new List<HumLine>(), (kept, l) =>
        {
            if (kept.All(o => Math.Abs(o.FrequencyHz - l.FrequencyHz) > 0.03 * o.FrequencyHz) && kept.Count < 4)
            {
                kept.Add(l);
            }

            return kept;
        })];
    }

    private bool IsMains(double hz) =>
        Families.Any(f =>
        {
            var mains = _mains.Where(m => m.Family == f).Select(m => m.Hz).DefaultIfEmpty(0).First();
            return mains > 0
                && hz < (MostHarmonics + 20.5) * mains
                && Math.Abs(hz - (Math.Round(hz / mains) * mains)) < 3.5 * _bin + (0.0005 * hz);
        });

    private void Find(int family)
    {
        double best = 0, at = 0;
        for (var f = family * (1 - Within); f <= family * (1 + Within); f += 0.01)
        {
            double score = 0;
            for (var h = 1; h <= MostHarmonics; h++)
            {
                score += _density.Sum(d => Math.Log(Math.Max(1, Ratio(d, h * f) / _threshold)));
            }

            if (score > best)
            {
                (best, at) = (score, f);
            }
        }

        if (best <= 0)
        {
            return;
        }

        for (var h = 1; h <= MostHarmonics; h++)
        {
            for (var c = 0; c < _density.Length; c++)
            {
                var k = Peak(_density[c], h * at, 1 + (int)(0.001 * h * at / _bin));
                var floor = Floor(_density[c], k);
                if (_density[c][k] > _threshold * floor && _density[c][k] > 1e-22)
                {
                    _lines[c].Add(Line(c, k, floor, family));
                }
            }
        }
    }

    // 300 and 600 Hz belong to both families: a line found twice goes to the family whose others are stronger.
    private static void Part(List<HumLine> lines)
    {
        double Strength(int family) => lines.Where(l => l.Family == family && l.FrequencyHz < 290).Sum(l => l.Power.Power);
        var weaker = Strength(50) >= Strength(60) ? 60 : 50;
        lines.RemoveAll(l => l.Family == weaker && lines.Any(o => o.Family != weaker && Math.Abs(o.FrequencyHz - l.FrequencyHz) < 3));

        // A family of nothing but such lines, or of one weak high one, is none.
        foreach (var family in Families)
        {
            if (lines.Count(l => l.Family == family && l.FrequencyHz < 5.5 * family) == 0)
            {
                lines.RemoveAll(l => l.Family == family);
            }
        }
    }

    private void Settle(int family)
    {
        double weights = 0, sum = 0;
        var count = 0;
        var both = Families.All(f => _lines.Any(l => l.Any(x => x.Family == f)));
        foreach (var line in _lines.SelectMany(l => l).Where(l => l.Family == family))
        {
            // 300, 600 and 900 Hz hold lines of both families too near to part.
            if (both && Math.Abs(line.FrequencyHz - (300 * Math.Round(line.FrequencyHz / 300))) < 10)
            {
                continue;
            }

            var harmonic = Math.Round(line.FrequencyHz / family);
            var sigma = line.FrequencySigma / harmonic;
            weights += 1 / (sigma * sigma);
            sum += line.FrequencyHz / harmonic / (sigma * sigma);
            count++;
        }

        if (count > 0)
        {
            _mains.Add(new MainsFrequency(family, sum / weights, 1 / Math.Sqrt(weights), count));
        }
    }

    private HumLine Line(int channel, int peak, double floor, int family)
    {
        var density = _density[channel];
        double sum = 0, moment = 0;
        var slope = Slope(density, peak);
        for (var k = Math.Max(1, peak - Reach); k <= Math.Min(density.Length - 1, peak + Reach); k++)
        {
            // Noise that falls steeply, as tape's does at low frequencies, would pull the centre to its side.
            var above = density[k] - (floor * Math.Exp(slope * (k - peak)));
            sum += above;
            moment += k * above;
        }

        var power = Math.Max(sum * _bin, 1e-3 * floor * _bin);
        var middle = sum > 0 ? Math.Clamp(moment / sum, peak - 1, peak + 1) : peak;

        // Noise beside the line (2·S·P/T) and noise alone in seven bins, Hann segments overlapping by half.
        var under = 1.5 * ((2 * Reach) + 1) * Math.Pow(floor * _bin, 2) / _averages;
        var variance = (2 * floor * power / _seconds) + under;

        // The centre of seven bins is moved by noise that stands with the line's own skirt in a bin, and by noise alone, most in the outer
        // ones: in bins squared a quarter of the ratio r of a bin's noise to the line, and 42 times its square (Σk² = 28, neighbours'
        // likeness counted) [computed: a line in noise, segments as here].
        var ratio = floor * _bin / power;
        var frequency = _bin * Math.Sqrt(((0.25 * ratio) + (42 * ratio * ratio)) / _averages);
        return new HumLine(
            middle * _bin,
            new NoisePower(2 * power, Math.Min(1, Math.Sqrt(variance) / power)),
            family,
            2 * Math.Sqrt(under),
            Math.Clamp(frequency, LeastFrequencySigmaHz, 2 * _bin)
        );
    }

    private static int Peak(double[] density, double hz, double bin, int reach)
    {
        var middle = (int)Math.Round(hz / bin);
        var peak = Math.Clamp(middle, 1, density.Length - 2);
        for (var k = Math.Max(1, middle - reach); k <= Math.Min(density.Length - 2, middle + reach); k++)
        {
            peak = density[k] > density[peak] ? k : peak;
        }

        return peak;
    }

    private int Peak(double[] density, double hz, int reach) => Peak(density, hz, _bin, reach);

    // Straight between two bins, so that a family's frequency is felt to less than a bin.
    private double Ratio(double[] density, double hz)
    {
        var x = hz / _bin;
        var k = (int)x;
        return k + 1 >= density.Length
            ? 0
            : (((1 - x + k) * density[k]) + ((x - k) * density[k + 1])) / Math.Max(FloorOnce(density, k), 1e-24);
    }

    // The same few bins are asked for again and again while a family's frequency is felt for.
    private double FloorOnce(double[] density, int middle)
    {
        var floors = _floors[Array.IndexOf(_density, density)];
        if (floors[middle] < 0)
        {
            floors[middle] = Floor(density, middle);
        }

        return floors[middle];
    }

    // Median of the bins 5 to 24 away on both sides; of averages of exponential laws it lies a little under their mean.
    private double Floor(double[] density, int middle)
    {
        Span<double> around = stackalloc double[40];
        var n = 0;
        for (var d = 5; d < 25; d++)
        {
            if (middle - d > 0)
            {
                around[n++] = density[middle - d];
            }

            if (middle + d < density.Length)
            {
                around[n++] = density[middle + d];
            }
        }

        around = around[..n];
        around.Sort();
        return n == 0 ? 0 : around[n / 2] / Math.Pow(1 - (1 / (9 * _averages)), 3);
    }

    // How the noise beside a line changes from bin to bin, as a logarithm: medians of the bins 5 to 24 away, below and above.
    private static double Slope(double[] density, int middle)
    {
        if (middle < 26 || middle + 25 > density.Length)
        {
            return 0;
        }

        double[] below = density[(middle - 24)..(middle - 4)], above = density[(middle + 5)..(middle + 25)];
        Array.Sort(below);
        Array.Sort(above);
        double low = below[9] + below[10], high = above[9] + above[10];
        return low > 0 && high > 0 ? Math.Clamp(Math.Log(high / low) / 29, -0.1, 0.1) : 0;
    }

    // Of a mean of exponential laws, so many standard deviations up (Wilson and Hilferty's cube).
    private double Quantile(double z) => Math.Pow(1 - (1 / (9 * _averages)) + (z / (3 * Math.Sqrt(_averages))), 3);
}
