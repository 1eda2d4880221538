namespace Spoolwright.Signal.Tones;

/// <summary>Watches what stands at the frequencies of low tones while others play, so that hum in a gap is not taken for the tone.</summary>
internal sealed class HumWatch
{
    private const double HighestHz = 410;
    private const int ClearBins = 8;
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
            var k = _bins[c];
            if (k < 4)
            {
                continue;
            }

            double line = 0, beside = 0;
            for (var d = -2; d <= 2; d++)
            {
                line += power[k + d];
            }

            for (var d = 4; d <= 6; d++)
            {
                beside += (power[Math.Max(1, k - d)] + power[k + d]) / 6 * 5;
            }

            _lines[c].Add((float)Math.Max(0, line - (4 * beside)));
        }
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
