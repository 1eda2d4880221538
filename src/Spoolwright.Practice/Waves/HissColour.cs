using System.Numerics;

namespace Spoolwright.Practice.Waves;

/// <summary>
/// Tape hiss after equalization: white below the treble corner, rising 6 dB an octave from it to four times it, level above.
/// Scaled by its rms in 20 kHz.
/// </summary>
internal sealed class HissColour
{
    private readonly double _b0;
    private readonly double _b1;
    private readonly double _a1;
    private readonly double _rateHz;
    private double _state;

    /// <param name="trebleMicroseconds">Treble time constant of the replay equalization, µs.</param>
    /// <param name="rms">Rms in 20 kHz.</param>
    /// <param name="rateHz">Sample rate, Hz.</param>
    public HissColour(double trebleMicroseconds, double rms, double rateHz)
    {
        // Trapezoid rule for (1 + sT)/(1 + sT/4).
        var zero = 2 * rateHz * trebleMicroseconds * 1e-6;
        var pole = zero / 4;
        var (b0, b1, a1) = ((1 + zero) / (1 + pole), (1 - zero) / (1 + pole), (1 - pole) / (1 + pole));
        const int Points = 2000;
        var top = Math.Min(20000, rateHz / 2);
        var power = 0.0;
        for (var i = 0; i < Points; i++)
        {
            var z = Complex.FromPolarCoordinates(1, -2 * Math.PI * (i + 0.5) * top / Points / rateHz);
            var size = ((b0 + (b1 * z)) / (1 + (a1 * z))).Magnitude;
            power += size * size;
        }

        // White noise of variance 1 spreads evenly up to half the rate.
        power *= top / Points / (rateHz / 2);
        var scale = rms / Math.Sqrt(power);
        (_b0, _b1, _a1) = (b0 * scale, b1 * scale, a1);
        _rateHz = rateHz;
    }

    /// <summary>Power in 1 Hz at a frequency.</summary>
    public double Density(double hertz)
    {
        var z = Complex.FromPolarCoordinates(1, -2 * Math.PI * hertz / _rateHz);
        var size = ((_b0 + (_b1 * z)) / (1 + (_a1 * z))).Magnitude;
        return size * size * 2 / _rateHz;
    }

    public double Next(double white)
    {
        var y = (_b0 * white) + _state;
        _state = (_b1 * white) - (_a1 * y);
        return y;
    }
}
