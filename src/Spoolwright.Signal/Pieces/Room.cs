namespace Spoolwright.Signal.Pieces;

/// <summary>A room: six delay lines, each fed back on itself through a low-pass; three a side.</summary>
internal static class Room
{
    private const double TailSeconds = 1.6;
    private const double Treble = 0.35;

    public static void Add(double[] sent, double[] left, double[] right, int rate)
    {
        foreach (
            var (seconds, side) in ((double, double[])[])
                [(0.0297, left), (0.0371, left), (0.0437, left), (0.0311, right), (0.0389, right), (0.0451, right)]
        )
        {
            var line = new double[(int)(seconds * rate)];
            var back = Math.Pow(0.001, seconds / TailSeconds);
            double dull = 0;
            for (int i = 0, at = 0; i < sent.Length; i++, at = (at + 1) % line.Length)
            {
                var heard = line[at];
                dull += (1 - Treble) * (heard - dull);
                line[at] = sent[i] + (back * dull);
                side[i] += heard;
            }
        }
    }
}
