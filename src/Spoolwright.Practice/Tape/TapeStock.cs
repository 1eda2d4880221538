using Spoolwright.Practice.Deck;

namespace Spoolwright.Practice.Tape;

/// <summary>A kind of blank tape. Every name is invented; levels are dB against the deck's reference level, bias in dB against any common
/// mark.</summary>
public sealed record TapeStock
{
    public required string Name { get; init; }

    /// <summary>Output at 1 kHz for the same record current, dB.</summary>
    public double SensitivityDb { get; init; }

    /// <summary>Bias of its working point, dB.</summary>
    public double BiasPointDb { get; init; }

    /// <summary>How far bias rubs short wavelengths out at the working point with a record gap of 7 µm, µm; more is duller.</summary>
    public double ErasureUm { get; init; } = 26.7;

    /// <summary>Depth of the coating that takes part, µm.</summary>
    public double CoatingUm { get; init; } = 6;

    /// <summary>Flux at 1 kHz and the working point at which the coating makes 3 % third harmonic, dB.</summary>
    public double MolDb { get; init; } = 6;

    /// <summary>How much earlier it saturates in the treble than its losses alone make it, dB.</summary>
    public double TrebleCeilingDb { get; init; }

    /// <summary>Hiss after equalization at the working point and 19.05 cm/s, dB, rms in 20 kHz.</summary>
    public double HissDb { get; init; } = -60;

    /// <summary>Noise that comes with the sound, dB against it, rms within 3 kHz.</summary>
    public double ModulationNoiseDb { get; init; } = -52;

    /// <summary>Slow unsteadiness of level, dB rms.</summary>
    public double LevelWanderDbRms { get; init; } = 0.1;

    public TapeDropouts Dropouts { get; init; } = new(0.5, 10, 10);

    public PracticeReel Reel { get; init; } = new();

    /// <summary>A usual home tape of long play.</summary>
    public static TapeStock Hembury { get; } = new() { Name = "Hembury LP 35" };

    /// <summary>A hotter tape that wants more bias.</summary>
    public static TapeStock Ardleigh { get; } = new()
    {
        Name = "Ardleigh Studio 50",
        SensitivityDb = 2.2,
        BiasPointDb = 2.4,
        ErasureUm = 24.5,
        CoatingUm = 7,
        MolDb = 9.5,
        TrebleCeilingDb = -1,
        HissDb = -61.5,
        ModulationNoiseDb = -55,
        LevelWanderDbRms = 0.05,
        Dropouts = new TapeDropouts(0.2, 8, 8),
        Reel = new PracticeReel { LayerUm = 52, LengthM = 360 },
    };

    /// <summary>An old tape, dull and uneven.</summary>
    public static TapeStock Polwen { get; } = new()
    {
        Name = "Polwen Standard",
        SensitivityDb = -2.6,
        BiasPointDb = -1.8,
        ErasureUm = 30,
        CoatingUm = 7.5,
        MolDb = 3,
        TrebleCeilingDb = -2,
        HissDb = -57,
        ModulationNoiseDb = -46,
        LevelWanderDbRms = 0.3,
        Dropouts = new TapeDropouts(6, 14, 20),
    };

    /// <summary>All kinds that come with the practice deck.</summary>
    public static IReadOnlyList<TapeStock> All { get; } = [Hembury, Ardleigh, Polwen];

    internal void Check()
    {
        Faults.InRange(nameof(SensitivityDb), SensitivityDb, -20, 20);
        Faults.InRange(nameof(BiasPointDb), BiasPointDb, -12, 12);
        Faults.InRange(nameof(ErasureUm), ErasureUm, 0, 200);
        Faults.InRange(nameof(CoatingUm), CoatingUm, 0.1, 50);
        Faults.InRange(nameof(MolDb), MolDb, -20, 40);
        Faults.InRange(nameof(TrebleCeilingDb), TrebleCeilingDb, -12, 12);
        Faults.InRange(nameof(HissDb), HissDb, -300, 0);
        Faults.InRange(nameof(ModulationNoiseDb), ModulationNoiseDb, -300, -20);
        Faults.InRange(nameof(LevelWanderDbRms), LevelWanderDbRms, 0, 6);
    }
}
