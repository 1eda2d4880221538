using System.Numerics;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Physics;
using Spoolwright.Practice.Playing;

namespace Spoolwright.Practice.Recording;

/// <summary>Ways to weigh noise.</summary>
public enum NoiseWeight
{
    /// <summary>22.4 Hz to 22.4 kHz.</summary>
    Unweighted,

    /// <summary>A-weighting.</summary>
    A,

    /// <summary>The 468 curve, as rms: its quasi-peak detector reads noise about 4 to 5 dB higher.</summary>
    Itu468Rms,
}

/// <summary>
/// What measurements of a recording on this deck, tape and setting ought to find, computed from the very filters and laws that make the
/// sound, without the sound. Levels are those of the interface; a wander of level, noise and dropouts are not in them.
/// </summary>
public sealed class RecordTruth
{
    private const int NoisePoints = 20000;
    private readonly PracticeDeck _deck;
    private readonly RecordedTape _tape;
    private readonly RecordOptions _options;
    private readonly RecordPath[] _paths;
    private readonly ReplayFilter _filter;
    private readonly ChannelNoise[] _noises;
    private readonly RecordHead _head;
    private readonly double _rate;
    private readonly double _deckRate;

    internal RecordTruth(PracticeDeck deck, RecordedTape tape, RecordOptions options)
    {
        (_deck, _tape, _options) = (deck, tape, options);
        _head = deck.Recorder!.Head(options.Direction);
        _paths =
        [
            new RecordPath(deck, tape.Stock, options, PracticeSide.Left),
            new RecordPath(deck, tape.Stock, options, PracticeSide.Right),
        ];
        var tracks = deck.Head(options.Direction);
        var bias = 0.5 * (_paths[0].BiasDb + _paths[1].BiasDb);
        var body = RecordedTape.Body(deck, tape.Stock, tape.SpeedCmPerS, options.Direction, _head.AzimuthArcmin, bias);
        var play = options.AsPlay(1);
        var speed = deck.Speed(options.SpeedCmPerS);
        _deckRate = speed.CmPerS / options.SpeedCmPerS * (1 + (speed.ErrorPercent / 100));
        _rate = _deckRate / (1 + (options.InterfaceClockPpm * 1e-6));
        var side = new RecordedSide(new FluxStore(0), tracks.Left.Track, tracks.Right.Track, _head.AzimuthArcmin, _head.GapStaggerUm, bias);
        var other = tape.Side(options.Direction == TapeDirection.Forward ? TapeDirection.Reverse : TapeDirection.Forward);
        _filter = new ReplayFilter(deck, body, play, _rate, side, other ?? AsIfRecorded(deck, options.Direction));
        _noises = [new ChannelNoise(deck, body, play, PracticeSide.Left), new ChannelNoise(deck, body, play, PracticeSide.Right)];
    }

    /// <summary>From the fed sound to the same sound off tape, ms, by the mean speed.</summary>
    public double MonitorDelayMs => _head.ToReplayMm / (_options.SpeedCmPerS * 10) / _rate * 1000;

    /// <summary>How much later the right channel of one's own recording comes, µs: azimuth and stagger of the replay head against the
    /// record head; electronics not.</summary>
    public double TimeSkewMicroseconds
    {
        get
        {
            var replay = _deck.Head(_options.Direction);
            var apart = (replay.Right.Track.CentreMm - replay.Left.Track.CentreMm) * 1000;
            var um = replay.GapStaggerUm - _head.GapStaggerUm - (apart * HeadLosses.TangentOf(replay.AzimuthArcmin - _head.AzimuthArcmin));
            return um / (_options.SpeedCmPerS * 1e4) * 1e6 / _rate;
        }
    }

    /// <summary>Bias against the tape's working point, dB.</summary>
    public double BiasDb(PracticeSide side) => _paths[(int)side].BiasDb;

    /// <summary>Level off tape of a fed sine, dBFS.</summary>
    /// <param name="side">Channel.</param>
    /// <param name="hertz">Its frequency, Hz.</param>
    /// <param name="inputDb">Its level, dB against the one that asks for reference level.</param>
    /// <param name="biasOffsetDb">Bias turned away from the trimmer, dB.</param>
    public double LevelDbfs(PracticeSide side, double hertz, double inputDb, double biasOffsetDb = 0) =>
        20 * Math.Log10(Math.Abs(Harmonic(side, hertz, inputDb, 1, biasOffsetDb)));

    /// <summary>Overall response at a level, dB against that at 1 kHz.</summary>
    public double ResponseDb(PracticeSide side, double hertz, double inputDb = -20) =>
        LevelDbfs(side, hertz, inputDb) - LevelDbfs(side, 1000, inputDb);

    /// <summary>Third harmonic, % of the fundamental.</summary>
    public double ThirdHarmonicPercent(PracticeSide side, double hertz, double inputDb) =>
        100 * Math.Abs(Harmonic(side, hertz, inputDb, 3, 0) / Harmonic(side, hertz, inputDb, 1, 0));

    /// <summary>Harmonics below 20 kHz over the whole, root-sum-square, %.</summary>
    public double ThdPercent(PracticeSide side, double hertz, double inputDb)
    {
        var first = Harmonic(side, hertz, inputDb, 1, 0);
        var rest = Enumerable
            .Range(1, 40)
            .Select(k => (2 * k) + 1)
            .Where(n => n * hertz < 20000)
            .Sum(n => Math.Pow(Harmonic(side, hertz, inputDb, n, 0), 2));
        return 100 * Math.Sqrt(rest / (rest + (first * first)));
    }

    /// <summary>Level off tape at which the third harmonic is 3 % of the fundamental, dBFS.</summary>
    public double MolDbfs(PracticeSide side, double hertz = 1000)
    {
        var (low, high) = (-40.0, 40.0);
        while (high - low > 1e-6)
        {
            var middle = 0.5 * (low + high);
            if (ThirdHarmonicPercent(side, hertz, middle) < 3)
                low = middle;
            else
                high = middle;
        }

        return LevelDbfs(side, hertz, low);
    }

    /// <summary>Greatest level off tape at a frequency, however much is fed, dBFS.</summary>
    public double SaturationDbfs(PracticeSide side, double hertz = 10000) =>
        20 * Math.Log10(4 / Math.PI * _paths[(int)side].Ceiling(_paths[(int)side].BiasDb) * Losses(side, hertz, 0));

    /// <summary>How far bias would have to be turned from the trimmer to the peak at a frequency, dB; above 0: the deck is
    /// under-biased.</summary>
    public double ToBiasPeakDb(PracticeSide side, double hertz = 10000)
    {
        // As realised: the filters' own peak, near that of the law.
        var path = _paths[(int)side];
        var guess = BiasLaw.PeakDb(path.ErasureUm, _options.SpeedCmPerS * 1e4 / hertz);
        var best = Enumerable.Range(-200, 401).Select(i => guess + (i * 0.01)).MaxBy(b => Math.Abs(path.LossResponse(b, hertz)));
        return best - path.BiasDb;
    }

    /// <summary>Level at the bias peak of a frequency, dBFS, for a small fed level.</summary>
    public double BiasPeakDbfs(PracticeSide side, double hertz = 10000, double inputDb = -20) =>
        LevelDbfs(side, hertz, inputDb, ToBiasPeakDb(side, hertz));

    /// <summary>How far the level has dropped from the peak to where bias stands, dB; positive. Whether past the peak or before it says
    /// <see cref="ToBiasPeakDb"/>.</summary>
    public double BiasDropDb(PracticeSide side, double hertz = 10000, double inputDb = -20) =>
        BiasPeakDbfs(side, hertz, inputDb) - LevelDbfs(side, hertz, inputDb);

    /// <summary>Noise of biased tape without a signal, hum in it or not, dBFS.</summary>
    /// <param name="side">Channel.</param>
    /// <param name="weight">How it is weighed.</param>
    /// <param name="hum">Whether hum counts.</param>
    /// <param name="through">Response of what it is heard through, dB at a frequency in Hz; null: flat.</param>
    public double NoiseDbfs(PracticeSide side, NoiseWeight weight, bool hum = true, Func<double, double>? through = null)
    {
        var weigh = Gain(weight);
        double Heard(double hertz) => weigh(hertz) * (through is null ? 1 : ReplayPath.Decibels(through(hertz)));
        var noise = _noises[(int)side];
        var top = Math.Min(_options.SampleRateHz / 2.0, 48000);
        var power = 0.0;
        for (var i = 0; i < NoisePoints; i++)
        {
            var hertz = (i + 0.5) * top / NoisePoints;
            power += Heard(hertz) * Heard(hertz) * noise.Density(hertz) * top / NoisePoints;
        }

        if (hum)
            power += noise.Hum.Sum(h => Math.Pow(h.Peak * Heard(h.Hertz), 2) / 2);
        return 10 * Math.Log10(2 * power);
    }

    /// <summary>What a weighting does at a frequency, dB.</summary>
    public static double WeightDb(NoiseWeight weight, double hertz) => 20 * Math.Log10(Math.Max(Gain(weight)(hertz), 1e-15));

    private static Func<double, double> Gain(NoiseWeight weight) => weight switch
    {
        NoiseWeight.A => NoiseWeighting.A,
        NoiseWeight.Itu468Rms => NoiseWeighting.Itu468,
        _ => NoiseWeighting.Unweighted,
    };

    /// <summary>Level of a tone on one track in its own channel over that in the other, dB; the other's level trimmers are in it.</summary>
    public double SeparationDb(PracticeSide recorded, double hertz, double inputDb = -20)
    {
        var heard = recorded == PracticeSide.Left ? _filter.Own.Response(2, hertz) : _filter.Own.Response(1, hertz);
        return LevelDbfs(recorded, hertz, inputDb) - (20 * Math.Log10(heard.Magnitude * Math.Abs(FluxPeak(recorded, hertz, inputDb))));
    }

    /// <summary>What the other direction's track gives in a channel against one's own track of the same flux, dB, negative.</summary>
    /// <param name="heard">The channel that listens.</param>
    /// <param name="track">The other direction's track.</param>
    /// <param name="hertz">Frequency, Hz.</param>
    public double OtherDirectionDb(PracticeSide heard, PracticeSide track, double hertz)
    {
        var path = (heard, track) switch
        {
            (PracticeSide.Left, PracticeSide.Left) => 0,
            (PracticeSide.Left, _) => 1,
            (_, PracticeSide.Left) => 2,
            _ => 3,
        };
        return 20 * Math.Log10(_filter.Other!.Response(path, hertz).Magnitude / OwnGain(heard, hertz));
    }

    /// <summary>Level at which a tone on the other direction's track is heard, dBFS.</summary>
    /// <param name="heard">The channel that listens.</param>
    /// <param name="track">The other direction's track.</param>
    /// <param name="recorded">What is true of the recording on it.</param>
    /// <param name="hertz">Frequency, Hz.</param>
    /// <param name="inputDb">Level it was fed with, dB against the one that asks for reference level.</param>
    public double OtherDirectionDbfs(PracticeSide heard, PracticeSide track, RecordTruth recorded, double hertz, double inputDb)
    {
        ArgumentNullException.ThrowIfNull(recorded);
        return OtherDirectionDb(heard, track, hertz)
            + (20 * Math.Log10(OwnGain(heard, hertz) * Math.Abs(recorded.FluxPeak(track, hertz, inputDb))));
    }

    /// <summary>Level at which a tone on both tracks of the other direction is heard in a channel, dBFS; one signal was fed to both, and
    /// the head's tilt and stagger part the two.</summary>
    /// <param name="heard">The channel that listens.</param>
    /// <param name="recorded">What is true of the recording on them.</param>
    /// <param name="hertz">Frequency, Hz.</param>
    /// <param name="inputDb">Level it was fed with, dB against the one that asks for reference level.</param>
    public double OtherDirectionDbfs(PracticeSide heard, RecordTruth recorded, double hertz, double inputDb)
    {
        ArgumentNullException.ThrowIfNull(recorded);
        var paths = heard == PracticeSide.Left ? (0, 1) : (2, 3);
        var left = _filter.Other!.Response(paths.Item1, hertz) * recorded.FluxPeak(PracticeSide.Left, hertz, inputDb);
        var right = _filter.Other!.Response(paths.Item2, hertz) * recorded.FluxPeak(PracticeSide.Right, hertz, inputDb);
        var replay = _deck.Head(_options.Direction);
        var apart = (replay.Right.Track.CentreMm - replay.Left.Track.CentreMm) * 1000;
        var um = replay.GapStaggerUm - (apart * HeadLosses.TangentOf(replay.AzimuthArcmin));
        return 20
            * Math.Log10(
                (
                    left + (right * Complex.FromPolarCoordinates(1, 2 * Math.PI * hertz / _rate * um / (_options.SpeedCmPerS * 1e4)))
                ).Magnitude
            );
    }

    /// <summary>What one pass of the erase head takes off a tone, dB, positive.</summary>
    public double EraseDepthDb(double hertz) =>
        -20 * Math.Log10(new ErasedFlux(_head, _options.SampleRateHz).Left(hertz / _rate).Magnitude);

    /// <summary>Level of bias folded into the capture, dBFS, and where, Hz; null: none.</summary>
    public (double Hertz, double Dbfs)? BiasLeak(PracticeSide side)
    {
        var channel = _head.Channel(side);
        if (channel.BiasLeakDb <= -300)
            return null;
        var turns = _deck.Recorder!.BiasHz / _options.SampleRateHz % 1;
        return (Math.Min(turns, 1 - turns) * _options.SampleRateHz, channel.BiasLeakDb + _options.ReferenceDbfs);
    }

    /// <summary>Dropouts met in a capture of so many seconds, placed by the mean speed.</summary>
    public IReadOnlyList<TrueDropout> Dropouts(double seconds)
    {
        var schedule = new DropoutSchedule(RecordedTape.Body(_deck, _tape.Stock, _tape.SpeedCmPerS, _options.Direction, 0, 0));
        var last = _options.StartSeconds + (seconds * _rate);
        return [.. Enumerable.Range((int)_options.StartSeconds - 1, (int)(seconds * _rate) + 3)
            .SelectMany(slot => _tape.Stock.Dropouts.PerMinute > 0 ? schedule.Slot(slot).ToArray() : [])
            .Where(d => d.Place + d.Seconds > _options.StartSeconds && d.Place < last)
            .Select(d => new TrueDropout((d.Place - _options.StartSeconds) / _rate, d.Seconds / _rate * 1000, d.DepthDb, d.Left, d.Right))];
    }

    private double OwnGain(PracticeSide side, double hertz) => _filter.Own.Response(side == PracticeSide.Left ? 0 : 3, hertz).Magnitude;

    private double Losses(PracticeSide side, double hertz, double biasOffsetDb) =>
        Math.Abs(_paths[(int)side].LossResponse(_paths[(int)side].BiasDb + biasOffsetDb, hertz)) * OwnGain(side, hertz);

    private double FluxPeak(PracticeSide side, double hertz, double inputDb)
    {
        var path = _paths[(int)side];
        var ceiling = path.Ceiling(path.BiasDb);
        return ceiling
            * TapeCeiling.Harmonic(path.LiftResponse(hertz) * ReplayPath.Decibels(inputDb) / ceiling, 1)
            * path.LossResponse(path.BiasDb, hertz);
    }

    // Peak at the interface of a harmonic of a fed sine.
    private double Harmonic(PracticeSide side, double hertz, double inputDb, int number, double biasOffsetDb)
    {
        var path = _paths[(int)side];
        var ceiling = path.Ceiling(path.BiasDb + biasOffsetDb);
        var field = Math.Abs(path.LiftResponse(hertz)) * ReplayPath.Decibels(inputDb) / ceiling;
        return ceiling * TapeCeiling.Harmonic(field, number) * Losses(side, number * hertz, biasOffsetDb);
    }

    private static RecordedSide AsIfRecorded(PracticeDeck deck, TapeDirection direction)
    {
        var head = deck.Head(direction == TapeDirection.Forward ? TapeDirection.Reverse : TapeDirection.Forward);
        return new RecordedSide(new FluxStore(0), head.Left.Track, head.Right.Track, 0, 0, 0);
    }
}
