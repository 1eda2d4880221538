using Spoolwright.Signal.Tones;

namespace Spoolwright.Signal.Levels;

/// <summary>
/// The band around one frequency, brought to 0 Hz and kept, one or two channels; what selective levels are read from. Twice 16 bytes a
/// sample at some four times the band's half width.
/// </summary>
public sealed class NarrowBand
{
    private const int BlockFrames = 1 << 14;
    private readonly ToneDownconverter[] _down;
    private readonly BasebandRecord[] _records;
    private readonly double[] _re;
    private readonly double[] _im;

    /// <param name="centreHz">Frequency brought to 0 Hz.</param>
    /// <param name="passHz">Half width of the band kept, Hz.</param>
    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    /// <param name="channels">1 or 2.</param>
    public NarrowBand(double centreHz, double passHz, double sampleRateHz, int channels)
    {
        var room = 0.9 * Math.Min(centreHz, (sampleRateHz / 2) - centreHz);
        PassHz = Math.Min(passHz, 0.5 * room);
        var stop = Math.Min(2 * PassHz, room * 1.5);
        var decimation = Math.Max(1, (int)(sampleRateHz / (1.1 * (PassHz + stop))));
        _down =
        [
            .. Enumerable.Range(0, channels).Select(_ => new ToneDownconverter(centreHz, PassHz, stop, decimation, sampleRateHz, 110)),
        ];
        _records = [.. Enumerable.Range(0, channels).Select(_ => new BasebandRecord())];
        CentreHz = centreHz;
        RateHz = _down[0].OutputRateHz;
        _re = new double[_down[0].MaximumOutputs(BlockFrames)];
        _im = new double[_re.Length];
    }

    /// <summary>Frequency brought to 0 Hz.</summary>
    public double CentreHz { get; }

    /// <summary>Half width of the band kept flat, Hz.</summary>
    public double PassHz { get; }

    /// <summary>Rate of what is kept, Hz.</summary>
    public double RateHz { get; }

    /// <summary>Samples kept.</summary>
    public int Count => _records[0].Count;

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

    /// <summary>Spectrum of one channel about the centre.</summary>
    public BandSpectrum Spectrum(int channel) => BandSpectrum.Of(_records[channel].Re, _records[channel].Im, RateHz, PassHz);

    /// <summary>
    /// Spectrum of one channel turned back by the phase of the other: what is coherent with it stands at 0 Hz, whatever its flutter.
    /// </summary>
    public BandSpectrum Coherent(int channel, int with)
    {
        var turned = _records[channel].TurnedBack(_records[with], Math.Min(_records[channel].Count, _records[with].Count));
        return BandSpectrum.Of(turned.Re, turned.Im, RateHz, PassHz);
    }

    private void Take(int channel, ReadOnlySpan<float> frames)
    {
        var n = _down[channel].Add(frames, _re, _im);
        _records[channel].Add(_re.AsSpan(0, n), _im.AsSpan(0, n));
    }
}
