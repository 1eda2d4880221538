using Spoolwright.Signal.Levels;

namespace Spoolwright.Signal.Tones;

/// <summary>
/// Looks for a product of two tones, m·a + n·b, in one channel: what stands at its frequency is turned back by the phase that the two tones
/// themselves have, so flutter falls out, and what turns with them is told from hiss far stronger than it.
/// </summary>
public sealed class ProductProbe
{
    // Holds flutter of 0.1 % at all that matters of 5300 Hz, and keeps out tones 150 Hz away.
    private const double PassHz = 60;
    private const double StopHz = 120;
    private const double CoherentHz = 0.25;
    private const double SegmentSeconds = 4;
    private const int BlockFrames = 1 << 14;
    private readonly ToneDownconverter[] _down;
    private readonly BasebandRecord[] _records = [new(), new(), new()];
    private readonly int _timesA;
    private readonly int _timesB;
    private readonly double[] _re;
    private readonly double[] _im;

    /// <param name="aHz">One tone as heard, Hz.</param>
    /// <param name="bHz">The other, Hz.</param>
    /// <param name="timesA">m.</param>
    /// <param name="timesB">n; m·a + n·b lies over 150 Hz.</param>
    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    public ProductProbe(double aHz, double bHz, int timesA, int timesB, double sampleRateHz)
    {
        var hz = (timesA * aHz) + (timesB * bHz);
        if (!(hz >= 150 && hz <= (sampleRateHz / 2) - 150))
        {
            throw new ArgumentOutOfRangeException(
                nameof(timesA),
                timesA,
                FormattableString.Invariant($"The product lies at {hz} Hz, beyond what {sampleRateHz} Hz can show.")
            );
        }

        (_timesA, _timesB) = (timesA, timesB);

        // Filters of one shape: their outputs speak of the same times.
        var decimation = Math.Max(1, (int)(sampleRateHz / (1.1 * (PassHz + StopHz))));
        _down = [.. new[] { hz, aHz, bHz }.Select(f => new ToneDownconverter(f, PassHz, StopHz, decimation, sampleRateHz, 95))];
        _re = new double[_down[0].MaximumOutputs(BlockFrames)];
        _im = new double[_re.Length];
    }

    /// <summary>Takes the next frames of the stretch.</summary>
    public void Add(ReadOnlySpan<float> frames)
    {
        while (frames.Length > 0)
        {
            var take = Math.Min(frames.Length, BlockFrames);
            for (var i = 0; i < _down.Length; i++)
            {
                var n = _down[i].Add(frames[..take], _re, _im);
                _records[i].Add(_re.AsSpan(0, n), _im.AsSpan(0, n));
            }

            frames = frames[take..];
        }
    }

    /// <summary>Power of the product; null where the stretch was too short to say.</summary>
    public LinePower? Finish()
    {
        var n = _records.Min(r => r.Count);
        if (n < 40)
        {
            return null;
        }

        double[] re = new double[n], im = new double[n];
        for (var i = 0; i < n; i++)
        {
            var angle = (_timesA * Angle(_records[1], i)) + (_timesB * Angle(_records[2], i));
            var (sin, cos) = Math.SinCos(angle);
            re[i] = cos;
            im[i] = sin;
        }

        var expected = new BasebandRecord();
        expected.Add(re, im);
        var turned = _records[0].TurnedBack(expected, n);
        return BandSpectrum.Of(turned.Re, turned.Im, _down[0].OutputRateHz, PassHz, SegmentSeconds).Line(0, CoherentHz);
    }

    private static double Angle(BasebandRecord z, int i) => Math.Atan2(z.Im[i], z.Re[i]);
}
