namespace Spoolwright.Signal.Tones;

/// <summary>Watches what stands at the frequencies of low tones while others play, so that hum in a gap is not taken for the
/// tone.</summary>
internal sealed class HumWatch
{
    private const double HighestHz = 410;
    private const int ClearBins = 8;
    private const double FamilyRatio = 16; // 12 dB: no tone's own distortion comes so near to it
    private const int FamilyLines = 4;
    private static readonly double[] Mains = [50, 60];
    private readonly List<float>[] _families = [[], []];
    private readonly int[] _bins;
    private readonly List<long> _frames = [];
    private readonly List<float>[] _lines;
    private readonly double _bin;

    /// <param name="candidatesHz">The frequencies looked for, Hz.</param>
    /// <param name="binHz">Width of a bin, Hz.</param>
    public HumWatch(double[] candidatesHz, double binHz)
    {
        _bin = binHz;
        _bins = [.. candidatesHz.Select(f => f <= HighestHz ? (int)Math.Round(f / binHz) : 0)];
        _lines = [.. _bins.Select(_ => new List<float>())];
    }

    /// <summary>Takes one window's spectrum, mean square per bin.</summary>
    public void Add(long frame, double[] power)
    {
        _frames.Add(frame);
        for (var c = 0; c < _bins.Length; c++)
        {
            if (_bins[c] >= 4)
            {
                _lines[c].Add(Line(power, _bins[c]));
            }
        }

        for (var m = 0; m < Mains.Length; m++)
        {
            for (var k = 1; k <= FamilyLines; k++)
            {
                _families[m].Add(Line(power, (int)Math.Round(k * Mains[m] / _bin)));
            }
        }
    }

    /// <summary>Whether a run is hum: it lies on a multiple of the mains, and others of that family stand beside it about as
    /// strong.</summary>
    public bool IsFamily(ToneRun run)
    {
        for (var m = 0; m < Mains.Length; m++)
        {
            var own = (int)Math.Round(run.FrequencyHz / Mains[m]);
            if (own is < 1 or > FamilyLines || Math.Abs(run.FrequencyHz - (own * Mains[m])) > 0.25 * _bin)
            {
                continue;
            }

            for (var k = 1; k <= FamilyLines; k++)
            {
                if (k != own && Middle(_families[m], run, FamilyLines, k - 1) > run.Power / FamilyRatio)
                {
                    return true;
                }
            }
        }

        return false;
    }

    private static float Line(double[] power, int k)
    {
        double line = 0, beside = 0;
        for (var d = -2; d <= 2; d++)
        {
            line += power[k + d];
        }

        for (var d = 4; d <= 6; d++)
        {
            beside += (power[Math.Max(1, k - d)] + power[k + d]) / 6 * 5;
        }

        return (float)Math.Max(0, line - (4 * beside));
    }

    private float Middle(List<float> lines, ToneRun run, int stride, int offset)
    {
        var seen = new List<float>();
        var at = _frames.BinarySearch(run.FirstFrame);
        for (var i = at < 0 ? ~at : at; i < _frames.Count && _frames[i] < run.LastFrame; i++)
        {
            seen.Add(lines[(i * stride) + offset]);
        }

        seen.Sort();
        return seen.Count == 0 ? 0 : seen[seen.Count / 2];
    }

    /// <summary>The line that stands at a candidate's frequency while tones of other frequencies play; 0: none, or not known.</summary>
    public double Line(int candidate, IReadOnlyList<ToneRun> runs)
    {
        if (_bins[candidate] < 4)
        {
            return 0;
        }

        var seen = new List<float>();
        foreach (var run in runs.Where(r => Math.Abs((r.FrequencyHz / _bin) - _bins[candidate]) > ClearBins))
        {
            var at = _frames.BinarySearch(run.FirstFrame);
            for (var i = at < 0 ? ~at : at; i < _frames.Count && _frames[i] < run.LastFrame; i++)
            {
                seen.Add(_lines[candidate][i]);
            }
        }

        seen.Sort();
        return seen.Count < 4 ? 0 : seen[seen.Count / 2];
    }
}
