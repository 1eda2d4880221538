using System.Numerics;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Physics;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Playing;

/// <summary>What becomes of a recorded tone on its way to the interface, in one channel of one pass: size, and phase of the
/// electronics.</summary>
internal sealed class ReplayPath
{
    // The level trimmer of a well set deck is set at this frequency.
    private const double SetAtHz = 1000;

    // Hz below which a bass trimmer works that has no time constant to turn.
    private const double ShelfHz = 100;

    private readonly PracticeDeck _deck;
    private readonly PracticeTape _tape;
    private readonly PracticeHead _head;
    private readonly PracticeChannel _channel;
    private readonly ReplayCurve _nominal;
    private readonly ReplayCurve _trimmed;
    private readonly double _gapFactor;
    private readonly double _fringing;
    private readonly double _askewArcmin;
    private readonly double _gain;

    public ReplayPath(PracticeDeck deck, PracticeTape tape, PlayOptions options, PracticeSide side)
    {
        _deck = deck;
        _tape = tape;
        _head = deck.Head(options.Direction);
        _channel = _head.Channel(side);
        _nominal = deck.Speed(options.SpeedCmPerS).Curve;
        _trimmed = new ReplayCurve(
            _nominal.TrebleMicroseconds * (1 + (_channel.TrebleTrimPercent / 100)),
            _nominal.BassMicroseconds * (1 + (_channel.BassTrimPercent / 100)));
        _gapFactor = deck.GapFactor(options.Direction);
        _fringing = deck.FringingFactor(options.Direction);
        _askewArcmin = AskewArcmin(deck, tape, options);
        _gain = Decibels(options.ReferenceDbfs + _channel.LevelTrimDb + _channel.WearOutputDb
            + (side == PracticeSide.Right ? options.InterfaceRightGainDb : 0));
    }

    /// <summary>Head against recorded lines, arc minutes. In reverse the same lines lean the other way against the run of the
    /// tape.</summary>
    public static double AskewArcmin(PracticeDeck deck, PracticeTape tape, PlayOptions options) =>
        deck.Head(options.Direction).AzimuthArcmin
        - (options.Direction == TapeDirection.Forward ? tape.AzimuthArcmin : -tape.AzimuthArcmin);

    /// <summary>
    /// Peak amplitude at full scale 1, and phase, of a tone of 0 dB recorded at a frequency of the tape's own speed.
    /// </summary>
    /// <param name="tapeHz">Frequency at the tape's own speed, Hz.</param>
    /// <param name="rate">Speed of playing over the tape's own speed.</param>
    public Complex Response(double tapeHz, double rate) =>
        _gain * Recorded(tapeHz) * PickUp(tapeHz) * Contact(tapeHz) * Electronics(tapeHz * rate);

    /// <summary>What the head and the amplifier make of flux of a frequency as played, size and phase: 1 in, in units of the deck's
    /// reference flux.</summary>
    /// <param name="hertz">Frequency as played, Hz.</param>
    /// <param name="rate">Speed of playing over the tape's own speed.</param>
    /// <param name="recorded">The strip that holds it, mm.</param>
    public Complex OfFlux(double hertz, double rate, TrackStrip recorded)
    {
        var tapeHz = Math.Max(hertz / rate, 0.1);
        return _gain * Contact(tapeHz) * Electronics(Math.Max(hertz, 0.1)) * PickUp(tapeHz, recorded);
    }

    /// <summary>How steeply the level follows the speed: d ln(level)/d ln(speed), with the wavelength standing.</summary>
    public double SpeedSlope(double tapeHz, double rate)
    {
        const double Step = 1e-4;
        var f = tapeHz * rate;
        return Math.Log(Electronics(f * (1 + Step)).Magnitude / Electronics(f * (1 - Step)).Magnitude) / (2 * Step);
    }

    /// <summary>Wavelength on the tape, µm.</summary>
    public double WavelengthUm(double tapeHz) => _tape.SpeedCmPerS * 1e4 / tapeHz;

    /// <summary>Share of the recorded strips gathered, amplitude; above 1 in the bass beside a wider recording.</summary>
    public double PickUp(double tapeHz)
    {
        IReadOnlyList<TrackStrip> strips = _tape.Strips.Count > 0 ? _tape.Strips : [new TrackStrip(0, _tape.WidthMm)];
        return TrackPickUp.Amplitude(_channel.Track.Moved(_head.HeightErrorMm), strips, WavelengthUm(tapeHz), _fringing);
    }

    /// <summary>Share gathered of one recorded strip, amplitude.</summary>
    public double PickUp(double tapeHz, TrackStrip recorded) =>
        TrackPickUp.Amplitude(_channel.Track.Moved(_head.HeightErrorMm), [recorded], WavelengthUm(tapeHz), _fringing);

    private double Contact(double tapeHz)
    {
        var wavelength = WavelengthUm(tapeHz);
        return HeadLosses.Spacing(_channel.SpacingUm, wavelength)
            * HeadLosses.Gap(_head.GapUm + _channel.WearGapUm, _gapFactor, wavelength)
            * HeadLosses.Azimuth(_channel.Track.WidthMm * 1000, _askewArcmin, wavelength)
            * Decibels(_head.Bump.GainDb(wavelength));
    }

    private double Recorded(double tapeHz) =>
        _tape.FluxivityNWbPerM / _deck.ReferenceNWbPerM * _tape.Curve.Flux(tapeHz) / _tape.Curve.Flux(SetAtHz);

    private Complex Electronics(double hertz)
    {
        var response = _trimmed.Replay(hertz) / _nominal.Replay(SetAtHz).Magnitude;
        if (_nominal.BassMicroseconds is null && _channel.BassTrimPercent != 0)
        {
            var shelf = Decibels(_channel.BassTrimPercent / 12);
            response *= new Complex(shelf * ShelfHz, hertz) / new Complex(ShelfHz, hertz);
        }

        if (_channel.ResonanceDb != 0)
        {
            var x = hertz / _channel.ResonanceHz;
            response *= new Complex(1 - (x * x), 0.4 * x * Decibels(_channel.ResonanceDb)) / new Complex(1 - (x * x), 0.4 * x);
        }

        return response;
    }

    /// <summary>Amplitude factor of so many dB.</summary>
    public static double Decibels(double db) => Math.Pow(10, db / 20);
}
