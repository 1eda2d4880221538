namespace Spoolwright.Bench.Instruments;

/// <summary>What a tone on a test tape is there for.</summary>
public enum ToneRole
{
    /// <summary>Level against which the others are read.</summary>
    Reference,

    /// <summary>For setting the angle of the gap.</summary>
    Azimuth,

    /// <summary>One point of the response.</summary>
    Response,
}

/// <summary>One tone of a test tape, in the tape's order.</summary>
/// <param name="FrequencyHz">Nominal frequency, Hz.</param>
/// <param name="LevelDb">Level against the tape's reference fluxivity as the equalization's flux curve has it, dB.</param>
/// <param name="Seconds">How long it lasts, about.</param>
/// <param name="Role">What it is there for.</param>
/// <param name="UncertaintyDb">Expanded uncertainty of its level by the certificate, dB; null: not stated.</param>
public sealed record TestTone(double FrequencyHz, double LevelDb, double Seconds, ToneRole Role, double? UncertaintyDb = null);

/// <summary>The certificate's correction at one frequency, added to the tones' levels there.</summary>
/// <param name="FrequencyHz">Nominal frequency, Hz.</param>
/// <param name="Db">dB added to <see cref="TestTone.LevelDb"/>.</param>
/// <param name="UncertaintyDb">Expanded uncertainty, dB; null: not stated.</param>
public sealed record ToneCorrection(double FrequencyHz, double Db, double? UncertaintyDb = null);

/// <summary>A strip across the tape, in mm from its upper edge (facing the head, supply reel left).</summary>
public sealed record TrackBand(double FromMm, double ToMm)
{
    /// <summary>Width, mm.</summary>
    public double WidthMm => ToMm - FromMm;

    /// <summary>Centre, mm from the upper edge.</summary>
    public double CentreMm => (FromMm + ToMm) / 2;
}

/// <summary>Where the tape holds its recording, across its width.</summary>
public enum RecordedTracksKind
{
    /// <summary>The file does not say.</summary>
    Unknown,

    /// <summary>Across the whole width.</summary>
    Full,

    /// <summary>Exactly the tracks the deck plays.</summary>
    SameAsDeck,

    /// <summary>The strips listed.</summary>
    Bands,
}

/// <summary>A test tape as its owner described it from the leaflet.</summary>
public sealed record TestTape
{
    public required string Name { get; init; }

    /// <summary>The speed it was made for, cm/s.</summary>
    public required double SpeedCmPerS { get; init; }

    /// <summary>The equalization's name as the leaflet gives it; null: not stated.</summary>
    public string? Equalization { get; init; }

    /// <summary>Reference fluxivity, nWb/m rms; null: not stated.</summary>
    public double? FluxivityNWbPerM { get; init; }

    /// <summary>The tones in the tape's order.</summary>
    public required IReadOnlyList<TestTone> Tones { get; init; }

    public IReadOnlyList<ToneCorrection> Corrections { get; init; } = [];

    public RecordedTracksKind RecordedTracks { get; init; } = RecordedTracksKind.Unknown;

    /// <summary>The recorded strips where <see cref="RecordedTracks"/> is <see cref="RecordedTracksKind.Bands"/>.</summary>
    public IReadOnlyList<TrackBand> RecordedBands { get; init; } = [];

    /// <summary>Whether the levels already allow for fringing; null: not stated.</summary>
    public bool? FringingCompensated { get; init; }

    /// <summary>Expanded uncertainty of the tape's own speed, %; null: not stated.</summary>
    public double? SpeedUncertaintyPercent { get; init; }

    /// <summary>Expanded uncertainty of the tape's own azimuth, arcmin; null: not stated.</summary>
    public double? AzimuthUncertaintyArcmin { get; init; }
}
