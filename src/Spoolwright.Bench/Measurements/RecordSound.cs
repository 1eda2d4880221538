using Spoolwright.Bench.Instruments;
using Spoolwright.Signal;
using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Measurements;

/// <summary>Finds what of a recorded program a capture holds: by its markers, or, where it is somebody else's, by its tones
/// alone.</summary>
internal static class RecordSound
{
    public static RecordedProgram Read(SoundSource source, MeasurementSettings settings, IProgress<double>? progress)
    {
        if (!source.CanRewind)
        {
            throw new ArgumentException(
                "The sound is gone through twice, and this source cannot start again; give a file.",
                nameof(source)
            );
        }

        var search = new MarkerSearch(source.SampleRateHz, source.Channels);
        var inspector = new SoundInspector(source.SampleRateHz, source.Channels);
        SoundPump.Run(source, search.Add, inspector.Add);
        Breaks.Refuse(inspector);
        var markers = search.Finish();
        source.Rewind();
        return markers.Count > 0 ? OfMarkers(source, markers, inspector, progress) : OfTones(source, settings, search.SumsSides, progress);
    }

    private static RecordedProgram OfMarkers(
        SoundSource source,
        IReadOnlyList<FoundMarker> markers,
        SoundInspector inspector,
        IProgress<double>? progress
    )
    {
        var word = markers[0].Word;
        var program = ProgramList.OfMarker(word.Program, word.Variant);
        if (program is null || program.Name is not ("response" or "multitone"))
        {
            throw new CannotMeasureException(
                "other-program",
                $"This capture holds the program {program?.Name ?? $"number {word.Program}, which this build does not know"}, not response or multitone. {(program?.Name is "bias" ? "Measure it with measure bias." : "Record spoolwright signal response and capture that.")}"
            );
        }

        var notes = new List<Note>(source.Notes);
        notes.AddRange(inspector.Notes());
        var delay = MonitorDelayFinder.Find(markers, program);
        var maps = Enumerable.Range(0, source.Channels).Select(channel => TimeMap.Of(
            markers.LastOrDefault(m => m.CaptureChannel == channel && !TimeMap.IsEnd(m)),
            markers.LastOrDefault(m => m.CaptureChannel == channel && TimeMap.IsEnd(m)),
            program.EndMarkerSeconds)).ToArray();
        var tape = Enumerable.Range(0, source.Channels).Where(c => maps[c] is not null && c != delay?.SourceChannel).ToList();
        if (delay is { } seen && seen.SourceChannel is null)
        {
            tape.Clear();
            notes.Add(
                Note.Warning(
                    "source-and-tape",
                    $"Source and tape stand together in this capture ({seen.How}), so response is not measured. Capture the tape alone for that."
                )
            );
        }

        AddNotes(markers, notes);
        for (var channel = 0; channel < maps.Length; channel++)
        {
            if (maps[channel] is null)
            {
                notes.Add(
                    Note.Error(
                        "dead-channel",
                        $"The {PlaybackMeasurement.Word(channel == 0 ? Channel.Left : Channel.Right)} channel holds no marker of the program: it is not measured. Check its cable, and that both sides were recorded."
                    )
                );
            }
        }

        TimeMap?[] taped = [.. maps.Select((m, c) => tape.Contains(c) ? m : null)];
        var measured = tape.Count == 0 ? [] : RecordedSteps.Measure(source, program, taped, progress);
        IReadOnlyList<RecordedProduct> products = [];
        if (tape.Count > 0 && program.Name == "multitone")
        {
            source.Rewind();
            products = RecordedProducts.Measure(source, program.Steps[0], taped);
        }

        // Backwards and swapped alike: sides are the program's, channels the capture's.
        var swapped = markers.All(m => m.Word.IsRight == (m.CaptureChannel == 0)) && delay is null && source.Channels == 2;
        if (swapped)
        {
            notes.Add(
                Note.Warning(
                    "swapped-channels",
                    "The program's left side stands in the capture's right channel: cables or heads are crossed. Channels are named here as the capture has them."
                )
            );
            measured = [.. measured.Select(t => t with { Sides = Swapped(t.Sides) })];
        }

        return new RecordedProgram
        {
            Tones = measured,
            Products = products,
            TapeChannels = [.. tape.Select(c => c == 0 ? Channel.Left : Channel.Right)],
            MonitorDelay = delay is { } d ? (1000 * d.Seconds, 1000 * d.Uncertainty, d.How) : null,
            Notes = notes,
        };
    }

    private static void AddNotes(IReadOnlyList<FoundMarker> markers, List<Note> notes)
    {
        if (markers.Any(m => m.IsMixed))
        {
            notes.Add(
                Note.Warning(
                    "summed-sides",
                    "Both sides of the program stand in one channel: the channels were summed somewhere. Nothing between the channels can be said."
                )
            );
        }

        if (markers[0].Word.IsBackwards)
        {
            notes.Add(Note.Hint("backwards", "The program was heard backwards: the tape ran the other way than it was recorded."));
        }

        if (Math.Abs(markers[^1].Speed - 1) > 0.01)
        {
            notes.Add(
                Note.Warning(
                    "speed",
                    FormattableString.Invariant(
                        $"The recording is played {(markers[^1].Speed - 1) * 100:+0.0;-0.0;0.0} % off the speed it was made at."
                    )
                )
            );
        }
    }

    private static Sides Swapped(Sides sides) => sides switch
    {
        Sides.Left => Sides.Right,
        Sides.Right => Sides.Left,
        _ => sides,
    };

    private static RecordedProgram OfTones(SoundSource source, MeasurementSettings settings, bool sumsSides, IProgress<double>? progress)
    {
        var given = settings.RecordedTones;
        IReadOnlyList<TestTone> tones =
            given
            ?? [.. ProgramList.ThirdOctaves.Select(f => new TestTone(f, 0, 2, f.Equals(1000) ? ToneRole.Reference : ToneRole.Response))];
        var read = TapeTones.Read(source, tones, progress, given is not null);
        var notes = read
            .Notes.Where(n => given is not null || n.Code is not ("missing-tone" or "repeated-tone" or "ambiguous-tone"))
            .ToList();

        // No reference in the list: the tone nearest to 1 kHz.
        var reference = read.Found.Where(f => f.Tone.Role == ToneRole.Reference).MinBy(f => Math.Abs(Math.Log(f.Tone.FrequencyHz / 1000)))
            ?? read.Found.MinBy(f => Math.Abs(Math.Log(f.Tone.FrequencyHz / 1000)))!;
        if (sumsSides)
        {
            notes.Add(
                Note.Warning(
                    "summed-sides",
                    "Both sides of a program's marker stand in each channel, equally strong: left and right were summed half and half on their way (a mono switch, a mixer, a cable), and which program it is can no longer be read. Only tones that both sides carry are told, and nothing between the channels. Part the channels and capture again."
                )
            );
        }
        else if (given is null)
        {
            notes.Add(
                Note.Hint(
                    "no-marker",
                    FormattableString.Invariant(
                        $"No marker of a program was heard. The tones found are taken to have been sent at equal levels, and {reference.Tone.FrequencyHz:0.##} Hz for the reference; say with --program what was sent otherwise."
                    )
                )
            );
        }

        return new RecordedProgram
        {
            Tones =
            [
                .. read.Found.Select(f => new RecordedTone(f.Tone.FrequencyHz, f.Tone.LevelDb, Sides.Both, f == reference, f.Figures)),
            ],
            TapeChannels = source.Channels == 2 ? [Channel.Left, Channel.Right] : [Channel.Left],
            Notes = notes,
        };
    }
}
