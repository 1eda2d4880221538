using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Physics;
using Spoolwright.Practice.Tape;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Scenario;

/// <summary>The invented test tapes of the scenarios: one of level, response and azimuth and one of speed, for each of two
/// speeds.</summary>
public static class RestorersTapes
{
    /// <summary>Replay equalization of the tapes at a speed: 3180 and 50 µs at 19.05 cm/s, 3180 and 90 µs at 9.525.
    /// [IEC60094-1:1981]</summary>
    public static ReplayCurve Curve(double speedCmPerS) => new(speedCmPerS > 15 ? 50 : 90, 3180);

    /// <summary>A full-track tape of one tone of 3150 Hz, ten minutes.</summary>
    public static PracticeTape Speed(double speedCmPerS) =>
        PracticeTape.SpeedTape($"Fellgate steady tone {Label(speedCmPerS)}", speedCmPerS, 3150, 600, Curve(speedCmPerS)) with
        {
            CurveName = CurveName,
            OwnFlutter = [new SpeedNoise("recorder", 0.5, 20, 0.008)],
            SpeedErrorPercent = speedCmPerS > 15 ? 0.03 : -0.02,
            Dropouts = new TapeDropouts(0.5, 10, 8),
            HissDb = -60,
            Reel = Reel,
            Seed = 411,
        };

    /// <summary>
    /// A full-track tape: reference and azimuth tone, then the response from bass to treble 20 dB lower with a reference tone of its own,
    /// spoken announcements before some. About 70 s.
    /// </summary>
    public static PracticeTape Levels(double speedCmPerS)
    {
        var fast = speedCmPerS > 15;
        double[] bass = [40, 63, 125, 250, 500];
        double[] treble = fast ? [2000, 4000, 6300, 8000, 10000, 12500, 14000, 16000, 18000] : [2000, 4000, 6300, 8000, 10000, 12500];
        var draw = new NoiseStream(fast ? 1905 : 952, "leaflet");
        double Error(double hertz) => Math.Round((0.12 + (hertz > 5000 ? 0.12 : 0)) * draw.NextGaussian(), 2);
        var azimuthHz = fast ? 10000.0 : 8000.0;
        var azimuthError = Error(azimuthHz);
        var tones = new List<PracticeTone>
        {
            new(1000, 0, 6, PracticeToneRole.Reference, 0, 3.2, Announced: true),
            new(azimuthHz, -10, 6, PracticeToneRole.Azimuth, azimuthError, 2.6, Announced: true),
            new(1000, -20, 4, PracticeToneRole.Reference, 0, 2.4, Announced: true),
        };
        foreach (var hertz in bass.Concat(treble))
        {
            var error = hertz == azimuthHz ? azimuthError : Error(hertz);
            tones.Add(new PracticeTone(hertz, -20, 3, PracticeToneRole.Response, error, draw.NextBetween(0.4, 0.9)));
        }

        return new PracticeTape
        {
            Name = $"Fellgate levels {Label(speedCmPerS)}",
            SpeedCmPerS = speedCmPerS,
            Curve = Curve(speedCmPerS),
            CurveName = CurveName,
            Tones = tones,
            AzimuthArcmin = fast ? 0.3 : -0.2,
            SpeedErrorPercent = 0.02,
            OwnFlutter = [new SpeedNoise("recorder", 0.5, 20, 0.01)],
            Dropouts = new TapeDropouts(0.5, 8, 6),
            HissDb = fast ? -60 : -57,
            Reel = Reel,
            Seed = fast ? 19 : 9,
        };
    }

    private const string CurveName = "NAB";

    private static PracticeReel Reel => new() { HubRadiusMm = 30, LayerUm = 50, LengthM = 366 };

    private static string Label(double speedCmPerS) => speedCmPerS > 15 ? "19" : "9.5";
}
