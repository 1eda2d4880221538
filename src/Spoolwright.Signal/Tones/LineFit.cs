using System.Numerics;

namespace Spoolwright.Signal.Tones;

/// <summary>Least squares of a tone's level and of steady lines beside it, from the part of the sound that lies along the tone.</summary>
internal sealed class LineFit
{
    private readonly int _n;
    private readonly Complex[][] _lines;

    /// <param name="n">Outputs in the record.</param>
    /// <param name="steps">Radians that each line turns from one output to the next.</param>
    public LineFit(int n, double[] steps)
    {
        _n = n;
        _lines = [.. steps.Select(step =>
        {
            var line = new Complex[n];
            for (var i = 0; i < n; i++)
            {
                line[i] = Complex.FromPolarCoordinates(1, step * i);
            }

            return line;
        })];
    }

    /// <summary>Writes the record without its lines into <paramref name="clean"/>.</summary>
    /// <param name="record">What was heard, at least as long.</param>
    /// <param name="clean">Takes the result.</param>
    /// <param name="cos">Cosine of the tone's phase.</param>
    /// <param name="sin">Sine of it.</param>
    public void Subtract(BasebandRecord record, BasebandRecord clean, double[] cos, double[] sin)
    {
        var size = (2 * _lines.Length) + 1;
        var matrix = new double[size, size + 1];
        Span<double> re = record.Re, im = record.Im;
        var basis = new double[size];
        basis[0] = 1;
        for (var i = 0; i < _n; i++)
        {
            for (var k = 0; k < _lines.Length; k++)
            {
                var line = _lines[k][i];
                basis[(2 * k) + 1] = (line.Real * cos[i]) + (line.Imaginary * sin[i]);
                basis[(2 * k) + 2] = (line.Real * sin[i]) - (line.Imaginary * cos[i]);
            }

            var along = (re[i] * cos[i]) + (im[i] * sin[i]);
            for (var a = 0; a < size; a++)
            {
                for (var b = a; b < size; b++)
                {
                    matrix[a, b] += basis[a] * basis[b];
                }

                matrix[a, size] += basis[a] * along;
            }
        }

        if (!Solve(matrix, size))
        {
            return;
        }

        for (var i = 0; i < _n; i++)
        {
            Complex sum = 0;
            for (var k = 0; k < _lines.Length; k++)
            {
                sum += new Complex(matrix[(2 * k) + 1, size], matrix[(2 * k) + 2, size]) * _lines[k][i];
            }

            clean.Re[i] = re[i] - sum.Real;
            clean.Im[i] = im[i] - sum.Imaginary;
        }
    }

    // Elimination with pivots; the lower half mirrors the upper one. False where the lines cannot be told apart.
    private static bool Solve(double[,] matrix, int size)
    {
        for (var a = 0; a < size; a++)
        {
            for (var b = 0; b < a; b++)
            {
                matrix[a, b] = matrix[b, a];
            }
        }

        var scale = matrix[0, 0];
        for (var k = 0; k < size; k++)
        {
            var pivot = matrix[k, k];
            if (!(pivot > 1e-3 * scale))
            {
                return false;
            }

            for (var b = k; b <= size; b++)
            {
                matrix[k, b] /= pivot;
            }

            for (var a = 0; a < size; a++)
            {
                var factor = matrix[a, k];
                if (a == k || factor == 0)
                {
                    continue;
                }

                for (var b = k; b <= size; b++)
                {
                    matrix[a, b] -= factor * matrix[k, b];
                }
            }
        }

        return true;
    }
}
