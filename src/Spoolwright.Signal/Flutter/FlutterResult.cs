namespace Spoolwright.Signal.Flutter;

/// <summary>What a flutter measurement found. Deviations in % of the mean speed; each with the uncertainty that noise brings (k =
/// 2).</summary>
public sealed record FlutterResult
{
    /// <summary>Nominal frequency held against, Hz.</summary>
    public required double NominalHz { get; init; }

    /// <summary>Mean frequency, Hz.</summary>
    public required Estimate MeanHz { get; init; }

    /// <summary>Change from start to end of the straight line fitted to the speed, %.</summary>
    public required Estimate Drift { get; init; }

    /// <summary>Null where the tone was too short for the detector to settle.</summary>
    public Estimate? QuasiPeak { get; init; }

    public Estimate? QuasiPeakMaximum { get; init; }

    /// <summary>Null where there were less than 5 s.</summary>
    public Estimate? TwoSigma { get; init; }

    public required Estimate WeightedRms { get; init; }

    public required Estimate UnweightedRms { get; init; }

    public required Estimate WowRms { get; init; }

    public required Estimate FlutterRms { get; init; }

    /// <summary>Null where the carrier leaves no band above the flutter band.</summary>
    public Estimate? ScrapeRms { get; init; }

    /// <summary>
    /// How much higher <see cref="ScrapeRms"/> is, %, if all that was taken for the carrier's noise was scrape: one channel, or two with
    /// the same noise, cannot tell the two apart. Null where two channels did.
    /// </summary>
    public double? ScrapeUntold { get; init; }

    /// <summary>Whether one channel alone was measured, because there was no other.</summary>
    public bool OneChannel { get; init; }

    /// <summary>Where the flutter bands stop, Hz.</summary>
    public required double HighestHz { get; init; }

    /// <summary>Where the scrape band stops, Hz.</summary>
    public required double ScrapeHighestHz { get; init; }

    /// <summary>Lines, largest first; <see cref="FlutterLine.Peak"/> in %.</summary>
    public required IReadOnlyList<FlutterLine> Lines { get; init; }

    /// <summary>Spectrum for plots: rate in Hz, and the peak deviation in % that a line of that power would have.</summary>
    public required (double[] Hz, double[] PeakPercent) Spectrum { get; init; }

    /// <summary>Speed over time for plots: seconds of counted tone, and deviation from the mean in %.</summary>
    public required (double[] Seconds, double[] Percent) Speed { get; init; }

    /// <summary>Length of tone that counted, s.</summary>
    public required double Seconds { get; init; }

    /// <summary>Where the tone began, s from the start of the capture.</summary>
    public required double StartSeconds { get; init; }

    /// <summary>Places inside where the tone was lost, and for how long in all.</summary>
    public required int Gaps { get; init; }

    public required double LostSeconds { get; init; }

    /// <summary>Tone over noise in 20 kHz, better channel, dB, as first seen.</summary>
    public required double SnrDb { get; init; }

    /// <summary>Share of the left channel in the pair's speed, 0 to 1.</summary>
    public required double WeightLeft { get; init; }

    /// <summary>Tone's peak amplitude as first seen, full scale 1.</summary>
    public required double AmplitudeLeft { get; init; }

    public required double AmplitudeRight { get; init; }
}
