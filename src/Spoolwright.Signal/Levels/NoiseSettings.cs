using Spoolwright.Signal.Filters;

namespace Spoolwright.Signal.Levels;

/// <summary>What a noise meter weighs and reads by; a standard's edition supplies the figures.</summary>
/// <param name="First">Weighting read by its root mean square.</param>
/// <param name="Second">Weighting read by the quasi-peak detector; as many poles as the first.</param>
/// <param name="Detector">The quasi-peak detector's constants.</param>
/// <param name="ReferenceHz">Where both weightings are unity, Hz.</param>
/// <param name="LowestHz">Lower end of the unweighted band, Hz.</param>
/// <param name="HighestHz">Upper end of the unweighted band, Hz, as far as half the sample rate reaches.</param>
public sealed record NoiseSettings(
    AnalogueFilter First, AnalogueFilter Second, PeakHoldConstants Detector, double ReferenceHz, double LowestHz, double HighestHz)
{
    /// <summary>Taps on either side that bring a weighting within 0.02 dB of its model up to 20 kHz at every rate from 44.1 kHz.</summary>
    public const int HalfTaps = 14;
}

/// <summary>A figure of noise with what chance makes of it.</summary>
/// <param name="Power">Twice the mean square: a full-scale sine is 1.</param>
/// <param name="RelativeSigma">Standard deviation of the power as a share of it, from one capture of such noise to the next.</param>
/// <param name="CountedShare">How much of the capture counted, 0 to 1: filters settle and windows fade its ends.</param>
public readonly record struct NoisePower(double Power, double RelativeSigma, double CountedShare = 1)
{
    /// <summary>dBFS on the scale of a tone's level; −200 for nothing at all.</summary>
    public double Db => 10 * Math.Log10(Math.Max(Power, 1e-20));

    /// <summary>How far another capture of such noise may differ, k = 2, dB.</summary>
    public double ExpandedDb => 2 * RelativeSigma * 10 / Math.Log(10);

    /// <summary>What the part of this capture that did not count leaves open of its own value, k = 2, dB: a mean over a share c of the
    /// whole differs from it by σ√(1 − c).</summary>
    public double UncountedDb => ExpandedDb * Math.Sqrt(Math.Max(0, 1 - CountedShare));
}

/// <summary>One channel's noise.</summary>
public sealed record ChannelNoise
{
    /// <summary>First weighting, root mean square.</summary>
    public required NoisePower First { get; init; }

    /// <summary>Second weighting, mean of the quasi-peak indication; null where the sound was too short for the detector to
    /// settle.</summary>
    public NoisePower? Second { get; init; }

    /// <summary>What of the second weighting's mean the capture's last instants leave open, which were not counted, k = 2, dB.</summary>
    public required double SecondEndDb { get; init; }

    /// <summary>What the filter's phases, which are not quite the model's, leave open of the second weighting's mean in this very capture,
    /// k = 2, dB.</summary>
    public required double SecondPhaseDb { get; init; }

    /// <summary>Highest quasi-peak indication, dBFS.</summary>
    public double? SecondHighestDb { get; init; }

    /// <summary>Unweighted band, root mean square.</summary>
    public required NoisePower Unweighted { get; init; }

    /// <summary>The unweighted band without the mains' lines.</summary>
    public required NoisePower WithoutLines { get; init; }

    /// <summary>Standard deviation of <see cref="WithoutLines"/> by what lies under the lines, as a share of it: of this very capture, not
    /// by chance.</summary>
    public required double UnderLinesSigma { get; init; }

    /// <summary>Lines of the mains, lowest first.</summary>
    public required IReadOnlyList<HumLine> Lines { get; init; }

    /// <summary>Lines that belong to no mains, strongest first.</summary>
    public required IReadOnlyList<HumLine> Tones { get; init; }

    /// <summary>Third-octave levels: centre in Hz, dBFS.</summary>
    public required (double[] Hz, double[] Db) Spectrum { get; init; }
}

/// <summary>A line in the spectrum of noise.</summary>
/// <param name="FrequencyHz">Its frequency, Hz.</param>
/// <param name="Power">Its power without the noise under it.</param>
/// <param name="Family">Mains it belongs to (50 or 60), 0 for none.</param>
/// <param name="UnderSigma">Standard deviation of the power of the noise under it, which no one sees: what lies beside is taken for
/// it.</param>
/// <param name="FrequencySigma">Standard deviation of its frequency, Hz.</param>
public readonly record struct HumLine(double FrequencyHz, NoisePower Power, int Family, double UnderSigma, double FrequencySigma);

/// <summary>A mains frequency found.</summary>
/// <param name="Family">50 or 60.</param>
/// <param name="Hz">Frequency of its first line, Hz.</param>
/// <param name="Sigma">Standard deviation of it, Hz.</param>
/// <param name="Lines">Lines found of it, both channels together.</param>
public readonly record struct MainsFrequency(int Family, double Hz, double Sigma, int Lines);

/// <summary>What a noise meter found.</summary>
public sealed record NoiseResult(
    IReadOnlyList<ChannelNoise> Channels,
    IReadOnlyList<MainsFrequency> Mains,
    double Seconds,
    double LowestHz,
    double HighestHz,
    double BinHz
);
