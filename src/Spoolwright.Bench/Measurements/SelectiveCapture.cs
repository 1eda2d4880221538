using Spoolwright.Signal;
using Spoolwright.Signal.Levels;
using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Measurements;

/// <summary>A capture gone over for its tones, from which stretches are then listened to selectively. The source must be able to start
/// again.</summary>
internal sealed class SelectiveCapture
{
    /// <summary>Half width of the band listened to, Hz.</summary>
    public const double PassHz = 120;

    private const double MostSeconds = 600;
    private readonly SoundSource _source;

    private SelectiveCapture(SoundSource source, ToneTrail trail, IReadOnlyList<Note> notes, long frames)
    {
        _source = source;
        Trail = trail;
        Notes = notes;
        Frames = frames;
    }

    public ToneTrail Trail { get; }

    public IReadOnlyList<Note> Notes { get; }

    public long Frames { get; }

    /// <summary>The program of ours that it holds, if any.</summary>
    public HeardProgram? Program { get; private init; }

    public int Channels => _source.Channels;

    public int Rate => _source.SampleRateHz;

    /// <summary>Goes over the source once.</summary>
    /// <param name="source">The capture.</param>
    /// <param name="what">What should be in it, for the refusal of silence.</param>
    /// <param name="progress">Told the share done.</param>
    /// <param name="markers">Whether to listen for a program of ours.</param>
    public static SelectiveCapture Survey(SoundSource source, string what, IProgress<double>? progress, bool markers = false)
    {
        ArgumentNullException.ThrowIfNull(source);
        if (!source.CanRewind)
        {
            throw new ArgumentException(
                "The sound is gone through twice, and this source cannot start again; give a file.",
                nameof(source)
            );
        }

        var trail = new ToneTrail(source.SampleRateHz, source.Channels);
        var inspector = new SoundInspector(source.SampleRateHz, source.Channels);
        var search = markers ? new MarkerSearch(source.SampleRateHz, source.Channels) : null;
        var frames = SoundPump.Run(
            source,
            trail.Add,
            (SoundSink)inspector.Add + (search is null ? null : search.Add),
            progress
        );
        Breaks.Refuse(inspector);
        var notes = source.Notes.Concat(inspector.Notes()).ToList();
        if (notes.Any(n => n.Code == "silence"))
        {
            throw new CannotMeasureException(
                "silence",
                $"The capture is silent from start to end: there is no {what} in it. Check the cable, the input's level and the choice of channels."
            );
        }

        if (frames < 2L * source.SampleRateHz)
        {
            throw new CannotMeasureException(
                "too-short",
                FormattableString.Invariant(
                    $"The capture is {frames / (double)source.SampleRateHz:0.0} s long; 2 s are needed at least, 10 s are better."
                )
            );
        }

        return new SelectiveCapture(source, trail, notes, frames) { Program = HeardProgram.Of(search?.Finish() ?? []) };
    }

    /// <summary>Goes over the source again and listens to stretches about frequencies.</summary>
    public IReadOnlyList<NarrowBand> Listen(IReadOnlyList<(double Hz, double PassHz, long First, long Last)> stretches)
    {
        var bands = stretches.Select(s => new NarrowBand(s.Hz, s.PassHz, Rate, Channels)).ToArray();
        long at = 0;
        _source.Rewind();
        SoundPump.Run(_source, (left, right) =>
        {
            for (var i = 0; i < bands.Length; i++)
            {
                var last = Math.Min(stretches[i].Last, stretches[i].First + (long)(MostSeconds * Rate));
                int from = (int)Math.Max(0, stretches[i].First - at), to = (int)Math.Min(left.Length, last - at);
                if (to > from)
                {
                    bands[i].Add(left[from..to], right.IsEmpty ? default : right[from..to]);
                }
            }

            at += left.Length;
        });
        return bands;
    }

    /// <summary>k = 2 of a ratio in dB from the share σ/P of a power, both sides of it averaged.</summary>
    public static double ExpandedDb(LinePower power)
    {
        var x = Math.Min(0.9, 2 * power.Sigma / Math.Max(power.Power, 1e-30));
        return 0.5 * ((10 * Math.Log10(1 + x)) - (10 * Math.Log10(1 - x)));
    }

    /// <summary>A hum line that falls onto a tone cannot be told from it: says so where its neighbours stand.</summary>
    public static Note? HumAt(BandSpectrum spectrum, double hz, double centreHz, double halfWidthHz, double power, string channel)
    {
        foreach (var mains in new[] { 50.0, 60.0 })
        {
            var nearest = Math.Round(hz / mains) * mains;
            if (Math.Abs(nearest - hz) > halfWidthHz + 2)
            {
                continue;
            }

            foreach (var beside in new[] { nearest - mains, nearest + mains, nearest - (2 * mains), nearest + (2 * mains) })
            {
                if (Math.Abs(beside - centreHz) < PassHz - 5)
                {
                    var line = spectrum.Line(beside - centreHz, 0.5);
                    if (line.Power > 6 * line.Sigma && line.Power > 0.03 * Math.Max(power, 1e-30))
                    {
                        return Note.Warning(
                            "hum-near-tone",
                            FormattableString.Invariant(
                                $"Hum stands {mains:0} Hz beside the tone in the {channel} channel and may reach into it: what was found at {hz:0} Hz may be hum in part. Mend the hum first, or use a tone off its multiples."
                            )
                        );
                    }
                }
            }
        }

        return null;
    }
}
