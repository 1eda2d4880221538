using System.Numerics;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// What leaks into one channel from the other, and takes it off the tones that stand on both sides: there it adds to the tone, in a phase
/// that tones of one side alone tell. Derived: with X = Y + q·Y′ heard in either channel, a tone of the other side alone gives q = X/X′,
/// and Y = (X − q·X′)/(1 − q·q′). What leaks behind the heads stands beside the tone that it comes from; what leaks before them lies on the
/// tape, and is heard turned by the skew.
/// </summary>
internal sealed class SideLeak
{
    // A course that bends between two tones bends four times as much between their neighbours; half a residual seen there, of which one
    // part of two is in phase with the tone, is twice what a line between two neighbours leaves.
    private const double BendShare = 0.35;

    // A residual of noise alone exceeds its mean square by more than this factor one time in twenty, the mean of two residuals being taken.
    private const double Chance = 2.4;

    // Sides that stand in both channels nearly alike cannot be taken apart.
    private const double Inseparable = 0.3;
    private static readonly double DbPerShare = 20 / Math.Log(10);
    private readonly (double Hz, Complex Share, double Sigma)[] _known;
    private readonly double _laterSeconds;

    private SideLeak((double Hz, Complex Share, double Sigma)[] known, double laterSeconds)
    {
        _laterSeconds = laterSeconds;
        _known = [.. known.Select(k => (k.Hz, k.Share * Turn(-laterSeconds, k.Hz), k.Sigma))];
    }

    /// <summary>The leak into a channel by the tones of the other side; null where there are none.</summary>
    /// <param name="program">What was found.</param>
    /// <param name="channel">The channel leaked into.</param>
    /// <param name="skewMicroseconds">Skew of the channels as heard, right later, µs.</param>
    public static SideLeak? Into(RecordedProgram program, Channel channel, double skewMicroseconds)
    {
        var from = channel == Channel.Left ? Sides.Right : Sides.Left;
        var known = program
            .Tones.Where(t => t.Sides == from && t.Figures.LeakShare is not null)
            .Select(t => (t.Figures.FrequencyHz, t.Figures.LeakShare!.Value.Share, t.Figures.LeakShare.Value.Sigma))
            .OrderBy(t => t.FrequencyHz)
            .ToArray();
        if (known.Length < 2)
        {
            return null;
        }

        // Of a leak before the heads and one behind them, the one that lies smoother over the tones.
        SideLeak behind = new(known, 0), before = new(known, (channel == Channel.Left ? 1 : -1) * skewMicroseconds * 1e-6);
        return behind.Misfit() <= before.Misfit() ? behind : before;
    }

    /// <summary>
    /// What leak adds to a tone of both sides: to the level of the left and right channel, dB, and to the phase of right minus left,
    /// degrees, each with what is uncertain of it, k = 2. Null where the tone does not stand on both sides, a leak is not known, or the
    /// sides stand in both channels nearly alike.
    /// </summary>
    public static (Pulled Left, Pulled Right, Pulled Phase)? Pull(SideLeak? left, SideLeak? right, RecordedTone tone)
    {
        if (
            left is null
            || right is null
            || tone.Sides != Sides.Both
            || tone.Figures.Phase is not { } phase
            || tone.Figures.Right is not { } r
        )
        {
            return null;
        }

        var other = Complex.FromPolarCoordinates(
            Math.Pow(10, (r.LevelDb - tone.Figures.Left.LevelDb) / 20),
            double.DegreesToRadians(phase.Value)
        );
        var (into, intoSigma) = left.At(tone.Figures.FrequencyHz);
        var (over, overSigma) = right.At(tone.Figures.FrequencyHz);
        if ((into * over).Magnitude > Inseparable)
        {
            return null;
        }

        Complex both = 1 - (into * over), l = (1 - (into * other)) / both, r2 = (1 - (over / other)) / both;
        double lSigma = intoSigma * other.Magnitude / both.Magnitude, rSigma = overSigma / other.Magnitude / both.Magnitude;
        return (
            new Pulled(-DbPerShare * Math.Log(l.Magnitude), DbPerShare * lSigma),
            new Pulled(-DbPerShare * Math.Log(r2.Magnitude), DbPerShare * rSigma),
            new Pulled(double.RadiansToDegrees(l.Phase - r2.Phase), double.RadiansToDegrees(double.Hypot(lSigma, rSigma))));
    }

    // The leak at a frequency, on a line between the two tones beside it, and what is uncertain of it in any one direction, k = 2.
    private (Complex Share, double Expanded) At(double hz)
    {
        var above = Array.FindIndex(_known, k => k.Hz >= hz);
        above = above < 0 ? _known.Length - 1 : Math.Max(1, above);
        var (share, variance) = Between(above - 1, above, hz);
        double bend = 0, noise = 0;
        var residuals = 0;
        for (var i = Math.Max(1, above - 1); i <= Math.Min(_known.Length - 2, above); i++)
        {
            var (off, scatter) = Residual(i);
            bend += off;
            noise += scatter;
            residuals++;
        }

        var bent = residuals == 0 ? share.Magnitude : BendShare * Math.Sqrt(Math.Max(0, bend - (Chance * noise)) / residuals);
        return (share * Turn(_laterSeconds, hz), double.Hypot(2 * Math.Sqrt(variance), bent));
    }

    private double Misfit() =>
        Enumerable.Range(1, Math.Max(0, _known.Length - 2)).Sum(i => Residual(i).Square / Math.Max(Residual(i).Noise, 1e-30));

    // A tone against the line between its neighbours, squared, and what noise makes of that.
    private (double Square, double Noise) Residual(int i)
    {
        var (expected, scatter) = Between(i - 1, i + 1, _known[i].Hz);
        var off = (_known[i].Share - expected).Magnitude;
        return (off * off, 2 * (scatter + (_known[i].Sigma * _known[i].Sigma)));
    }

    private static Complex Turn(double seconds, double hz) => Complex.FromPolarCoordinates(1, 2 * Math.PI * hz * seconds);

    private (Complex Share, double Variance) Between(int a, int b, double hz)
    {
        var w = Math.Clamp((hz - _known[a].Hz) / (_known[b].Hz - _known[a].Hz), 0, 1);
        return (
            ((1 - w) * _known[a].Share) + (w * _known[b].Share),
            Math.Pow((1 - w) * _known[a].Sigma, 2) + Math.Pow(w * _known[b].Sigma, 2)
        );
    }

    /// <summary>What leak adds, and what is uncertain of that, k = 2.</summary>
    internal readonly record struct Pulled(double Value, double Expanded);
}
