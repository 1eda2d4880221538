using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>Measures the tones of a program's steps where the markers say they stand, one pass over the sound.</summary>
internal static class RecordedSteps
{
    // Left out at either end of a step: its edge, and what wow may have moved it by.
    private const double InsideSeconds = 0.08;

    /// <summary>Measures every tone of every step.</summary>
    /// <param name="source">The sound, at its start.</param>
    /// <param name="program">What was sent.</param>
    /// <param name="maps">By capture channel; null: the channel is not measured.</param>
    /// <param name="progress">Told the share done.</param>
    public static IReadOnlyList<RecordedTone> Measure(
        SoundSource source,
        SignalProgram program,
        TimeMap?[] maps,
        IProgress<double>? progress
    )
    {
        var looks = Looks(source, program, maps).OrderBy(l => l.First).ToList();
        var open = new List<Look>();
        var next = 0;
        long at = 0;
        SoundPump.Run(
            source,
            (left, right) =>
            {
                var end = at + left.Length;
                while (next < looks.Count && looks[next].First < end)
                {
                    open.Add(looks[next++].Open(source.SampleRateHz));
                }

                for (var i = open.Count - 1; i >= 0; i--)
                {
                    open[i].Take(left, right, at);
                    if (open[i].Last <= end)
                    {
                        open[i].Finish();
                        open.RemoveAt(i);
                    }
                }

                at = end;
            },
            progress: progress);

        // One cut short by the capture's end would be measured by what is left of it.
        return
        [
            .. looks
                .Where(l => l.Figures is not null)
                .Select(l => new RecordedTone(l.Tone.FrequencyHz, l.Tone.LevelDb, l.Tone.Sides, l.IsReference, l.Figures!)),
        ];
    }

    private static IEnumerable<Look> Looks(SoundSource source, SignalProgram program, TimeMap?[] maps)
    {
        // Where both channels stand alike in time they are measured together, which gives the phase between them.
        var together = maps is [{ } a, { } b] && Math.Abs(a.At0 - b.At0) < 0.005;
        foreach (var step in program.Steps)
        {
            // Products of many tones may stand between them.
            double[] all =
            [
                .. step.Tones.Select(t => t.FrequencyHz),
                .. step.Tones.Count > 2 ? ProgramList.Products.Select(p => p.Hz) : [],
            ];
            foreach (var tone in step.Tones)
            {
                double? neighbour =
                    all.Length == 1 ? null : all.Where(f => !f.Equals(tone.FrequencyHz)).Min(f => Math.Abs(f - tone.FrequencyHz));
                for (var channel = 0; channel < maps.Length; channel++)
                {
                    if (maps[channel] is not { } map || (together && channel == 1))
                    {
                        continue;
                    }

                    double from = map.Of(step.StartSeconds + InsideSeconds), to = map.Of(step.StartSeconds + step.Seconds - InsideSeconds);
                    (from, to) = from < to ? (from, to) : (to, from);
                    var hz = tone.FrequencyHz / Math.Abs(map.Slope);
                    if (hz * 1.04 < source.SampleRateHz * 0.49 && from >= 0)
                    {
                        yield return new Look(
                            tone,
                            step.IsReference && tone.FrequencyHz.Equals(1000),
                            (long)(from * source.SampleRateHz),
                            (long)(to * source.SampleRateHz),
                            hz,
                            neighbour / Math.Abs(map.Slope),
                            together ? null : channel
                        );
                    }
                }
            }
        }
    }

    private sealed class Look(ProgramTone tone, bool isReference, long first, long last, double hz, double? neighbour, int? channel)
    {
        private ToneProbe? _probe;

        public ProgramTone Tone => tone;

        public bool IsReference => isReference;

        public long First => first;

        public long Last => last;

        public ToneFigures? Figures { get; private set; }

        public Look Open(int rate)
        {
            _probe = new ToneProbe(
                hz,
                (last - first) / (double)rate,
                rate,
                channel is null ? 2 : 1,
                2 * (InsideSeconds - SignalProgram.EdgeSeconds),
                neighbour
            )
            {
                ReadsLeak = channel is null && tone.Sides is (Sides.Left or Sides.Right),
            };
            return this;
        }

        public void Take(ReadOnlySpan<float> left, ReadOnlySpan<float> right, long at)
        {
            int from = (int)Math.Max(0, first - at), to = (int)Math.Min(left.Length, last - at);
            if (to > from)
            {
                _probe!.Add((channel == 1 ? right : left)[from..to], channel is null ? right[from..to] : default);
            }
        }

        public void Finish()
        {
            var figures = _probe!.Finish();
            _probe = null;
            var none = new ChannelFigures(-200, 0, 0);
            Figures = channel == 1 && figures is not null ? figures with { Left = none, Right = figures.Left } : figures;
        }
    }
}
