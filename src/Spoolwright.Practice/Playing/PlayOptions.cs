using Spoolwright.Practice.Deck;

namespace Spoolwright.Practice.Playing;

/// <summary>How a tape is played, and what listens.</summary>
public sealed record PlayOptions
{
    public TapeDirection Direction { get; init; } = TapeDirection.Forward;

    /// <summary>Speed the deck is switched to, cm/s.</summary>
    public required double SpeedCmPerS { get; init; }

    /// <summary>The tape lies as it did forward, so that it runs from its end to its beginning.</summary>
    public bool Backward { get; init; }

    /// <summary>Where on the tape playing starts, s at the tape's own speed, counted in the order of playing. Late: above 0.</summary>
    public double StartSeconds { get; init; }

    /// <summary>Length of the capture, s.</summary>
    public required double DurationSeconds { get; init; }

    /// <summary>Silence before the tape runs, s; part of the capture.</summary>
    public double LeadInSeconds { get; init; }

    /// <summary>Sample rate, Hz, 32000 to 192000.</summary>
    public int SampleRateHz { get; init; } = 96000;

    /// <summary>Draws every noise of this pass.</summary>
    public long Seed { get; init; } = 1;

    /// <summary>What a sine at reference level reads at the interface, dBFS (a full-scale sine is 0).</summary>
    public double ReferenceDbfs { get; init; } = -12;

    /// <summary>Noise of the interface, dBFS rms in 20 kHz on the scale of sines.</summary>
    public double InterfaceNoiseDbfs { get; init; } = -108;

    /// <summary>How much too fast the interface's clock runs, parts in a million.</summary>
    public double InterfaceClockPpm { get; init; }

    /// <summary>Gain of the interface's right input over the left, dB.</summary>
    public double InterfaceRightGainDb { get; init; }

    internal void Check()
    {
        Faults.InRange(nameof(SpeedCmPerS), SpeedCmPerS, 1, 200);
        Faults.InRange(nameof(StartSeconds), StartSeconds, 0, 100000);
        Faults.InRange(nameof(DurationSeconds), DurationSeconds, 0.001, 100000);
        Faults.InRange(nameof(LeadInSeconds), LeadInSeconds, 0, DurationSeconds);
        Faults.InRange(nameof(SampleRateHz), SampleRateHz, 32000, 192000);
        Faults.InRange(nameof(ReferenceDbfs), ReferenceDbfs, -120, 0);
        Faults.InRange(nameof(InterfaceNoiseDbfs), InterfaceNoiseDbfs, -400, 0);
        Faults.InRange(nameof(InterfaceClockPpm), InterfaceClockPpm, -10000, 10000);
        Faults.InRange(nameof(InterfaceRightGainDb), InterfaceRightGainDb, -40, 40);
    }
}
