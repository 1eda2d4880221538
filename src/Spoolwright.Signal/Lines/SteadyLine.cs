using System.Numerics;

namespace Spoolwright.Signal.Lines;

/// <summary>A steady line as measured where it stood; uncertainties are what noise makes, k = 2.</summary>
public sealed class SteadyLine
{
    private SteadyLine()
    {
    }

    /// <summary>Frequency, Hz.</summary>
    public required double FrequencyHz { get; init; }

    /// <summary>Level of either channel by its rms (a full-scale sine is 0), with its noise, dB; right is −400 with one channel.</summary>
    public required (double Db, double Noise) Left { get; init; }

    public required (double Db, double Noise) Right { get; init; }

    /// <summary>Right minus left, degrees within ±180, with its noise.</summary>
    public required (double Degrees, double Noise) Phase { get; init; }

    /// <summary>Mean square of what else stands in the band while it plays, left and right, full scale 1.</summary>
    public required double ResidueLeft { get; init; }

    public required double ResidueRight { get; init; }

    /// <summary>Standard deviation of the phase's steps from window to window about an even one, rad: noise alone of a steady line; flutter
    /// of a taped one.</summary>
    public required double Unrest { get; init; }

    /// <summary>Windows that counted.</summary>
    public required int Windows { get; init; }

    /// <summary>Whether no other line stood beside it.</summary>
    public required bool Alone { get; init; }

    /// <summary>First frame of the windows it stood in.</summary>
    public required long FirstFrame { get; init; }

    /// <summary>Frame after their last.</summary>
    public required long LastFrame { get; init; }

    /// <summary>Length of it, s.</summary>
    public required double Seconds { get; init; }

    internal static SteadyLine Of(LineSurvey survey, List<(int Window, LineSight Sight)> run)
    {
        var (bin, unrest) = Frequency(survey, run);
        var gains = new Dictionary<int, double>();
        double Gain(LineSight s) => gains.TryGetValue(s.PeakBin, out var g) ? g : gains[s.PeakBin] = survey.Response(bin - s.PeakBin);
        double left = 0, right = 0, noiseLeft = 0, noiseRight = 0, residueLeft = 0, residueRight = 0;
        Complex product = 0;
        foreach (var (window, s) in run)
        {
            var gain = Gain(s);
            left += s.Left.Magnitude / gain / run.Count;
            right += s.Right.Magnitude / gain / run.Count;
            noiseLeft += s.NoiseLeft / (gain * gain) / run.Count;
            noiseRight += s.NoiseRight / (gain * gain) / run.Count;
            product += s.Right * Complex.Conjugate(s.Left);
            residueLeft += survey.Windows[window].ResidueLeft / run.Count;
            residueRight += survey.Windows[window].ResidueRight / run.Count;
        }

        // Neighbours overlap, so the mean of n falls more slowly than by n; off the bin's middle the tone turns against the noise that both
        // hold. Half of a line's noise lies along it, half across.
        var alike = survey.Overlap * run.Average(r => Math.Cos(Math.PI * (bin - r.Sight.PeakBin)));
        var share = (1 + (2 * alike * (run.Count - 1) / run.Count)) / run.Count;
        double Relative(double amplitude, double noise) => amplitude > 1e-12 ? noise / 2 * share / (amplitude * amplitude) : 0;
        double relativeLeft = Relative(left, noiseLeft), relativeRight = Relative(right, noiseRight);
        static double Db(double amplitude) => amplitude > 1e-20 ? 20 * Math.Log10(amplitude) : -400;
        const double PerShare = 2 * 8.685889638065035;
        var (first, last) = (survey.Windows[run[0].Window].Frame, survey.Windows[run[^1].Window].Frame + survey.Length);
        return new SteadyLine
        {
            FrequencyHz = bin * survey.RateHz / survey.Length,
            Left = (Db(left), PerShare * Math.Sqrt(relativeLeft)),
            Right = (Db(right), PerShare * Math.Sqrt(relativeRight)),
            Phase = (double.RadiansToDegrees(product.Phase), 2 * double.RadiansToDegrees(Math.Sqrt(relativeLeft + relativeRight))),
            ResidueLeft = residueLeft,
            ResidueRight = residueRight,
            Unrest = unrest,
            Windows = run.Count,
            Alone = run.TrueForAll(r => survey.Windows[r.Window].Lines.Count == 1),
            FirstFrame = first,
            LastFrame = last,
            Seconds = (last - first) / survey.RateHz,
        };
    }

    // From one window to the next the phase goes on by the frequency; the bin says it to a few hundredths, which leaves no doubt of whole
    // turns.
    private static (double Bin, double Unrest) Frequency(LineSurvey survey, List<(int Window, LineSight Sight)> run)
    {
        var bin = run.Average(r => r.Sight.Bin);
        double turned = 0, squares = 0;
        var steps = 0;
        for (var i = 1; i < run.Count; i++)
        {
            var hops = run[i].Window - run[i - 1].Window;
            var strong = run[i].Sight.Left.Magnitude >= run[i].Sight.Right.Magnitude;
            Complex now = strong ? run[i].Sight.Left : run[i].Sight.Right, before = strong ? run[i - 1].Sight.Left : run[i - 1].Sight.Right;
            var expected = 2 * Math.PI * bin * hops * survey.Hop / survey.Length;
            var step = Math.IEEERemainder((now * Complex.Conjugate(before)).Phase - expected, 2 * Math.PI);
            turned += step;
            squares += step * step / hops;
            steps += hops;
        }

        return steps == 0
            ? (bin, 0)
            : (
                bin + (turned / steps * survey.Length / (2 * Math.PI * survey.Hop)),
                Math.Sqrt(Math.Max(0, (squares / steps) - Math.Pow(turned / steps, 2)))
            );
    }
}
