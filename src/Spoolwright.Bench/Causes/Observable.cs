namespace Spoolwright.Bench.Causes;

/// <summary>A spread that sound decks have in one kind of figure beyond the readings' uncertainty and beyond small amounts of the
/// causes.</summary>
/// <param name="Deviation">Standard deviation in the figure's scale; with a frequency or wavelength: at each of <paramref name="Points"/>
/// its own.</param>
/// <param name="Same">Words of what must be the same for two figures to share it: direction, channel, setting, speed, frequency.</param>
/// <param name="Over">Whether it is a smooth curve over <c>frequency</c> or <c>wavelength</c>; null: one number.</param>
/// <param name="Octaves">For a curve: how far it reaches before it forgets itself.</param>
/// <param name="Points">For a curve: spread by Hz or µm, straight over the logarithm between; empty: the same everywhere.</param>
/// <param name="Group">Kinds of figure that share it; empty: this kind alone.</param>
/// <param name="Common">Whether all figures of the kind have it in common where <paramref name="Same"/> names nothing; else each has its
/// own.</param>
public sealed record HealthySpread(
    double Deviation,
    IReadOnlyList<string> Same,
    string? Over,
    double Octaves,
    IReadOnlyList<(double At, double Deviation)> Points,
    string? Group,
    bool Common
);

/// <summary>A kind of figure that causes touch, with what is expected of a sound deck.</summary>
public sealed record Observable
{
    /// <summary>Measurement and quantity: <c>playback/response</c>.</summary>
    public required string Name { get; init; }

    /// <summary>Plain words.</summary>
    public required string Words { get; init; }

    /// <summary>Expected of a sound deck, in the figure's unit.</summary>
    public double Mean { get; init; }

    /// <summary>Whether the logarithm of the figure is even, so that it is reckoned with; then spreads are of the natural
    /// logarithm.</summary>
    public bool Logarithmic { get; init; }

    /// <summary>For logarithmic figures: what stands for less than can be seen.</summary>
    public double Floor { get; init; }

    /// <summary>Held against the playback level of the same direction and channel.</summary>
    public bool AgainstReference { get; init; }

    /// <summary>Whether there is one figure a frequency.</summary>
    public bool ByFrequency { get; init; }

    /// <summary>What sound decks spread.</summary>
    public IReadOnlyList<HealthySpread> Spreads { get; init; } = [];

    /// <summary>Every kind there is.</summary>
    public static IReadOnlyList<string> Names { get; } =
    [
        "speed/speed-error", "speed/drift", "speed/line", "speed/flutter-rest", "speed/scrape-flutter-rms",
        "playback/response", "playback/playback-level", "azimuth/azimuth-angle", "azimuth/azimuth-wander",
        "record/response", "record/level", "record/record-time-skew", "record/separation",
        "noise/hiss", "noise/hum", "bias/overbias-error", "erase/erase-depth",
        "distortion/second-harmonic", "distortion/third-harmonic", "dropouts/level-stability",
        "tension/supply-tension", "tension/take-up-tension", "pinch-force/pinch-force", "wind-time/wind-time", "brakes/brake-trail-ratio",
        "crosstalk/reverse-leak", "dropouts/dropout-rate",
    ];
}
