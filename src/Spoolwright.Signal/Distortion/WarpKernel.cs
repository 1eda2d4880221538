using System.Numerics;

namespace Spoolwright.Signal.Distortion;

/// <summary>
/// Reads a sampled signal between its samples, through a low-pass by a Kaiser window kept as a table of fractions of a sample. Between two
/// rows of the table the result is drawn straight: its error lies under (ω/rows)²/8 of a component at ω rad a sample, −130 dB at a sixth of
/// the rate.
/// </summary>
internal sealed class WarpKernel
{
    private const int Rows = 512;
    private const double AttenuationDb = 115;
    private readonly float[] _table;
    private readonly int _stride;

    /// <param name="passHz">Upper end of the band passed, Hz.</param>
    /// <param name="stopHz">Lower end of the band stopped, Hz.</param>
    /// <param name="sampleRateHz">Rate of the signal, Hz.</param>
    public WarpKernel(double passHz, double stopHz, double sampleRateHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(stopHz, passHz);

        // The window's usual estimates of length and shape, as in KaiserLowPass.
        var slope = 2 * Math.PI * (stopHz - passHz) / sampleRateHz;
        Half = (int)Math.Ceiling((AttenuationDb - 7.95) / (2.285 * slope) / 2) + 1;
        var beta = 0.1102 * (AttenuationDb - 8.7);
        var cutoff = Math.PI * (passHz + stopHz) / sampleRateHz;
        _stride = ((2 * Half) + 15) / 16 * 16;
        _table = new float[(Rows + 1) * _stride];
        var row = new double[2 * Half];
        for (var r = 0; r <= Rows; r++)
        {
            double sum = 0;
            for (var k = 0; k < row.Length; k++)
            {
                // Tap k lies on the sample floor(t) − Half + 1 + k.
                var x = k - Half + 1 - ((double)r / Rows);
                var ideal = Math.Abs(x) < 1e-12 ? cutoff / Math.PI : Math.Sin(cutoff * x) / (Math.PI * x);
                var edge = 1 - (x * x / ((double)Half * Half));
                row[k] = edge <= 0 ? 0 : ideal * BesselI0(beta * Math.Sqrt(edge));
                sum += row[k];
            }

            for (var k = 0; k < row.Length; k++)
            {
                _table[(r * _stride) + k] = (float)(row[k] / sum);
            }
        }
    }

    /// <summary>Samples needed on either side of the place read.</summary>
    public int Half { get; }

    /// <summary>Samples that a reading touches, from the first tap on, padding included.</summary>
    public int Reach => _stride;

    /// <summary>The signal at a place between samples.</summary>
    /// <param name="samples">The signal.</param>
    /// <param name="at">Place in it, at least <see cref="Half"/> from the start and <see cref="Reach"/> − <see cref="Half"/> from the
    /// end.</param>
    public double Read(ReadOnlySpan<float> samples, double at)
    {
        var whole = (int)at;
        var place = (at - whole) * Rows;
        var r = Math.Min((int)place, Rows - 1);
        var x = samples.Slice(whole - Half + 1, _stride);
        var low = _table.AsSpan(r * _stride, _stride);
        var high = _table.AsSpan((r + 1) * _stride, _stride);
        Vector<float> a = default, b = default;
        for (var k = 0; k < _stride; k += Vector<float>.Count)
        {
            var v = new Vector<float>(x[k..]);
            a = Vector.FusedMultiplyAdd(v, new Vector<float>(low[k..]), a);
            b = Vector.FusedMultiplyAdd(v, new Vector<float>(high[k..]), b);
        }

        double first = Vector.Sum(a), second = Vector.Sum(b);
        return first + ((place - r) * (second - first));
    }

    private static double BesselI0(double x)
    {
        double term = 1, sum = 1;
        for (var k = 1; term > sum * 1e-17; k++)
        {
            term *= x * x / (4.0 * k * k);
            sum += term;
        }

        return sum;
    }
}
