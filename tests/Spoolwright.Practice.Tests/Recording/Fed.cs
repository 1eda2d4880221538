using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Tape;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Practice.Tests.Recording;

/// <summary>A program made of formulas, to be fed to a recording deck.</summary>
internal sealed class Fed(int rate, Func<double, double> left, Func<double, double> right) : SoundSource
{
    private long _at;

    public override int SampleRateHz => rate;

    public override int Channels => 2;

    public override long? Frames => null;

    public override IReadOnlyList<Note> Notes => [];

    /// <summary>The same tone in both channels, dB against the level that asks for reference level at -12 dBFS.</summary>
    public static Fed Tone(double hertz, double db, int rate = 96000) => Tones(hertz, db, hertz, db, rate);

    public static Fed Tones(double leftHz, double leftDb, double rightHz, double rightDb, int rate = 96000)
    {
        var (a, b) = (Math.Pow(10, (leftDb - 12) / 20), Math.Pow(10, (rightDb - 12) / 20));
        return new Fed(rate, t => a * Sine(leftHz * t), t => b * Sine(rightHz * t));
    }

    public static double Sine(double turns) => Math.Sin(2 * Math.PI * (turns - Math.Floor(turns)));

    public override int Read(Span<float> left1, Span<float> right1)
    {
        for (var i = 0; i < left1.Length; i++, _at++)
            (left1[i], right1[i]) = ((float)left((double)_at / rate), (float)right((double)_at / rate));
        return left1.Length;
    }
}

/// <summary>Recording decks and tapes without a single fault or noise, to be given one.</summary>
internal static class Recorders
{
    public static readonly TapeStock Still = TapeStock.Hembury with
    {
        HissDb = -300,
        ModulationNoiseDb = -300,
        LevelWanderDbRms = 0,
        Dropouts = new TapeDropouts(0),
    };

    public static PracticeDeck Perfect() => Decks.Perfect() with
    {
        Recorder = new PracticeRecorder { Settings = [new RecordSetting("normal", Still), new RecordSetting("high", TapeStock.Ardleigh)] },
    };

    public static PracticeDeck With(Func<RecordHead, RecordHead> change)
    {
        var deck = Perfect();
        return deck with { Recorder = deck.Recorder!.With(TapeDirection.Forward, change) };
    }

    public static PracticeDeck WithTrims(Func<RecordTrims, RecordTrims> change) =>
        With(h => h.With(PracticeSide.Left, c => c.With("normal", change)).With(PracticeSide.Right, c => c.With("normal", change)));

    public static RecordOptions Options(double speed = 19.05, int rate = 96000) =>
        new()
        {
            SpeedCmPerS = speed,
            Setting = "normal",
            SampleRateHz = rate,
        };

    public static RecordedTape Blank(TapeStock? stock = null, double speed = 19.05, int rate = 96000) =>
        RecordedTape.Blank(stock ?? Still, speed, rate);

    /// <summary>Off tape, the first half second after the delay left out.</summary>
    public static (float[] Left, float[] Right, RecordTruth Truth) Monitor(
        PracticeDeck deck, SoundSource program, RecordOptions? options = null, TapeStock? stock = null, double seconds = 1.6)
    {
        var how = options ?? Options();
        using var session = deck.Monitor(Blank(stock, how.SpeedCmPerS, how.SampleRateHz), how, program, seconds);
        var (left, right) = Listening.Record(session.Sound);
        var start = how.SampleRateHz;
        return (left[start..], right[start..], session.Truth);
    }

    /// <summary>Level of a tone off tape, dBFS as a full-scale sine is 0.</summary>
    public static double Level(float[] sound, double hertz, int rate = 96000) =>
        Listening.Decibels(Listening.Tone(sound, hertz, rate).Magnitude);
}
