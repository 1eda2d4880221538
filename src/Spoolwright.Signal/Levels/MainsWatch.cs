using Spoolwright.Signal.Filters;
using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Levels;

/// <summary>
/// Finds the mains frequency by its hum beside whatever else sounds: the first half minute of a capture, filtered to 1 kHz and looked at
/// once. A synchronous motor follows the mains, so that a speed error of the mains' own is told from the deck's.
/// </summary>
public sealed class MainsWatch
{
    private const double Seconds = 30;
    private const double HighestHz = 1050;
    private const double AttenuationDb = 120;

    // Weaker lines than this may be what the filter leaves of a loud tone, folded down.
    private const double LeastDb = -105;
    private const int Block = 1 << 12;
    private readonly DecimatingFilter[] _filters;
    private readonly WelchSpectrum[] _spectra;
    private readonly double[] _wide = new double[Block];
    private readonly double[] _narrow = new double[Block + 1];
    private long _left;

    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    /// <param name="channels">1 or 2.</param>
    public MainsWatch(int sampleRateHz, int channels)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 8000);
        ArgumentOutOfRangeException.ThrowIfNotEqual(channels is 1 or 2, true, nameof(channels));
        var ratio = (int)(sampleRateHz / (2.4 * HighestHz));
        var rate = (double)sampleRateHz / ratio;
        var taps = KaiserLowPass.Design(HighestHz, rate - HighestHz, AttenuationDb, sampleRateHz);
        _filters = [.. Enumerable.Range(0, channels).Select(_ => new DecimatingFilter(taps, ratio))];

        // Three seconds a segment part 50 from 60 Hz and every harmonic from its neighbours.
        _spectra = [.. Enumerable.Range(0, channels).Select(_ => new WelchSpectrum(8192, rate))];
        _left = (long)(Seconds * sampleRateHz);
    }

    /// <summary>Takes the next frames; after the first half minute it takes no notice.</summary>
    /// <param name="left">Left (or only) channel.</param>
    /// <param name="right">Right channel, as long; empty with one channel.</param>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        if (_left <= 0)
        {
            return;
        }

        var take = (int)Math.Min(_left, left.Length);
        _left -= take;
        Add(0, left[..take]);
        if (_filters.Length == 2)
        {
            Add(1, right[..take]);
        }
    }

    /// <summary>The mains found, the surer first; empty where no hum stands out.</summary>
    public IReadOnlyList<MainsFrequency> Finish()
    {
        var segments = _spectra[0].Segments;
        if (segments < 2)
        {
            return [];
        }

        var bin = _spectra[0].BinHz;
        var search = new HumSearch([.. _spectra.Select(s => s.Density())], bin, segments, SpectrumPower.CountedSeconds(segments, 1 / bin));
        var least = Math.Pow(10, LeastDb / 10);
        var lines = Enumerable.Range(0, _spectra.Length).SelectMany(search.Lines).ToArray();
        return [.. search.Mains.Where(m => lines.Any(l => l.Family == m.Family && l.Power.Power > least)).OrderBy(m => m.Sigma)];
    }

    private void Add(int channel, ReadOnlySpan<float> samples)
    {
        while (samples.Length > 0)
        {
            var n = Math.Min(Block, samples.Length);
            for (var i = 0; i < n; i++)
            {
                _wide[i] = samples[i];
            }

            samples = samples[n..];
            var written = _filters[channel].Add(_wide.AsSpan(0, n), _narrow);
            _spectra[channel].Add(_narrow.AsSpan(0, written));
        }
    }
}
