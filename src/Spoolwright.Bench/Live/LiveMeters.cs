using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Standards;
using Spoolwright.Bench.Tape;
using Spoolwright.Signal.Live;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Live;

/// <summary>
/// The live end of the one path: fed blocks of sound as they come, asked for a picture as often as a screen can show one. What a reading is does not hang on
/// the size of the blocks; memory stays flat however long it runs. Not safe for use from several threads at once.
/// </summary>
public sealed class LiveMeters
{
    private readonly int _rate;
    private readonly LiveContext _context;
    private readonly InputWatch _watch;
    private readonly LiveTones _tones;
    private readonly LiveSpeed _speed;
    private readonly SkewFollower _follower = new();
    private readonly List<(RotatingRate Rate, TurnRing Ring)> _rings = [];
    private readonly LiveToneReading[] _readings = new LiveToneReading[LiveToneFinder.MostTones];
    private readonly HeardTones _heard = new();

    /// <param name="sampleRateHz">Rate of the sound, 32 to 192 kHz.</param>
    /// <param name="context">What is known beside it.</param>
    public LiveMeters(int sampleRateHz, LiveContext context)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 32_000);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(sampleRateHz, 192_000);
        ArgumentNullException.ThrowIfNull(context);
        (_rate, _context) = (sampleRateHz, context);
        _watch = new InputWatch(sampleRateHz);
        _tones = new LiveTones(sampleRateHz);
        _speed = new LiveSpeed(FlutterPractice.Settings(context.NominalHz), sampleRateHz, context.FlutterSeconds)
        {
            Begun = BeginRings,
            Deviation = TurnRings,
        };
    }

    /// <summary>Samples lost on the way in, as found in the sound.</summary>
    public int Breaks => _watch.Breaks;

    /// <summary>Takes the next frames of both channels.</summary>
    /// <exception cref="ArgumentException">The channels differ in length.</exception>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        if (left.Length != right.Length)
        {
            throw new ArgumentException($"The right block holds {right.Length} samples, the left {left.Length}.", nameof(right));
        }

        _watch.Add(left, right);
        _tones.Add(left, right);
        _speed.Add(left, right);
    }

    /// <summary>Forgets the tones heard before and the cycle: something was turned or another tape threaded.</summary>
    public void Forget()
    {
        _heard.Clear();
        _follower.Forget();
    }

    /// <summary>The picture now.</summary>
    /// <param name="withRings">Whether the rings are wanted: they are most of its size.</param>
    public LivePicture Read(bool withRings)
    {
        var seconds = (double)_watch.Frames / _rate;
        var (peakLeft, peakRight) = _watch.PeakDb;
        var standing = Standing(seconds);
        LiveSkew? skew = null;
        var readings = new List<Reading>();
        if (standing.Count > 0)
        {
            // A channel without the tone has no phase to speak of.
            var phases = standing.Where(t => t.PhaseUncertaintyDegrees < 30)
                .Select(t => new TonePhase(t.FrequencyHz, t.PhaseDegrees, t.PhaseUncertaintyDegrees)).ToArray();
            skew = _follower.Next(phases, seconds);
            if (skew is not null)
            {
                LiveReadings.Skew(skew, _context, readings);
            }

            LiveReadings.Levels(standing, readings);
        }

        LiveSpeedState? speed = null;
        if (_speed.Read() is { } s)
        {
            speed = new LiveSpeedState(s.NominalHz, 100 * ((s.NowHz / s.NominalHz) - 1), s.Seconds);
            LiveReadings.Speed(s, readings);
        }

        return new LivePicture(
            new LiveInputState(_rate, seconds, peakLeft, peakRight, _watch.Notes()),
            [.. standing, .. Heard(standing, seconds)],
            skew,
            speed,
            LiveReadings.Judged(readings, _context),
            withRings && speed is not null ? [.. _rings.Select(r => Ring(r.Rate, r.Ring))] : []);
    }

    private static LiveRing Ring(RotatingRate rate, TurnRing ring)
    {
        var (peak, degrees) = ring.Eccentricity();
        return new LiveRing(rate.Part.Name, ring.RateHz, ring.Turns, peak, degrees, ring.Percent.ToArray());
    }

    private List<LiveToneState> Standing(double seconds)
    {
        var n = _tones.Read(_readings, _context.ToneSeconds);
        var states = new List<LiveToneState>(n);
        for (var i = 0; i < n; i++)
        {
            var r = _readings[i];
            var nominal = _context.Nominal(r.FrequencyHz);
            var state = new LiveToneState(
                nominal, r.FrequencyHz, r.LeftDb, r.RightDb, r.LeftNoiseDb, r.RightNoiseDb, r.PhaseDegrees, r.PhaseNoiseDegrees,
                SkewFollower.Ticks(r.FrequencyHz, r.PhaseDegrees), AgeSeconds: 0);
            states.Add(WithResponse(state));
            // A reading over a fifth of a second and more is worth remembering.
            if (r.Seconds > 0.2)
            {
                _heard.Keep(state, seconds);
            }
        }

        return states;
    }

    private IEnumerable<LiveToneState> Heard(List<LiveToneState> standing, double seconds)
    {
        foreach (var state in _heard.Earlier(seconds))
        {
            if (!standing.Exists(s => s.NominalHz == state.NominalHz))
            {
                yield return WithResponse(state);
            }
        }
    }

    private LiveToneState WithResponse(LiveToneState tone)
    {
        var tape = _context.TestTape;
        var referenceHz = tape?.Tones.FirstOrDefault(t => t.Role == ToneRole.Reference)?.FrequencyHz ?? 1000;
        if (tone.NominalHz == referenceHz || _heard.Last(referenceHz) is not { } reference)
        {
            return tone;
        }

        var held = 0.0;
        if (tape is not null)
        {
            // The tape's own difference of the two; its response tones are recorded lower than its reference tone, on which the live level is nearest.
            var own = tape.Tones.FirstOrDefault(t => t.FrequencyHz == tone.NominalHz);
            if (own is null)
            {
                return tone;
            }

            var at = tape.Tones.Where(t => t.FrequencyHz == referenceHz && t.Role == ToneRole.Reference).MinBy(t => Math.Abs(t.LevelDb - own.LevelDb))!;
            held = own.LevelDb - at.LevelDb + Correction(tape, tone.NominalHz) - Correction(tape, referenceHz);
        }

        return tone with { LeftResponseDb = tone.LeftDb - reference.LeftDb - held, RightResponseDb = tone.RightDb - reference.RightDb - held };
    }

    private static double Correction(TestTape tape, double hz) => tape.Corrections.Where(c => c.FrequencyHz == hz).Sum(c => c.Db);

    private void BeginRings(double sampleRateHz)
    {
        _rings.Clear();
        if (_context is not { Profile: { } profile, Condition: { } condition })
        {
            return;
        }

        foreach (var rate in RotatingRates.Of(profile, condition.Direction, condition.SpeedCmPerS).Where(r => !r.IsRange && r.LowHz < 100))
        {
            _rings.Add((rate, new TurnRing(rate.LowHz, rate.RelativeTolerance, sampleRateHz)));
        }
    }

    private void TurnRings(double percent)
    {
        foreach (var (_, ring) in _rings)
        {
            ring.Next(percent);
        }
    }
}
