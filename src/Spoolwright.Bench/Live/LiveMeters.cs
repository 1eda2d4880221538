using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Standards;
using Spoolwright.Bench.Tape;
using Spoolwright.Signal.Levels;
using Spoolwright.Signal.Live;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Live;

/// <summary>
/// The live end of the one path: fed blocks of sound as they come, asked for a picture as often as a screen can show one. What a reading is
/// does not hang on the size of the blocks; memory stays flat however long it runs. Not safe for use from several threads at once.
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
    private readonly BiasHill[] _hills = [];
    private readonly WantedDrop? _wanted;
    private int _toPoint;
    private int _toPassOver;

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
        _toPoint = PointFrames;
        if (context.Sent is { Name: "bias" } sent)
        {
            var hz = sent.Tones.Max(t => t.FrequencyHz);
            _hills = [new BiasHill(Channel.Left, hz), new BiasHill(Channel.Right, hz)];
            _wanted = WantedDrop.Of(new MeasurementSettings { Profile = context.Profile, Condition = context.Condition }, hz, []);
        }
    }

    // Level's course while bias is turned: as many points a second as the file's measurement takes.
    private int PointFrames => (int)(_rate / LevelCourse.PerSecond);

    /// <summary>Places where samples were lost on the way in, as found in the sound: zeros in their stead, or a jump in a tone's
    /// phase.</summary>
    public int Breaks => Math.Max(_watch.Breaks, _context.IsMadeHere ? 0 : _tones.Jumps);

    /// <summary>Takes the next frames of both channels.</summary>
    /// <exception cref="ArgumentException">The channels differ in length.</exception>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        if (left.Length != right.Length)
        {
            throw new ArgumentException($"The right block holds {right.Length} samples, the left {left.Length}.", nameof(right));
        }

        while (left.Length > 0)
        {
            var take = Math.Min(left.Length, _toPoint);
            _watch.Add(left[..take], right[..take]);
            _tones.Add(left[..take], right[..take]);
            _speed.Add(left[..take], right[..take]);
            left = left[take..];
            right = right[take..];
            _toPoint -= take;
            if (_toPoint == 0)
            {
                _toPoint = PointFrames;
                Point();
            }
        }
    }

    /// <summary>Forgets the tones heard before and the cycle: something was turned or another tape threaded.</summary>
    public void Forget()
    {
        _heard.Clear();
        _follower.Forget();
        foreach (var hill in _hills)
        {
            hill.Forget();
        }
    }

    /// <summary>
    /// Leaves the next quarter of a second out of the level's course over bias: two passes of the practice deck are joined there, which no
    /// real deck does.
    /// </summary>
    public void PassOverJoint() => _toPassOver = (int)(LevelCourse.PerSecond / 4);

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
            new LiveInputState(_rate, seconds, peakLeft, peakRight, _watch.Notes(Breaks)),
            [.. standing, .. Heard(standing, seconds)],
            skew,
            speed,
            LiveReadings.Judged(readings, _context),
            withRings && speed is not null ? [.. _rings.Select(r => Ring(r.Rate, r.Ring))] : [])
        {
            Hills =
            [
                .. _hills
                    .Select(h => h.Read())
                    .OfType<LiveHill>()
                    .Select(h => h with { WantedDb = _wanted?.Db, WantedSource = _wanted?.Source }),
            ],
        };
    }

    private void Point()
    {
        if (_hills.Length == 0 || _toPassOver-- > 0)
        {
            return;
        }

        _toPassOver = 0;

        // A little more than a point's length: a tone gives no reading of less than a twentieth of a second.
        var n = _tones.Read(_readings, 1.2 / LevelCourse.PerSecond);
        foreach (var hill in _hills)
        {
            hill.Point(_readings.AsSpan(0, n));
        }
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
            states.Add(state);
            // A reading over a fifth of a second and more is worth remembering.
            if (r.Seconds > 0.2)
            {
                _heard.Keep(state, seconds);
            }
        }

        // Where the reference tone stands beside the others it is the one to hold them against; else as it was last heard.
        var reference = states.Find(s => s.NominalHz == _context.ReferenceHz) ?? _heard.Last(_context.ReferenceHz);
        return [.. states.Select(s => WithResponse(s, reference))];
    }

    private IEnumerable<LiveToneState> Heard(List<LiveToneState> standing, double seconds)
    {
        var reference = standing.Find(s => s.NominalHz == _context.ReferenceHz) ?? _heard.Last(_context.ReferenceHz);
        foreach (var state in _heard.Earlier(seconds))
        {
            if (!standing.Exists(s => s.NominalHz == state.NominalHz))
            {
                yield return WithResponse(state, reference);
            }
        }
    }

    private LiveToneState WithResponse(LiveToneState tone, LiveToneState? reference)
    {
        var (tape, referenceHz) = (_context.Sent is null ? _context.TestTape : null, _context.ReferenceHz);
        if (tone.NominalHz == referenceHz || reference is null)
        {
            return tone;
        }

        var held = 0.0;
        if (_context.Sent is { } sent)
        {
            if (sent.LevelOf(tone.NominalHz) is not { } own)
            {
                return tone;
            }

            held = own - (sent.LevelOf(referenceHz) ?? 0);
        }
        else if (tape is not null)
        {
            // The tape's own difference of the two; its response tones are recorded lower than its reference tone, on which the live level
            // is nearest.
            var own = tape.Tones.FirstOrDefault(t => t.FrequencyHz == tone.NominalHz);
            if (own is null)
            {
                return tone;
            }

            var at = tape
                .Tones.Where(t => t.FrequencyHz == referenceHz && t.Role == ToneRole.Reference)
                .MinBy(t => Math.Abs(t.LevelDb - own.LevelDb))!;
            held = own.LevelDb - at.LevelDb + Correction(tape, tone.NominalHz) - Correction(tape, referenceHz);
        }

        return tone with
        {
            LeftResponseDb = tone.LeftDb - reference.LeftDb - held,
            RightResponseDb = tone.RightDb - reference.RightDb - held,
        };
    }

    private static double Correction(TestTape tape, double hz) => tape.Corrections.Where(c => c.FrequencyHz == hz).Sum(c => c.Db);

    private void BeginRings(double sampleRateHz)
    {
        _rings.Clear();
        if (_context is not { Profile: { } profile, Condition: { } condition })
        {
            return;
        }

        foreach (
            var rate in RotatingRates
                .Of(profile, condition.Direction, condition.SpeedCmPerS, _context.Radii)
                .Where(r => !r.IsRange && r.LowHz < 100)
        )
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
