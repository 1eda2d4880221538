using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Causes;

/// <summary>
/// The laws by which causes touch figures, by name. Each gives the change of a figure for an amount of the cause, in the figure's scale. A
/// response is held against its reference tone, so the change at that tone is taken off.
/// </summary>
public static class CauseLaw
{
    /// <summary>Frequency of the reference tone that responses are held against, Hz.</summary>
    public const double ReferenceHz = 1000;

    // Gap of a sound head, µm: wear adds to it, and the loss grows with the square of the whole. [TAPE-SHEET-2006] gives 3.0 µm, consumer
    // heads 1.5 to 4 [memory].
    private const double SoundGapUm = 2;

    // Width of a resonance, as the inverse of its quality. Head and cable, common practice, no source.
    private const double ResonanceDamping = 0.5;

    private static readonly Dictionary<string, Func<double, Observation, CauseTouch, LawScope, double>> Laws = new(StringComparer.Ordinal)
    {
        ["offset"] = (amount, _, _, _) => amount,
        ["spacing"] = (amount, o, _, s) => SpacingLoss.Db(Math.Max(amount, 0), Hz(o), s.Speed(o)),
        ["gap"] = (amount, o, _, s) =>
            GapLoss.Db(SoundGapUm + Math.Max(amount, 0), Hz(o), s.Speed(o)) - GapLoss.Db(SoundGapUm, Hz(o), s.Speed(o)),
        ["azimuth"] = (amount, o, _, s) => AzimuthGeometry.LossDb(s.TrackWidthMm(o), amount, Hz(o), s.Speed(o)),
        ["azimuth-skew"] = (amount, o, _, s) => AzimuthGeometry.TimeSkewMicroseconds(amount, s.TrackOffsetMm(o), s.Speed(o)),
        ["treble-time-constant"] = (amount, o, _, s) => TimeConstant(Hz(o), s.Equalization(o).Treble, amount, treble: true),
        ["bass-time-constant"] = (amount, o, _, s) => TimeConstant(Hz(o), s.Equalization(o).Bass, amount, treble: false),
        ["resonance"] = (amount, o, t, _) => Resonance(Hz(o), t.Hz!.Value, amount),
        ["treble-shelf"] = (amount, o, t, _) => amount * Math.Pow(Hz(o) / t.Hz!.Value, 2) / (1 + Math.Pow(Hz(o) / t.Hz!.Value, 2)),
        ["bias"] = (amount, o, _, s) => BiasDb(amount, Hz(o), s.Speed(o)),
        ["overbias"] = (amount, _, _, _) => -BiasAt10KilohertzDb(amount),
        ["bias-level"] = (amount, _, _, _) => EveryWavelengthDb(amount),
        ["added-power"] = (amount, _, _, _) => 10 * Math.Log10(0.5 + (0.5 * Math.Pow(10, amount / 10))),
        ["added-leak"] = (amount, _, _, _) => -20 * Math.Log10(0.5 + (0.5 * Math.Pow(10, amount / 20))),
        ["wander"] = (amount, _, _, _) => Math.Log(double.Hypot(1, amount)),
        ["added-square"] = (amount, o, _, _) => AddedSquare(amount, o.Of),
    };

    /// <summary>Names of the laws.</summary>
    public static IReadOnlyCollection<string> Names => Laws.Keys;

    /// <summary>Whether a law hangs on a frequency that the file must give.</summary>
    public static bool NeedsHz(string law) => law is "resonance" or "treble-shelf";

    /// <summary>Change of a figure.</summary>
    /// <param name="amount">Amount of the cause, in its unit.</param>
    /// <param name="figure">The figure touched.</param>
    /// <param name="touch">By which law.</param>
    /// <param name="scope">What is known of the deck.</param>
    public static double Shift(double amount, Observation figure, CauseTouch touch, LawScope scope)
    {
        ArgumentNullException.ThrowIfNull(figure);
        ArgumentNullException.ThrowIfNull(touch);
        ArgumentNullException.ThrowIfNull(scope);
        return ReadyFor(figure, touch, scope).Shift(amount);
    }

    /// <summary>A law with all but the amount filled in, for many amounts at one figure.</summary>
    internal static Ready ReadyFor(Observation figure, CauseTouch touch, LawScope scope) =>
        new(
            Laws[touch.Law],
            touch,
            scope,
            figure,
            figure.Of.ByFrequency && figure.FrequencyHz is not null && figure.Of.Name.EndsWith("/response", StringComparison.Ordinal)
                ? figure with
                {
                    FrequencyHz = ReferenceHz,
                }
                : null
        );

    internal sealed class Ready(
        Func<double, Observation, CauseTouch, LawScope, double> law,
        CauseTouch touch,
        LawScope scope,
        Observation figure,
        Observation? reference
    )
    {
        public double Shift(double amount)
        {
            var shift = law(amount * touch.Factor, figure, touch, scope);
            return reference is null ? shift : shift - law(amount * touch.Factor, reference, touch, scope);
        }
    }

    /// <summary>
    /// What bias off its place by so many dB does to a tone recorded, dB. The reference notes' table [memory, ±1 to 2 dB] as two curves:
    /// one for every wavelength, from its 1 kHz row, and one that grows as waves get shorter, from its 10 kHz row at 19.05 cm/s.
    /// </summary>
    internal static double BiasDb(double biasDb, double frequencyHz, double speedCmPerS)
    {
        var every = EveryWavelengthDb(biasDb);
        var shortness = frequencyHz / 10_000 * (19.05 / speedCmPerS);
        return every + ((BiasAt10KilohertzDb(biasDb) - every) * (shortness - 0.1) / 0.9);
    }

    private static double BiasAt10KilohertzDb(double biasDb) => (-1.55 * biasDb) - (0.17 * biasDb * biasDb);

    private static double EveryWavelengthDb(double biasDb) => (0.06 * biasDb) - (0.08 * biasDb * biasDb);

    private static double Hz(Observation figure) => figure.FrequencyHz ?? ReferenceHz;

    // A replay time constant that is off by so many percent, taken against the right one.
    private static double TimeConstant(double hertz, double? microseconds, double percent, bool treble)
    {
        if (microseconds is not { } right)
            return 0;
        var w = 2e-6 * Math.PI * hertz;
        var (is_, was) = (w * right * Math.Max(1 + (percent / 100), 0.05), w * right);
        return treble
            ? 10 * Math.Log10((1 + (is_ * is_)) / (1 + (was * was)))
            : 10 * Math.Log10(is_ * is_ / (1 + (is_ * is_)) / (was * was / (1 + (was * was))));
    }

    private static double Resonance(double hertz, double atHz, double db)
    {
        var x = hertz / atHz;
        var (real, top) = (1 - (x * x), ResonanceDamping * x);
        var lifted = top * Math.Pow(10, db / 20);
        return 10 * Math.Log10(((real * real) + (lifted * lifted)) / ((real * real) + (top * top)));
    }

    // Independent sources add by their squares; a logarithmic figure changes by the logarithm of the ratio.
    private static double AddedSquare(double amount, Observable of)
    {
        var ratio = double.Hypot(of.Mean, amount) / of.Mean;
        return of.Logarithmic ? Math.Log(ratio) : (ratio - 1) * of.Mean;
    }
}

/// <summary>What the laws need to know of the deck; where its profile does not say, the usual values of a quarter-track deck stand
/// in.</summary>
public sealed class LawScope(DeckProfile? profile)
{
    /// <summary>Tape speed of a figure, cm/s.</summary>
    public double Speed(Observation figure)
    {
        ArgumentNullException.ThrowIfNull(figure);
        return figure.Place.SpeedCmPerS ?? 19.05;
    }

    /// <summary>Width of the track that a figure was read from, mm.</summary>
    public double TrackWidthMm(Observation figure)
    {
        ArgumentNullException.ThrowIfNull(figure);
        var tracks = Tracks(figure);
        var band = figure.Place.Channel == Channel.Right ? tracks?.Right : tracks?.Left;
        return band is null ? 1.0 : band.ToMm - band.FromMm;
    }

    /// <summary>Right track's centre less the left one's, mm.</summary>
    public double TrackOffsetMm(Observation figure)
    {
        ArgumentNullException.ThrowIfNull(figure);
        return Tracks(figure) is { } tracks ? AzimuthGeometry.TrackOffsetMm(tracks)
            : figure.Place.Direction == Direction.Reverse ? -3.4
            : 3.4;
    }

    /// <summary>Time constants of the replay equalization at a figure's speed, µs.</summary>
    public (double Treble, double? Bass) Equalization(Observation figure)
    {
        var speed = Speed(figure);
        return profile?.Equalizations.FirstOrDefault(e => TapeSpeed.Same(e.SpeedCmPerS, speed)) is { } known
            ? (known.TrebleMicroseconds, known.BassMicroseconds)
            : (speed > 15 ? 50 : 90, 3180);
    }

    private DirectionTracks? Tracks(Observation figure) =>
        profile?.Tracks.FirstOrDefault(t => t.Direction == (figure.Place.Direction ?? Direction.Forward));
}
