using Spoolwright.Signal.Alignment;
using Spoolwright.Signal.Pieces;

namespace Spoolwright.Signal.Tests.Alignment;

/// <summary>Laying a sound beside another through flutter. Truth: the lag that was put in.</summary>
public sealed class AlignmentTests
{
    private const int Rate = 48_000;

    // A sine between its samples is known in closed form.
    [Theory]
    [InlineData(40)]
    [InlineData(997)]
    [InlineData(15_000)]
    [InlineData(20_000)]
    public void Warp_SineBetweenSamples_IsTrueTo90Decibels(double hz)
    {
        var sound = Enumerable.Range(0, 4000).Select(i => (float)Math.Sin(2 * Math.PI * hz * i / Rate)).ToArray();
        var at = Enumerable.Range(0, 1500).Select(i => 1000 + (i * 1.0037)).ToArray();
        var values = new float[at.Length];
        new Warp().Read(sound, at, values);
        for (var i = 0; i < at.Length; i++)
            Assert.Equal(Math.Sin(2 * Math.PI * hz * at[i] / Rate), values[i], 3.2e-5);
    }

    [Fact]
    public void Warp_ToALowerRate_StopsWhatThatCannotHold()
    {
        var sound = Enumerable.Range(0, 8000).Select(i => (float)Math.Sin(2 * Math.PI * 30_000 * i / 96_000.0)).ToArray();
        var values = new float[2000];
        new Warp(0.95 * 44_100 / 96_000).Read(sound, [.. Enumerable.Range(0, 2000).Select(i => 1000 + (i * 96_000 / 44_100.0))], values);
        Assert.True(values.Max(v => Math.Abs(v)) < 1e-4);
    }

    // The reference: the whole matrix written out and solved by elimination.
    [Fact]
    public void EvenCourse_AgainstTheWholeMatrix_IsTheSame()
    {
        var chance = new Random(3);
        const int n = 25;
        var y = Enumerable.Range(0, n).Select(_ => chance.NextDouble()).ToArray();
        var w = Enumerable.Range(0, n).Select(i => i is > 8 and < 14 ? 0 : chance.NextDouble()).ToArray();
        var matrix = new double[n, n + 1];
        for (var i = 0; i < n; i++)
            (matrix[i, i], matrix[i, n]) = (w[i], w[i] * y[i]);
        for (var i = 1; i < n - 1; i++)
        {
            foreach (var (a, p) in ((int, double)[])[(-1, 1), (0, -2), (1, 1)])
            {
                foreach (var (b, q) in ((int, double)[])[(-1, 1), (0, -2), (1, 1)])
                    matrix[i + a, i + b] += 7 * p * q;
            }
        }

        for (var i = 0; i < n; i++)
        {
            for (var j = i + 1; j < n; j++)
            {
                var factor = matrix[j, i] / matrix[i, i];
                for (var k = i; k <= n; k++)
                    matrix[j, k] -= factor * matrix[i, k];
            }
        }

        var expected = new double[n];
        for (var i = n - 1; i >= 0; i--)
            expected[i] = (matrix[i, n] - Enumerable.Range(i + 1, n - i - 1).Sum(k => matrix[i, k] * expected[k])) / matrix[i, i];
        var course = EvenCourse.Through(y, w, 7);
        for (var i = 0; i < n; i++)
            Assert.Equal(expected[i], course[i], 1e-9);
    }

    /// <summary>A piece through a tape whose speed drifts and flutters, under hiss: the lag comes back to some microseconds wherever the
    /// piece sounds.</summary>
    [Theory]
    [InlineData(1, 0.001, 4.1)]
    [InlineData(2, 0.0005, 8)]
    [InlineData(3, 0.002, 0.6)]
    public void Lag_OfAPieceUnderFlutterAndHiss_IsFoundWithinMicroseconds(int seed, double flutter, double hertz)
    {
        var (left, right) = Piece.Render(seed, Rate);
        double Lag(double t) =>
            0.004 + (0.0002 * t) + (flutter / (2 * Math.PI * hertz) * Math.Sin(2 * Math.PI * hertz * t)) + (0.003 * Math.Sin(0.15 * t));
        var chance = new Random(seed);
        float[] Late(float[] side)
        {
            var values = new float[side.Length];
            new Warp().Read(side, [.. Enumerable.Range(0, side.Length).Select(i => i - (Rate * Lag(i / (double)Rate)))], values);
            return [.. values.Select(v => v + (float)(0.001 * (chance.NextDouble() + chance.NextDouble() + chance.NextDouble() - 1.5)))];
        }

        var course = new LagSearch().Find((left, right), (Late(left), Late(right)), Rate)!;
        var errors = Enumerable.Range(100, course.Lags.Length - 1000).Select(i => course.Lags[i] - Lag(i * course.StepSeconds)).ToArray();
        Assert.True(
            Math.Sqrt(errors.Average(e => e * e)) < 15e-6,
            $"rms {1e6 * Math.Sqrt(errors.Average(e => e * e)):0.0} µs, most {1e6 * errors.Max(Math.Abs):0.0} µs"
        );
        Assert.Equal(0.0002, course.Line().Slope, 0.0002);
    }

    [Fact]
    public void Lag_OfAnotherSound_IsNotClaimed()
    {
        var (left, right) = Piece.Render(1, Rate);
        var chance = new Random(9);
        float[] noise = [.. left.Select(_ => (float)(0.2 * (chance.NextDouble() - 0.5)))];
        Assert.Null(new LagSearch().Find((left, right), (noise, noise), Rate));
        Assert.Null(new LagSearch().Find((left, right), (new float[left.Length], new float[left.Length]), Rate));
    }
}
