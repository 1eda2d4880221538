using Spoolwright.Signal.Distortion;

namespace Spoolwright.Bench.Measurements;

/// <summary>A tone at one level: a step, or a piece of a ramp over which the level changes little.</summary>
/// <param name="Seconds">Its middle in the capture, s.</param>
/// <param name="Figures">Fundamental and harmonics over it.</param>
/// <param name="Length">From the piece before it to the next where they touch, s.</param>
/// <param name="Clips">Whether the interface clipped in it.</param>
/// <param name="Moved">Variance of the level within it, dB²: what a ramp does in a piece and in a frame.</param>
/// <param name="Shared">How much more noise a curve through neighbours has than by each one's own: their frames overlap. 1: none.</param>
internal sealed record LevelPoint(double Seconds, double Length, HarmonicFigures Figures, bool Clips, double Moved, double Shared)
{
    private const double LeastSnr = 10;
    private const double FastestDbPerFrame = 0.5;

    /// <summary>The pieces of a channel's tone, in time, jumps and dropouts between them left out.</summary>
    /// <param name="tracker">The channel's tone.</param>
    /// <param name="rate">Rate of the sound, Hz.</param>
    /// <param name="start">Frame of the sound that the tracker began with.</param>
    /// <param name="clips">Where the interface clips in that channel.</param>
    /// <param name="widestDb">How far the level may move within a piece, dB.</param>
    /// <param name="longestSeconds">How long a piece may be, s.</param>
    public static IReadOnlyList<LevelPoint> Of(
        HarmonicTracker tracker,
        double rate,
        long start,
        ClipMap clips,
        double widestDb = 0.25,
        double longestSeconds = 3
    )
    {
        var points = new List<LevelPoint>();
        var piece = new List<HarmonicFrame>();
        void End()
        {
            if (piece.Count >= 2)
            {
                var (from, to) = (piece[0].CentreFrame, piece[^1].CentreFrame);
                var half = 0.5 * tracker.FrameLengthSeconds * rate;
                points.Add(
                    new LevelPoint(
                        (start + (0.5 * (from + to))) / rate,
                        piece.Count * tracker.HopSeconds,
                        HarmonicFigures.Of(tracker, piece),
                        clips.Clips(start + from - half, start + to + half),
                        Movement(tracker, piece),
                        Math.Sqrt(Many * tracker.VarianceOfMean(Many) / (piece.Count * tracker.VarianceOfMean(piece.Count)))
                    )
                );
            }

            piece = [];
        }

        foreach (var frame in Steady(tracker))
        {
            if (piece.Count > 0
                && (Math.Abs(Db(frame) - Db(piece[0])) > widestDb
                    || frame.CentreFrame - piece[^1].CentreFrame > 1.5 * tracker.HopSeconds * rate
                    || frame.CentreFrame - piece[0].CentreFrame > longestSeconds * rate))
            {
                End();
            }

            piece.Add(frame);
        }

        End();
        return points;
    }

    /// <summary>Pieces of four frames each, in time, jumps, dropouts and what clips between them left out; and what they have in
    /// common.</summary>
    /// <param name="tracker">The channel's tone.</param>
    /// <param name="rate">Rate of the sound, Hz.</param>
    /// <param name="start">Frame of the sound that the tracker began with.</param>
    /// <param name="clips">Where the interface clips in that channel.</param>
    public static (LevelPoint[] Points, WanderingLevel.Pieces Pieces) Even(HarmonicTracker tracker, double rate, long start, ClipMap clips)
    {
        const int Frames = 4;
        double hop = tracker.HopSeconds, frame = tracker.FrameLengthSeconds;
        LevelPoint[] points = [.. Of(tracker, rate, start, clips, double.PositiveInfinity, (Frames - 0.5) * hop)
            .Where(p => !p.Clips && p.Figures.Seconds > ((Frames - 1.5) * hop) + frame)];
        double one = tracker.VarianceOfMean(Frames), two = tracker.VarianceOfMean(2 * Frames);
        var spread = (hop * hop * ((Frames * Frames) - 1) / 12) + (WindowSpread * frame * frame);
        var seconds = points.Length == 0 ? 0 : points[^1].Seconds - points[0].Seconds;

        // Hiss is the same at all levels, but for what noise comes with the tone: near the top it is asked.
        var top = points.Length == 0 ? 0 : points.Max(p => p.LevelDb);
        double[] hiss =
        [
            .. points
                .Where(p => p.LevelDb > top - NearTopDb)
                .Select(p => 0.5 * p.Figures.LevelNoiseDb * Math.Pow(10, (p.LevelDb - top) / 20))
                .Order(),
        ];
        return (
            points,
            new WanderingLevel.Pieces(Frames * hop, ((2 * two) - one) / one, seconds, spread, hiss.Length == 0 ? 0 : hiss[hiss.Length / 2])
        );
    }

    private const double NearTopDb = 3;

    // Variance of the moments under a frame's window, sin⁴, over the square of its length, from its Fourier series.
    private const double WindowSpread = (1 / 12.0) - (5 / (8 * Math.PI * Math.PI));

    /// <summary>Frames that lie in the tone, and in which its level does not jump.</summary>
    public static IReadOnlyList<HarmonicFrame> Steady(HarmonicTracker tracker)
    {
        var frames = tracker.Frames;
        var loudest = frames.Count == 0 ? 0 : frames.Max(f => f.Fundamental);
        bool Present(HarmonicFrame f) => f.Fundamental > 1e-4 * loudest && f.Fundamental > 1e-6 && f.HoldsTone(LeastSnr);
        return [.. frames.Where((f, i) => Present(f)
            && Math.Abs(Db(frames[Math.Max(0, i - 2)]) - Db(frames[Math.Min(frames.Count - 1, i + 2)])) < FastestDbPerFrame)];
    }

    public double LevelDb => Figures.LevelDb;

    // Frames over which what neighbours share has come to its end.
    private const int Many = 1000;

    // As of an even rise over the piece's frames, each of which holds a part of it under its window.
    private static double Movement(HarmonicTracker tracker, List<HarmonicFrame> piece)
    {
        double hop = (Db(piece[^1]) - Db(piece[0])) / (piece.Count - 1), frame = hop * tracker.FrameLengthSeconds / tracker.HopSeconds;
        return (hop * hop * (((double)piece.Count * piece.Count) - 1) / 12) + (WindowSpread * frame * frame);
    }

    private static double Db(HarmonicFrame f) => 20 * Math.Log10(Math.Max(f.Fundamental, 1e-12));
}
