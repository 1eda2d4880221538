using Spoolwright.Bench.Standards;
using Spoolwright.Signal.Spectra;

namespace Spoolwright.Bench.Samples;

/// <summary>Level of a band of the tape against the source.</summary>
/// <param name="CentreHz">Middle of the octave, Hz.</param>
/// <param name="Db">Against the octave about 1 kHz, dB.</param>
/// <param name="Uncertainty">k = 2, dB, of noise alone.</param>
public readonly record struct BandDifference(double CentreHz, double Db, double Uncertainty);

/// <summary>One channel of the tape held against the source.</summary>
public sealed record ChannelDifference
{
    /// <summary>Level of the tape over the source, dB, from 315 Hz to 3150 Hz.</summary>
    public required double LevelDb { get; init; }

    /// <summary>Its uncertainty by noise, k = 2, dB.</summary>
    public required double LevelUncertainty { get; init; }

    /// <summary>By octaves, those in which the source has something.</summary>
    public required IReadOnlyList<BandDifference> Bands { get; init; }

    /// <summary>What differs after time and level are brought together, against the source, dB, 20 Hz to 20 kHz.</summary>
    public required double DifferenceDb { get; init; }

    /// <summary>What is left when response is brought together too: noise, distortion and what of flutter is too fast to follow,
    /// dB.</summary>
    public required double RemainderDb { get; init; }

    /// <summary>A-weighted noise of the tape in the silence at the end against the A-weighted sound, dB; null where the source is nowhere
    /// silent.</summary>
    public double? SilenceDb { get; init; }
}

/// <summary>Figures of the tape's sound against the source's.</summary>
public sealed record SampleComparison
{
    private const double SegmentSeconds = 0.17;
    private const double LeastSilenceSeconds = 1;
    private static readonly double[] Octaves = [31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16_000];

    /// <summary>Speed of the tape, % off.</summary>
    public required double SpeedErrorPercent { get; init; }

    /// <summary>How far the tape strays in time about its mean speed, rms, ms.</summary>
    public required double WanderMs { get; init; }

    /// <summary>Left and right.</summary>
    public required IReadOnlyList<ChannelDifference> Channels { get; init; }

    /// <summary>Compares what was laid together.</summary>
    public static SampleComparison Of(SampleAlignment alignment)
    {
        ArgumentNullException.ThrowIfNull(alignment);
        var (tape, source) = (alignment.Tape, alignment.SourceThroughFlutter);
        return new SampleComparison
        {
            SpeedErrorPercent = 100 * (alignment.Speed - 1),
            WanderMs = 1000 * alignment.Lag.Line().ScatterSeconds,
            Channels = [Channel(source.Left, tape.Left, tape.SampleRateHz), Channel(source.Right, tape.Right, tape.SampleRateHz)],
        };
    }

    private static ChannelDifference Channel(float[] source, float[] tape, int rate)
    {
        var silent = SilentFrames(source, rate);
        var both = new CrossSpectrum(1 << (int)Math.Round(Math.Log2(SegmentSeconds * rate)), rate);
        both.Add(source.AsSpan(0, source.Length - silent), tape.AsSpan(0, tape.Length - silent));
        var level = both.Gain(315, 3150);
        var gain = Math.Pow(10, level.Db / 20);
        var about1k = both.Gain(1000 / Math.Sqrt(2), 1000 * Math.Sqrt(2));
        var whole = both.Power(20, 20_000);
        return new ChannelDifference
        {
            LevelDb = level.Db,
            LevelUncertainty = level.Uncertainty,
            Bands =
            [
                .. Octaves
                    .Where(f => f * Math.Sqrt(2) < 0.5 * rate)
                    .Select(f =>
                        (
                            Hz: f,
                            Gain: both.Gain(f / Math.Sqrt(2), f * Math.Sqrt(2)),
                            Share: both.Power(f / Math.Sqrt(2), f * Math.Sqrt(2)).Source / whole.Source
                        )
                    )
                    .Where(b => b.Share > 1e-5 && b.Gain.Uncertainty < 1)
                    .Select(b => new BandDifference(
                        b.Hz,
                        b.Gain.Db - about1k.Db,
                        b.Hz.Equals(1000) ? 0 : double.Hypot(b.Gain.Uncertainty, about1k.Uncertainty)
                    )),
            ],
            DifferenceDb = Db(both.Apart(20, 20_000, gain) / (gain * gain * whole.Source)),
            RemainderDb = Db(both.Unexplained(20, 20_000) / (gain * gain * whole.Source)),
            SilenceDb = silent < LeastSilenceSeconds * rate ? null : Silence(tape, silent, both, rate),
        };
    }

    private static double Silence(float[] tape, int silent, CrossSpectrum sound, int rate)
    {
        // A tenth of a second from the sound's end on: what rings there is no noise.
        var rest = tape.AsSpan(tape.Length - silent + (rate / 10));
        var noise = new CrossSpectrum(1 << (int)Math.Round(Math.Log2(SegmentSeconds * rate)), rate);
        noise.Add(rest, rest);
        static double Weight(double hz) => Math.Pow(Iec61672Edition2013.WeightingFilter.At(hz).Magnitude, 2);
        return Db(noise.Power(20, 20_000, Weight).Tape / sound.Power(20, 20_000, Weight).Tape);
    }

    // Frames at the end in which the source holds nothing, 100 dB under its peak.
    private static int SilentFrames(float[] source, int rate)
    {
        var peak = source.Max(v => Math.Abs(v));
        var last = Array.FindLastIndex(source, v => Math.Abs(v) > peak * 1e-5);
        return source.Length - 1 - last >= LeastSilenceSeconds * rate ? source.Length - 1 - last : 0;
    }

    private static double Db(double power) => 10 * Math.Log10(Math.Max(power, 1e-20));
}
