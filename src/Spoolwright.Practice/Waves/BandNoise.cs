namespace Spoolwright.Practice.Waves;

/// <summary>
/// Noise between two corner frequencies (slopes of 12 dB an octave outside) with a given rms, delivered point by point at the grid rate.
/// It is made at the lowest rate that still holds twenty points in the upper corner's period and joined by straight lines: within 1 % of
/// the rms asked for.
/// </summary>
internal sealed class BandNoise
{
    private readonly NoiseStream _stream;
    private readonly SecondOrderFilter _low;
    private readonly SecondOrderFilter _high;
    private readonly double _scale;
    private readonly int _every;
    private double _from;
    private double _to;
    private int _at;

    /// <param name="fromHz">Lower corner, Hz, above 0.</param>
    /// <param name="toHz">Upper corner, Hz, at most a third of the grid rate.</param>
    /// <param name="rms">Rms of the result, any unit.</param>
    /// <param name="gridHz">Points a second.</param>
    /// <param name="stream">Where the randomness comes from.</param>
    public BandNoise(double fromHz, double toHz, double rms, double gridHz, NoiseStream stream)
    {
        if (!(fromHz > 0) || !(toHz > fromHz))
            throw new ArgumentOutOfRangeException(nameof(fromHz), fromHz, "A noise band must start above 0 Hz and end above its start.");
        if (toHz > gridHz / 3)
            throw new ArgumentOutOfRangeException(nameof(toHz), toHz, $"A noise band must end below {gridHz / 3:F0} Hz here.");
        _stream = stream;
        _every = Math.Max(1, (int)(gridHz / (20 * toHz)));
        var rate = gridHz / _every;
        _high = SecondOrderFilter.HighPass(fromHz, rate);
        _low = SecondOrderFilter.LowPass(toHz, rate);
        _scale = rms / Math.Sqrt(ImpulseEnergy(rate / fromHz));
        for (var i = 0; i < 3 * rate / fromHz; i++)
            Draw();
        _from = Draw();
        _to = Draw();
    }

    /// <summary>The next point of the grid.</summary>
    public double Next()
    {
        var value = _from + ((_to - _from) * _at / _every);
        if (++_at == _every)
        {
            _at = 0;
            _from = _to;
            _to = Draw();
        }

        return value;
    }

    private double Draw() => _scale * _low.Next(_high.Next(_stream.NextGaussian()));

    private double ImpulseEnergy(double longestPeriod)
    {
        var energy = 0.0;
        for (var i = 0; i < 5 * longestPeriod; i++)
        {
            var y = _low.Next(_high.Next(i == 0 ? 1 : 0));
            energy += y * y;
        }

        _low.Reset();
        _high.Reset();
        return energy;
    }
}
