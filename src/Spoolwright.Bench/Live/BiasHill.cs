using Spoolwright.Bench.Measurements;
using Spoolwright.Signal.Levels;
using Spoolwright.Signal.Live;

namespace Spoolwright.Bench.Live;

/// <summary>Where a channel stands on the hill of level over bias.</summary>
/// <param name="Channel">Left or right.</param>
/// <param name="FrequencyHz">The tone's nominal frequency, Hz.</param>
/// <param name="NowDb">Level now, dBFS.</param>
/// <param name="PeakDb">Level at the peak, fitted; null: no peak was passed yet.</param>
/// <param name="DropDb">Peak less now; null without a peak.</param>
/// <param name="UncertaintyDb">Of the drop, k = 2.</param>
/// <param name="Side"><c>over</c>, <c>under</c>, <c>at-peak</c> or <c>side-unknown</c>.</param>
/// <param name="Rising">Whether the level has risen, fallen or stood over the last two seconds: 1, −1, 0.</param>
public sealed record LiveHill(Channel Channel, double FrequencyHz, double NowDb, double? PeakDb, double? DropDb, double? UncertaintyDb, string Side, int Rising)
{
    /// <summary>Drop wanted, dB; null: nobody says.</summary>
    public double? WantedDb { get; init; }

    /// <summary>Who says so.</summary>
    public string? WantedSource { get; init; }
}

/// <summary>
/// Follows the level of the bias tone, and of 1 kHz beside it, twenty times a second while bias is turned, and fits the peak as the file's measurement does:
/// by the same search, never by the highest sample.
/// </summary>
internal sealed class BiasHill(Channel channel, double toneHz)
{
    // Five minutes of turning; what was a peak before stays known.
    private const int Most = 6000;
    private const int Least = 40;
    private const int NowPoints = 10;
    private const int AtPeakPoints = 20;

    // Middle values of five are alike over five points: a mean of ten scatters by so much more than their noise says [computed].
    private const double Likeness = 1.28;
    private const int FitEach = 5;
    private const int RecentPoints = 60;

    // How far down its flanks a crossing is looked at.
    private const double FlankDb = 3;

    // A level that goes further than this in half a second runs.
    private const int RunPoints = 5;
    private const double RunDb = 1;

    // Of fewer points the noise is not known well enough to be a crossing's own.
    private const int LeastForNoise = 60;

    // Noise of the last seconds this much over the crossing's, as variance, is no chance: the level does not stand.
    private const double NoChance = 2.5;
    private const int LongestGap = 40;
    // A dropout, or the joint of two passes of the practice deck, spoils two or three points: each point of the course is the middle one of five.
    private const int Middle = 5;
    private readonly double[] _raw = new double[Middle], _rawBeside = new double[Middle];
    private readonly double[] _sorted = new double[Middle];
    private long _points;
    private readonly List<double> _level = new(Most);
    private readonly List<double> _beside = new(Most);
    private (LevelPeak Fit, double Beside)? _peak;
    private int _missing;
    private int _sinceFit;
    private LevelNoise _noiseNow;

    /// <summary>Takes the next point: what the tones are over the last twentieth of a second.</summary>
    public void Point(ReadOnlySpan<LiveToneReading> tones)
    {
        if (Level(tones, toneHz) is not { } level || Level(tones, 1000) is not { } beside)
        {
            if (++_missing == LongestGap)
            {
                _level.Clear();
                _beside.Clear();
                _points = 0;
            }

            return;
        }

        _missing = 0;
        (_raw[_points % Middle], _rawBeside[_points % Middle]) = (level, beside);
        if (++_points < Middle)
        {
            return;
        }

        if (_level.Count == Most)
        {
            _level.RemoveRange(0, Most / 4);
            _beside.RemoveRange(0, Most / 4);
        }

        _level.Add(Median(_raw));
        _beside.Add(Median(_rawBeside));
        if (++_sinceFit >= FitEach && _level.Count >= Least)
        {
            Fit();
        }
    }

    /// <summary>Where it stands now; null without the tones.</summary>
    public LiveHill? Read()
    {
        if (_level.Count < Least || _missing > 2 * NowPoints)
        {
            return null;
        }

        var now = Mean(_level, _level.Count - NowPoints, _level.Count);
        var before = Mean(_level, _level.Count - Least, _level.Count - Least + NowPoints);
        var noise = 2 * Math.Sqrt(Math.Max(_noiseNow.Over(NowPoints), 1e-6) * Likeness / NowPoints);
        var rising = Math.Abs(now - before) < Math.Max(0.05, 1.5 * noise) ? 0 : Math.Sign(now - before);
        if (_peak is not { } peak)
        {
            return new LiveHill(channel, toneHz, now, null, null, null, BiasMeasurement.Word(BiasSide.Unknown), rising);
        }

        var uncertainty = Math.Sqrt((peak.Fit.NoiseDb * peak.Fit.NoiseDb) + (peak.Fit.MethodDb * peak.Fit.MethodDb) + (noise * noise));
        var drop = peak.Fit.LevelDb - now;
        var change = Mean(_beside, _beside.Count - NowPoints, _beside.Count) - peak.Beside;
        var side = BiasMeasurement.Side(drop, uncertainty, change, noise);
        return new LiveHill(channel, toneHz, now, peak.Fit.LevelDb, drop, uncertainty, BiasMeasurement.Word(side), rising);
    }

    /// <summary>Forgets the peak and the course: another tape was threaded, or something else was turned.</summary>
    public void Forget()
    {
        _level.Clear();
        _beside.Clear();
        _peak = null;
        _points = 0;
    }

    private void Fit()
    {
        _sinceFit = 0;

        if (Top() is not { } best)
        {
            return;
        }

        // The crossing's noise is known better; what the level does now is told by the last three seconds where that is more. Slow noise is counted once, with the
        // top: turns and rests look like it, and twice would be far too wide (LiveHillCoverageTests).
        var (found, noise) = best;
        var recent = Noise(_level.Count - RecentPoints, _level.Count);
        _noiseNow = (recent.Fast > NoChance * noise.Fast ? recent : noise) with { Slow = 0 };
        // The search gives the top of what it sees. One seen before that stood higher beyond doubt is the peak still.
        if (_peak is { } known && found.LevelDb < known.Fit.LevelDb - double.Hypot(found.NoiseDb, known.Fit.NoiseDb) - 0.02)
        {
            return;
        }

        var at = Math.Clamp((int)found.Index, 0, _beside.Count - 1);
        _peak = (found, Mean(_beside, at - AtPeakPoints, at + AtPeakPoints + 1));
    }

    private static double? Level(ReadOnlySpan<LiveToneReading> tones, double hz, Channel of)
    {
        foreach (var tone in tones)
        {
            if (Math.Abs((tone.FrequencyHz / hz) - 1) < 0.05)
            {
                var db = of == Channel.Left ? tone.LeftDb : tone.RightDb;
                return db > -120 ? db : null;
            }
        }

        return null;
    }

    // Each crossing of the top by itself, with the noise of its own flanks: one gone over slowly is not made doubtful by one gone over in a few quick turns.
    private (LevelPeak Fit, LevelNoise Noise)? Top()
    {
        var smooth = LevelPeak.Smooth(_level, NowPoints);
        var top = smooth.Max();
        var fits = new List<(LevelPeak Fit, LevelNoise Noise)>();
        foreach (var (from, to) in Crossings(smooth, top - FlankDb))
        {
            var noise = to - from >= LeastForNoise ? Noise(from, to) : Noise(0, _level.Count);
            if (LevelPeak.Find(_level.GetRange(from, to - from), noise) is { } fit)
            {
                fits.Add((fit with { Index = fit.Index + from }, noise));
            }
        }

        if (fits.Count == 0)
        {
            return null;
        }

        var best = LevelPeak.Best([.. fits.Select(f => f.Fit)]);
        return fits.First(f => f.Fit == best);
    }

    // Stretches above a level in which the level does not run: where it does, the hand was on its way to somewhere else.
    private List<(int From, int To)> Crossings(double[] smooth, double above)
    {
        var found = new List<(int, int)>();
        var from = 0;
        for (var i = 0; i <= smooth.Length; i++)
        {
            if (i < smooth.Length && smooth[i] >= above && Math.Abs(_level[Math.Min(i + RunPoints, smooth.Length - 1)] - _level[Math.Max(i - RunPoints, 0)]) < RunDb)
            {
                continue;
            }

            if (i - from >= Least)
            {
                found.Add((from, i));
            }

            from = i + 1;
        }

        return found;
    }

    private LevelNoise Noise(int from, int to)
    {
        (from, to) = (Math.Max(0, from), Math.Min(_level.Count, to));
        return LevelNoise.Of(_level.GetRange(from, to - from));
    }

    private double Median(double[] of)
    {
        of.CopyTo(_sorted, 0);
        Array.Sort(_sorted);
        return _sorted[Middle / 2];
    }

    private double? Level(ReadOnlySpan<LiveToneReading> tones, double hz) => Level(tones, hz, channel);

    private static double Mean(List<double> of, int from, int to)
    {
        (from, to) = (Math.Max(0, from), Math.Min(of.Count, to));
        var sum = 0.0;
        for (var i = from; i < to; i++)
        {
            sum += of[i];
        }

        return sum / Math.Max(1, to - from);
    }
}
