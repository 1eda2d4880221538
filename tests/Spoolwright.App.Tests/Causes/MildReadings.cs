using Spoolwright.Bench;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Waves;
using Spoolwright.Signal.Programs;
using Channel = Spoolwright.Bench.Channel;
using Direction = Spoolwright.Bench.Direction;

namespace Spoolwright.App.Tests.Causes;

/// <summary>
/// The faster path for calibration: readings of a sound deck by its true sound, and on top of them what the practice deck's own laws say a
/// fault changes. No sound is made for the fault, so that a thousand decks with faults too mild to be plain can be weighed.
/// </summary>
internal sealed class MildReadings(PracticeDeck sound, PracticeDeck ill, long seed, bool noiseFree = false)
{
    private const int RateHz = 48000;

    // A line of the flutter under this is not found; found, it reads to within this. From the readings by true sound.
    private const double LineSeen = 0.007;
    private const double LineNoise = 0.0015;

    private readonly NoiseStream draw = new(seed, "mild readings");
    private readonly Dictionary<(TapeDirection, string), (RecordTruth Sound, RecordTruth Ill)> recorded = [];

    // The sound deck under many others is one and the same.
    private static readonly System.Runtime.CompilerServices.ConditionalWeakTable<
        PracticeDeck,
        Dictionary<(TapeDirection, string), RecordTruth>
    > Kept = [];

    public IReadOnlyList<ProofReadings.Kept> On(IReadOnlyList<ProofReadings.Kept> readings) =>
        [.. readings.Select(k => k with { Readings = [.. Changed(k)] })];

    private IEnumerable<Reading> Changed(ProofReadings.Kept kept)
    {
        var direction = kept.Condition.Direction == Direction.Forward ? TapeDirection.Forward : TapeDirection.Reverse;
        // What no fault touches stays as it was read.
        if (
            kept.Measurement is not "speed" and not "azimuth"
            && sound.Head(direction) == ill.Head(direction)
            && sound.Recorder!.Head(direction) == ill.Recorder!.Head(direction)
        )
            return kept.Readings;
        var readings = kept.Readings.Select(r => Change(kept, direction, r)).OfType<Reading>();
        return kept.Measurement == "speed" ? Motion([.. readings], direction) : readings;
    }

    private Reading? Change(ProofReadings.Kept kept, TapeDirection direction, Reading reading)
    {
        var side = reading.Channel == Channel.Right ? PracticeSide.Right : PracticeSide.Left;
        var speed = kept.Condition.SpeedCmPerS;
        var (healthy, faulty) = (sound.Head(direction).Channel(side), ill.Head(direction).Channel(side));
        Reading By(double change) => reading with { Value = reading.Value + change };
        switch (kept.Measurement, reading.Quantity)
        {
            case ("speed", "speed-error"):
                return By(ill.Speed(speed).ErrorPercent - sound.Speed(speed).ErrorPercent);
            case ("playback", "response"):
                return By(Played(direction, speed, side, reading.FrequencyHz!.Value) - Played(direction, speed, side, 1000));
            case ("playback", "playback-level"):
                return By(Played(direction, speed, side, 1000));
            case ("azimuth", "azimuth-angle"):
                return By(ill.Head(direction).AzimuthArcmin - sound.Head(direction).AzimuthArcmin);
            case ("azimuth", "azimuth-wander"):
                return reading with { Value = reading.Value * ill.Transport.WeaveArcminRms / sound.Transport.WeaveArcminRms };
            case ("noise", "hum"):
                var harmonic = (int)Math.Round(reading.FrequencyHz!.Value / 50);
                return harmonic <= healthy.HumDb.Count && harmonic <= faulty.HumDb.Count
                    ? By(faulty.HumDb[harmonic - 1] - healthy.HumDb[harmonic - 1])
                    : reading;
            case ("noise", "hiss"):
                if (
                    healthy.NoiseDb == faulty.NoiseDb
                    && sound.Recorder!.Head(direction).Channel(side) == ill.Recorder!.Head(direction).Channel(side)
                )
                    return reading;
                var truth = Recorded(direction, "normal");
                double Noise(RecordTruth of) =>
                    Math.Pow(10, of.NoiseDbfs(side, NoiseWeight.Unweighted, hum: false) / 10)
                    + (of.BiasLeak(side) is { } leak ? Math.Pow(10, leak.Dbfs / 10) : 0);
                return By(10 * Math.Log10(Noise(truth.Ill) / Noise(truth.Sound)));
            case ("erase", "erase-depth"):
                return By(Recorded(direction, "normal").Ill.EraseDepthDb(1000) - Recorded(direction, "normal").Sound.EraseDepthDb(1000));
            case ("bias", _):
                return Bias(Recorded(direction, kept.Condition.TapeSetting!), side, reading);
            case ("record", _):
                return Record(Recorded(direction, kept.Condition.TapeSetting!), direction, side, reading);
            default:
                return reading;
        }
    }

    private Reading? Bias((RecordTruth Sound, RecordTruth Ill) truth, PracticeSide side, Reading reading)
    {
        if (reading.Quantity != "overbias-error")
            return reading;
        // Short of the peak no drop past it is read.
        return truth.Ill.ToBiasPeakDb(side) > -0.3
            ? null
            : reading with
            {
                Value = reading.Value + truth.Ill.BiasDropDb(side) - truth.Sound.BiasDropDb(side),
            };
    }

    private Reading Record((RecordTruth Sound, RecordTruth Ill) truth, TapeDirection direction, PracticeSide side, Reading reading)
    {
        double Level(double hertz) => truth.Ill.LevelDbfs(side, hertz, -30) - truth.Sound.LevelDbfs(side, hertz, -30);
        return reading.Quantity switch
        {
            "response" => reading with { Value = reading.Value + Level(reading.FrequencyHz!.Value) - Level(1000) },
            "tone-level" => reading with { Value = reading.Value + Level(reading.FrequencyHz!.Value) },
            "separation" => reading with
            {
                Value =
                    reading.Value
                    + truth.Ill.SeparationDb(side, reading.FrequencyHz!.Value)
                    - truth.Sound.SeparationDb(side, reading.FrequencyHz!.Value),
            },
            "record-time-skew" => reading with
            {
                Value = reading.Value + truth.Ill.TimeSkewMicroseconds - truth.Sound.TimeSkewMicroseconds - PlayedSkew(direction),
            },
            _ => reading,
        };
    }

    // What the replay head's lean alone makes between tracks 3.5 mm apart, the right one lower forward and higher in reverse.
    private double PlayedSkew(TapeDirection direction)
    {
        var change = ill.Head(direction).AzimuthArcmin - sound.Head(direction).AzimuthArcmin;
        var apart = ill.Head(direction).Right.Track.CentreMm - ill.Head(direction).Left.Track.CentreMm;
        return -apart * Math.Tan(change * Math.PI / 10800) / 19.05 * 1e5;
    }

    private double Played(TapeDirection direction, double speed, PracticeSide side, double hertz)
    {
        var options = new PlayOptions { Direction = direction, SpeedCmPerS = speed, DurationSeconds = 1 };
        var tape = RestorersTapes.Levels(speed);
        double Level(PracticeDeck deck) => 20 * Math.Log10(new ReplayPath(deck, tape, options, side).Response(hertz, 1).Magnitude);
        return Level(ill) - Level(sound);
    }

    private (RecordTruth Sound, RecordTruth Ill) Recorded(TapeDirection direction, string setting)
    {
        if (recorded.TryGetValue((direction, setting), out var known))
            return known;
        RecordTruth Of(PracticeDeck deck)
        {
            var options = new RecordOptions
            {
                Direction = direction,
                SpeedCmPerS = 19.05,
                Setting = setting,
                SampleRateHz = RateHz,
                ReferenceDbfs = -16,
            };
            using var nothing = new ProgramSound(ProgramList.Make(ProgramList.Find("blank")!, null, 2), RateHz, -16, Sides.Both);
            using var session = deck.Monitor(
                RecordedTape.Blank(deck.Recorder!.Setting(setting).LaidOutFor, 19.05, RateHz),
                options,
                nothing,
                1
            );
            return session.Truth;
        }

        var kept = Kept.GetOrCreateValue(sound);
        RecordTruth before;
        lock (kept)
            before = kept.TryGetValue((direction, setting), out var had) ? had : kept[(direction, setting)] = Of(sound);
        return recorded[(direction, setting)] = (before, Of(ill));
    }

    private IEnumerable<Reading> Motion(List<Reading> readings, TapeDirection direction)
    {
        var power = 0.0;
        foreach (
            var (was, now) in sound
                .Transport.Parts.Zip(ill.Transport.Parts)
                .Where(p => p.First.Direction is null || p.First.Direction == direction)
        )
        {
            // A part may swing twice at one rate, out of true and hard in one place; one line shows both.
            var before = Heights(was);
            foreach (var (number, peak) in Heights(now))
            {
                var change = (peak * peak) - (before.TryGetValue(number, out var old) ? old * old : 0);
                power += change / 2;
                if (Math.Abs(change) < 1e-9)
                    continue;
                var name = number == 1 ? now.Name : $"{now.Name}, harmonic {number}";
                readings.RemoveAll(r => r.Quantity == "flutter-line" && r.Part == name);
                var height = Math.Abs(peak + (noiseFree ? 0 : LineNoise * draw.NextGaussian()));
                if (height > LineSeen)
                    readings.Add(
                        new Reading
                        {
                            Quantity = "flutter-line",
                            Value = height,
                            Unit = "%",
                            Uncertainty = 2 * LineNoise,
                            Method = "",
                            Part = name,
                            Confidence = 0.95,
                            FrequencyHz = 1,
                        }
                    );
            }
        }

        // Noise of the bearings lies within the band of the figure, scrape above it.
        for (var i = 0; i < ill.Transport.Noises.Count; i++)
        {
            var (now, was) = (ill.Transport.Noises[i], i < sound.Transport.Noises.Count ? sound.Transport.Noises[i].RmsPercent : 0);
            if (now.ToHz < 200)
                power += (now.RmsPercent * now.RmsPercent) - (was * was);
        }

        return readings.Select(r =>
            r.Quantity == "wow-flutter-unweighted-rms" ? r with { Value = Math.Sqrt(Math.Max((r.Value * r.Value) + power, 1e-6)) } : r
        );
    }

    private static Dictionary<int, double> Heights(PracticePart part) =>
        part.Waves().GroupBy(w => w.Number).ToDictionary(g => g.Key, g => Math.Sqrt(g.Sum(w => w.PercentPeak * w.PercentPeak)));
}
