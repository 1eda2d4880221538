using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Physics;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Recording;

/// <summary>
/// What becomes of a fed signal on its way into the tape, in one channel: lift by the record equalizer, bending by the coating, loss of
/// short wavelengths. The filters are the law here: truth is computed from their taps.
/// </summary>
internal sealed class RecordPath
{
    public const int LiftTaps = 129;
    public const int LossTaps = 193;

    /// <summary>Steps of bias between which losses are joined by a straight line, dB.</summary>
    public const double BiasStepDb = 0.25;

    // Below this frequency real record amplifiers stop lifting the bass that replay takes away.
    private const double BassStopHz = 8;
    private const double GreatestLift = 14;
    private const double SetAtHz = 1000;
    private const double LowestBiasDb = -18;
    private const double HighestBiasDb = 14;

    private readonly RecordHead _head;
    private readonly RecordChannel _channel;
    private readonly RecordTrims _trims;
    private readonly TapeStock _design;
    private readonly TapeStock _stock;
    private readonly ReplayCurve _curve;
    private readonly double _speed;
    private readonly Dictionary<int, float[]> _losses = [];

    public RecordPath(PracticeDeck deck, TapeStock stock, RecordOptions options, PracticeSide side)
    {
        var recorder = deck.Recorder ?? throw new ArgumentException($"The deck '{deck.Name}' cannot record.", nameof(deck));
        _head = recorder.Head(options.Direction);
        _channel = _head.Channel(side);
        _trims = _channel.In(options.Setting);
        _design = recorder.Setting(options.Setting).LaidOutFor;
        _stock = stock;
        _curve = deck.Speed(options.SpeedCmPerS).Curve;
        _speed = options.SpeedCmPerS;
        RateHz = options.SampleRateHz;
        BiasDb = _design.BiasPointDb + _trims.BiasDb + _channel.BiasSupplyDb - stock.BiasPointDb;

        // A well set deck with the tape it was laid out for is level: the lift makes up for losses as they truly are, smoothing by the taps
        // in them.
        var right = SymmetricTaps.Make(f => Loss(f, 0, _design, spacingUm: 0), LossTaps, 2 * RateHz);
        var untouched = SymmetricTaps.Make(f => LiftGain(f, right, 0), LiftTaps, RateHz);

        // Record level is set at this frequency, so there it is exact.
        var exact =
            1 / (SymmetricTaps.Response(untouched, SetAtHz, RateHz) * Bass(SetAtHz) * SymmetricTaps.Response(right, SetAtHz, 2 * RateHz));
        var gain = (float)(exact * ReplayPath.Decibels(_trims.LevelDb));
        Lift = [.. SymmetricTaps.Make(f => LiftGain(f, right, _trims.TrebleDb), LiftTaps, RateHz).Select(t => t * gain)];
    }

    public double RateHz { get; }

    /// <summary>Bias against this tape's working point, dB, trimmer at rest.</summary>
    public double BiasDb { get; }

    /// <summary>Taps of the record amplifier at the sample rate, gain in them, bass lift not.</summary>
    public float[] Lift { get; }

    /// <summary>Corner of the bass lift and of its end, Hz; the lift is 1 where the curve has no bass time constant.</summary>
    public (double FromHz, double ToHz) BassCorners =>
        _curve.BassMicroseconds is { } t ? (1e6 / (2 * Math.PI * t), BassStopHz) : (BassStopHz, BassStopHz);

    /// <summary>Rubbing-out length on this tape by this head, µm.</summary>
    public double ErasureUm => BiasLaw.ErasureUm(_stock.ErasureUm, _head.GapUm);

    /// <summary>Size of the bass lift.</summary>
    public double Bass(double hertz)
    {
        var (from, to) = BassCorners;
        return Math.Sqrt((1 + (from / hertz * (from / hertz))) / (1 + (to / hertz * (to / hertz))));
    }

    /// <summary>The coating's ceiling at a bias, in units of flux as the field goes in.</summary>
    public double Ceiling(double biasDb)
    {
        // Flux of 3 % third harmonic at 1 kHz and the working point, taken back through the losses there.
        var loss = Loss(1000, 0, _stock, 0);
        return ReplayPath.Decibels(_stock.MolDb)
            / loss
            / TapeCeiling.Harmonic(TapeCeiling.FieldAtThreePercent, 1)
            * BiasLaw.Ceiling(biasDb);
    }

    /// <summary>Taps, at twice the sample rate, of what the coating and bias leave, for a numbered step of bias.</summary>
    public float[] LossAt(int step)
    {
        if (!_losses.TryGetValue(step, out var taps))
            _losses[step] = taps = SymmetricTaps.Make(f => Loss(f, step * BiasStepDb, _stock, _channel.SpacingUm), LossTaps, 2 * RateHz);
        return taps;
    }

    /// <summary>Taps of the losses at any bias.</summary>
    public void LossAt(double biasDb, Span<float> taps)
    {
        var at = Math.Clamp(biasDb, LowestBiasDb, HighestBiasDb) / BiasStepDb;
        var step = (int)Math.Floor(at);
        var (low, high) = (LossAt(step), LossAt(step + 1));
        var share = (float)(at - step);
        for (var i = 0; i < taps.Length; i++)
            taps[i] = low[i] + (share * (high[i] - low[i]));
    }

    /// <summary>What the filters make of a field of small size, as flux: losses at a bias as realised.</summary>
    public double LossResponse(double biasDb, double hertz)
    {
        Span<float> taps = stackalloc float[LossTaps];
        LossAt(biasDb, taps);
        return SymmetricTaps.Response(taps, hertz, 2 * RateHz);
    }

    /// <summary>What the record amplifier makes of a fed sine, as realised.</summary>
    public double LiftResponse(double hertz) => SymmetricTaps.Response(Lift, hertz, RateHz) * Bass(hertz);

    // [SPACING-1951] for coating and distance; the record gap counts for half of it.
    private double Loss(double hertz, double biasDb, TapeStock stock, double spacingUm)
    {
        var wavelength = _speed * 1e4 / Math.Max(hertz, 1);
        var x = 2 * Math.PI * stock.CoatingUm / wavelength;
        var fade = hertz < 0.5 * RateHz ? 1 : Math.Max(0, 1 - (10 * ((hertz / RateHz) - 0.5)));
        return ReplayPath.Decibels(stock.SensitivityDb) * fade * ((1 - Math.Exp(-x)) / x)
            * BiasLaw.Sensitivity(biasDb, BiasLaw.ErasureUm(stock.ErasureUm, _head.GapUm), wavelength)
            * Math.Exp(-Math.PI * spacingUm / wavelength) / Early(hertz, stock.TrebleCeilingDb);
    }

    // A tape that saturates early in the treble meets a higher field there, and gives the same flux for it.
    private double Early(double hertz, double db) => Shelf(hertz, -db, _speed * 1e4 / 40);

    private static double Shelf(double hertz, double db, double cornerHz)
    {
        var x = hertz / cornerHz * (hertz / cornerHz);
        var g = ReplayPath.Decibels(db);
        return Math.Sqrt((1 + (g * g * x)) / (1 + x));
    }

    private double LiftGain(double hertz, float[] rightLoss, double trebleDb)
    {
        var loss = Math.Max(Math.Abs(SymmetricTaps.Response(rightLoss, hertz, 2 * RateHz)), 1e-9);
        var trebleFlux = 1 / Math.Sqrt(1 + Math.Pow(2e-6 * Math.PI * hertz * _curve.TrebleMicroseconds, 2));
        var atReference = Bass(1000) / Math.Sqrt(1 + Math.Pow(2e-3 * Math.PI * _curve.TrebleMicroseconds, 2));
        var lift = trebleFlux / atReference / loss;

        // Amplifiers end somewhere: the lift bends over at its greatest, and ends above what is heard.
        var bent = lift / Math.Pow(1 + Math.Pow(lift / GreatestLift, 6), 1.0 / 6);
        var top = Math.Min(26000, 0.46 * RateHz);
        var end = 1 / (1 + Math.Pow(hertz / top, 12));
        return bent * end * Shelf(hertz, trebleDb, _speed * 1e4 / 24);
    }
}
