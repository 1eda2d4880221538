using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Physics;

namespace Spoolwright.Practice.Tape;

/// <summary>Moments at which the tape leaves the head or has no coating.</summary>
/// <param name="PerMinute">How many, on average, a minute at the tape's own speed.</param>
/// <param name="DepthDb">Depth, dB; each lies between half and one and a half times it.</param>
/// <param name="Milliseconds">Length, ms at the tape's own speed; each lies between half and twice it.</param>
/// <param name="BothPercent">How many of a hundred hit both channels at once.</param>
public sealed record TapeDropouts(double PerMinute, double DepthDb = 12, double Milliseconds = 15, double BothPercent = 30);

/// <summary>A tape and what is recorded on it.</summary>
public sealed record PracticeTape
{
    public required string Name { get; init; }

    /// <summary>Speed it was recorded at, cm/s.</summary>
    public required double SpeedCmPerS { get; init; }

    /// <summary>The tones in the tape's order.</summary>
    public required IReadOnlyList<PracticeTone> Tones { get; init; }

    /// <summary>Flux curve it was recorded by.</summary>
    public required ReplayCurve Curve { get; init; }

    /// <summary>Name of that curve on its leaflet.</summary>
    public string? CurveName { get; init; }

    /// <summary>Fluxivity of a tone of 0 dB at 1 kHz, nWb/m rms.</summary>
    public double FluxivityNWbPerM { get; init; } = 250;

    /// <summary>Recorded strips; empty: the whole width.</summary>
    public IReadOnlyList<TrackStrip> Strips { get; init; } = [];

    /// <summary>Width of the tape, mm.</summary>
    public double WidthMm { get; init; } = 6.25;

    /// <summary>Tilt of the recorded lines, arc minutes: that of the head that made them, in the forward direction.</summary>
    public double AzimuthArcmin { get; init; }

    /// <summary>How much too high the tones lie on a deck of right speed, %.</summary>
    public double SpeedErrorPercent { get; init; }

    /// <summary>Flutter recorded with the tones; drawn anew for each pass, where a real tape would repeat it.</summary>
    public IReadOnlyList<SpeedNoise> OwnFlutter { get; init; } = [];

    /// <summary>Hiss after equalization, dB against reference level, rms in 20 kHz.</summary>
    public double HissDb { get; init; } = -60;

    /// <summary>Unsteadiness of level, dB rms for each channel by itself, from 0.3 to 8 Hz.</summary>
    public double LevelWanderDbRms { get; init; } = 0.03;

    public TapeDropouts Dropouts { get; init; } = new(0);

    /// <summary>Third harmonic of a tone at reference fluxivity, %; it grows with the square of the level.</summary>
    public double ThirdHarmonicPercent { get; init; } = 0.3;

    /// <summary>How the tape is wound.</summary>
    public PracticeReel Reel { get; init; } = new();

    /// <summary>Blank tape before the first tone's gap, m.</summary>
    public double LeaderM { get; init; } = 1;

    /// <summary>Draws the voice, the dropouts and whatever else is this specimen's own.</summary>
    public long Seed { get; init; } = 1;

    /// <summary>Length of what is recorded, s at the tape's own speed.</summary>
    public double Seconds => Tones.Sum(t => t.GapSeconds + t.Seconds);

    /// <summary>A tape with one steady tone for speed and flutter.</summary>
    public static PracticeTape SpeedTape(string name, double speedCmPerS, double frequencyHz, double seconds, ReplayCurve curve) => new()
    {
        Name = name,
        SpeedCmPerS = speedCmPerS,
        Curve = curve,
        Tones = [new PracticeTone(frequencyHz, 0, seconds, PracticeToneRole.Reference, GapSeconds: 0)],
    };

    internal void Check()
    {
        Faults.InRange(nameof(SpeedCmPerS), SpeedCmPerS, 1, 200);
        Curve.Check();
        Reel.Check();
        Faults.InRange(nameof(FluxivityNWbPerM), FluxivityNWbPerM, 1, 10000);
        Faults.InRange(nameof(WidthMm), WidthMm, 1, 60);
        Faults.InRange(nameof(AzimuthArcmin), AzimuthArcmin, -300, 300);
        Faults.InRange(nameof(SpeedErrorPercent), SpeedErrorPercent, -10, 10);
        Faults.InRange(nameof(HissDb), HissDb, -300, 0);
        Faults.InRange(nameof(LevelWanderDbRms), LevelWanderDbRms, 0, 6);
        Faults.InRange(nameof(ThirdHarmonicPercent), ThirdHarmonicPercent, 0, 50);
        Faults.InRange(nameof(LeaderM), LeaderM, 0, Reel.LengthM);
        Faults.InRange(nameof(TapeDropouts.PerMinute), Dropouts.PerMinute, 0, 6000);
        Faults.InRange(nameof(TapeDropouts.DepthDb), Dropouts.DepthDb, 0, 60);
        Faults.InRange(nameof(TapeDropouts.Milliseconds), Dropouts.Milliseconds, 0.5, 400);
        Faults.InRange(nameof(TapeDropouts.BothPercent), Dropouts.BothPercent, 0, 100);
        Faults.InRange("metres recorded", LeaderM + (Seconds * SpeedCmPerS / 100), 0, Reel.LengthM);
        foreach (var strip in Strips)
            strip.Check(nameof(Strips));
        foreach (var noise in OwnFlutter)
            noise.Check();
        foreach (var tone in Tones)
        {
            Faults.InRange(nameof(PracticeTone.FrequencyHz), tone.FrequencyHz, 1, 100000);
            Faults.InRange(nameof(PracticeTone.LevelDb), tone.LevelDb + tone.ErrorDb, -120, 20);
            Faults.InRange(nameof(PracticeTone.Seconds), tone.Seconds, 0.05, 36000);
            Faults.InRange(nameof(PracticeTone.GapSeconds), tone.GapSeconds, 0, 3600);
        }
    }
}
