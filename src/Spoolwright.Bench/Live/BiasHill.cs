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
public sealed record LiveHill(
    Channel Channel,
    double FrequencyHz,
    double NowDb,
    double? PeakDb,
    double? DropDb,
    double? UncertaintyDb,
    string Side,
    int Rising
)
{
    /// <summary>Drop wanted, dB; null: nobody says.</summary>
    public double? WantedDb { get; init; }

    /// <summary>Who says so.</summary>
    public string? WantedSource { get; init; }
}

/// <summary>
/// Follows the level of the bias tone, and of 1 kHz beside it, twenty times a second while bias is turned, and fits the peak as the file's
/// measurement does: by the same search, never by the highest sample.
/// </summary>
internal sealed class BiasHill(Channel channel, double toneHz)
{
    private const int Least = 40;
    private const int NowPoints = 10;
    private const int AtPeakPoints = 20;

    // Middle values of five are alike over five points: a mean of ten scatters by so much more than their noise says [computed].
    private const double Likeness = 1.28;
    private const int FitEach = 5;
    private const int RecentPoints = 60;

    // How far down its flanks a crossing is looked at.
    private const double FlankDb = 3;

    // Of fewer points the noise is not known well enough to be a crossing's own.
    private const int LeastForNoise = 60;

    // Noise of the last seconds this much over the crossing's, as variance, is no chance: the level does not stand.
    private const double NoChance = 2.5;
    private const int LongestGap = 40;

    // At rest the course is fitted whole, as a file's is: so often, and the answer holds so long.
    private const int RestEach = 20;
    private const int RestHolds = 30;

    private readonly HillCourse _course = new();
    private (LevelPeak Fit, double Beside)? _peak;
    private (BiasTop Top, long At)? _rest;
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
                Clear();
            }

            return;
        }

        _missing = 0;
        if (!_course.Add(level, beside))
        {
            return;
        }

        if (++_sinceFit >= FitEach && _course.Count >= Least)
        {
            Fit();
        }

        if (
            _course.Taken % RestEach == 0
            && _peak is { } peak
            && Now() is { Rising: 0 } now
            && peak.Fit.LevelDb - now.Db > BiasTop.LeastDropDb
        )
        {
            FitAtRest(peak.Fit);
        }
    }

    /// <summary>Where it stands now; null without the tones.</summary>
    public LiveHill? Read()
    {
        if (_course.Count < Least || _missing > 2 * NowPoints)
        {
            return null;
        }

        var (now, noise, rising) = Now();
        if (_peak is not { } peak)
        {
            return new LiveHill(channel, toneHz, now, null, null, null, BiasMeasurement.Word(BiasSide.Unknown), rising);
        }

        var (top, drop, uncertainty) = (
            peak.Fit.LevelDb,
            peak.Fit.LevelDb - now,
            Math.Sqrt((peak.Fit.NoiseDb * peak.Fit.NoiseDb) + (peak.Fit.MethodDb * peak.Fit.MethodDb) + (noise * noise))
        );
        if (rising == 0 && AtRest(now, noise) is { } rest)
        {
            (top, drop, uncertainty) = (rest.Peak.LevelDb, rest.DropDb, rest.DropUncertaintyDb);
        }

        var change = _course.Beside(_course.Count - NowPoints, _course.Count) - peak.Beside;
        var side = BiasMeasurement.Side(drop, uncertainty, change, noise);
        return new LiveHill(channel, toneHz, now, top, drop, uncertainty, BiasMeasurement.Word(side), rising);
    }

    /// <summary>Forgets the peak and the course: another tape was threaded, or something else was turned.</summary>
    public void Forget()
    {
        Clear();
        _peak = null;
    }

    private void Clear()
    {
        _course.Clear();
        _rest = null;
    }

    // The level now, its noise (k = 2), and whether it has risen, fallen or stood over the last two seconds.
    private (double Db, double NoiseDb, int Rising) Now()
    {
        var now = _course.Level(_course.Count - NowPoints, _course.Count);
        var before = _course.Level(_course.Count - Least, _course.Count - Least + NowPoints);
        var noise = 2 * Math.Sqrt(Math.Max(_noiseNow.Over(NowPoints), 1e-6) * Likeness / NowPoints);
        return (now, noise, Math.Abs(now - before) < Math.Max(0.05, 1.5 * noise) ? 0 : Math.Sign(now - before));
    }

    // The hand rests: all since the level last ran is fitted as a file is, which knows the drop two to four times as well as a second of it
    // does.
    private void FitAtRest(LevelPeak peak)
    {
        // Another peak than the one known, or one whose height it does not see: no figure of this one.
        _rest =
            BiasTop.Of(_course.SinceRun()) is { } top && top.Peak.LevelDb > peak.LevelDb - double.Hypot(peak.NoiseDb, peak.MethodDb) - 0.02
                ? (top, _course.Taken)
                : null;
    }

    private BiasTop? AtRest(double nowDb, double noise) =>
        _rest is { } rest
        && _course.Taken - rest.At < RestHolds
        && Math.Abs(rest.Top.Peak.LevelDb - rest.Top.DropDb - nowDb) < rest.Top.DropUncertaintyDb + (1.5 * noise) + 0.05
            ? rest.Top
            : null;

    private void Fit()
    {
        _sinceFit = 0;

        if (Top() is not { } best)
        {
            return;
        }

        // The crossing's noise is known better; what the level does now is told by the last three seconds where that is more. Slow noise is
        // counted once, with the top: turns and rests look like it, and twice would be far too wide (LiveHillCoverageTests).
        var (found, noise) = best;
        var recent = Noise(_course.Count - RecentPoints, _course.Count);
        _noiseNow = (recent.Fast > NoChance * noise.Fast ? recent : noise) with { Slow = 0 };
        // The search gives the top of what it sees. One seen before that stood higher beyond doubt is the peak still.
        if (_peak is { } known && found.LevelDb < known.Fit.LevelDb - double.Hypot(found.NoiseDb, known.Fit.NoiseDb) - 0.02)
        {
            return;
        }

        var at = Math.Clamp((int)found.Index, 0, _course.Count - 1);
        _peak = (found, _course.Beside(at - AtPeakPoints, at + AtPeakPoints + 1));
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

    // Each crossing of the top by itself, with the noise of its own flanks: one gone over slowly is not made doubtful by one gone over in a
    // few quick turns.
    private (LevelPeak Fit, LevelNoise Noise)? Top()
    {
        var smooth = LevelPeak.Smooth(_course.Levels, NowPoints);
        var top = smooth.Max();
        var fits = new List<(LevelPeak Fit, LevelNoise Noise)>();
        foreach (var (from, to) in Crossings(smooth, top - FlankDb))
        {
            var noise = to - from >= LeastForNoise ? Noise(from, to) : Noise(0, _course.Count);
            if (LevelPeak.Find(_course.Levels.GetRange(from, to - from), noise) is { } fit)
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
            if (i < smooth.Length && smooth[i] >= above && !_course.Runs(i))
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
        (from, to) = (Math.Max(0, from), Math.Min(_course.Count, to));
        return LevelNoise.Of(_course.Levels.GetRange(from, to - from));
    }

    private double? Level(ReadOnlySpan<LiveToneReading> tones, double hz) => Level(tones, hz, channel);
}
