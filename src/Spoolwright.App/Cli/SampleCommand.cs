using System.CommandLine;
using System.Globalization;
using Spoolwright.Bench.Samples;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Cli;

/// <summary><c>spoolwright sample make|compare</c>: a sound to publish a deck by.</summary>
internal static class SampleCommand
{
    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var sample = new Command(
            "sample",
            "Makes a sound sample that shows a deck: a piece to record on it, and source and tape side by side."
        )
        {
            Make(terminal, lessons),
            Compare(terminal, lessons),
        };
        lessons[sample] = new Lesson
        {
            Paragraphs =
            [
                "A camera's microphone does not show how a deck sounds, and other people's music may not be published. Record a piece of the program's own (or sound you have the right to) "
                + "on the deck, capture its line output while the tape plays, and let source and tape be laid in step.",
            ],
            Examples =
            [
                new("spoolwright sample make --out piece.wav", "A piece to record on the deck."),
                new(
                    "spoolwright sample compare piece.wav from-tape.wav --out sample",
                    "Source and tape in step, a sound that switches, figures and a page, in the folder sample."
                ),
            ],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return sample;
    }

    private static Command Make(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var output = new Option<string>("--out")
        {
            HelpName = "FILE.wav",
            Required = true,
            Description = "Where to write it. A file that is there already is not overwritten.",
        };
        var seed = new Option<double?>("--seed")
        {
            HelpName = "N",
            Description = "Another piece for each number. Default: 1.",
            CustomParser = Figures.Within(0, int.MaxValue, ""),
        };
        var sound = new Option<string?>("--sound")
        {
            HelpName = "FILE",
            Description = "A sound file of your own, or one you have the right to publish, instead of a piece of the program's.",
        };
        var reference = new Option<double?>("--reference-dbfs")
        {
            HelpName = "DBFS",
            Description = "Level of a sine that gives the deck's reference level at record. Default: -18 [EBUR68].",
            CustomParser = Figures.Within(-60, 0, "dBFS"),
        };
        var peak = new Option<double?>("--peak-db")
        {
            HelpName = "DB",
            Description = "Highest peak over the reference level. Default: 6.",
            CustomParser = Figures.Within(-30, 40, "dB"),
        };
        var rate = new Option<double?>("--rate")
        {
            HelpName = "HZ",
            Description = "Sample rate of a piece: 44100, 48000, 88200 or 96000. Default: 48000.",
            CustomParser = Figures.Within(44_100, 96_000, "Hz"),
        };
        var command = new Command("make", "Writes a piece, or a sound of your own, between two markers, to record on the deck.")
        {
            output,
            seed,
            sound,
            reference,
            peak,
            rate,
        };
        command.SetAction(call =>
        {
            if (call.GetValue(sound) is not null && (call.GetValue(seed) ?? call.GetValue(rate)) is not null)
                throw new CallException("--sound: a sound file has its own notes and rate; leave --seed and --rate away");
            var piece = call.GetValue(sound) is { } file ? Read(file) : Piece(call.GetValue(seed) ?? 1, Rate(call.GetValue(rate)));
            WriteMarked(piece, call.GetValue(reference) ?? -18, call.GetValue(peak) ?? 6, call.GetValue(output)!, terminal);
            return ExitCode.Done;
        });
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "A piece lasts about 50 seconds: bass and drums, plucked strings, sustained chords with bells, all together, one chord that dies away, two seconds of silence. The same number gives the same piece.",
            ],
            Examples =
            [
                new("spoolwright sample make --out piece.wav --seed 7", "Piece number 7."),
                new("spoolwright sample make --sound own-song.flac --out to-record.wav", "A sound of your own between markers."),
            ],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    private static Command Compare(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var source = new Argument<string>("source")
        {
            HelpName = "SOURCE",
            Description = "The file that was recorded on the deck, as sample make wrote it.",
        };
        var capture = new Argument<string>("capture")
        {
            HelpName = "CAPTURE",
            Description = "The deck's line output while the tape played, from before the first marker to after the last.",
        };
        var output = new Option<string>("--out")
        {
            HelpName = "FOLDER",
            Required = true,
            Description = "Folder for what is made; a new or an empty one.",
        };
        var every = new Option<double?>("--every")
        {
            HelpName = "S",
            Description = "Seconds from one change between source and tape to the next. Default: 4.",
            CustomParser = Figures.Within(1, 60, "s"),
        };
        var title = new Option<string?>("--title") { HelpName = "TEXT", Description = "Heading of the page. Default: Source and tape." };
        var json = new Option<bool>("--json") { Description = "Print the figures as one JSON object." };
        var command = new Command(
            "compare",
            "Lays source and tape in step and at one level; writes both, a sound that switches, their difference, a page and the figures."
        )
        {
            source,
            capture,
            output,
            every,
            title,
            json,
        };
        command.SetAction(call =>
        {
            var (sent, heard) = (Read(call.GetValue(source)!), Read(call.GetValue(capture)!));
            var folder = SampleFolder.Make(call.GetValue(output)!);
            var (alignment, comparison) = MeasureProgress.Show(
                terminal,
                "laying in step",
                _ =>
                {
                    var laid = SampleAlignment.Of(sent, heard);
                    return (laid, SampleComparison.Of(laid));
                }
            );
            folder.Write(
                SwitchingSample.Of(alignment, comparison, call.GetValue(every) ?? 4),
                comparison,
                call.GetValue(title) ?? "Source and tape"
            );
            terminal.Output.WriteLine(call.GetValue(json) ? SampleFigures.Json(comparison) : SampleFigures.Text(comparison, folder.Path));
            return ExitCode.Done;
        });
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "The tape stays as it was captured but for its level, so that its noise, response and flutter are heard; the source is laid on the tape's time. For the figures the source follows all of the tape's flutter: "
                + "what differs then is response, noise and distortion. switching.wav begins with the source and changes over every few seconds; sample.html plays both and changes over by a key, without any other file.",
            ],
            Examples =
            [
                new(
                    "spoolwright sample compare piece.wav from-tape.wav --out sample --every 6 --title \"Both channels, 19 cm/s\"",
                    "Changes over every six seconds."
                ),
            ],
            ExitCodes = [.. Lesson.PlainExitCodes, HelpRow.Of(ExitCode.CannotMeasure, "the sounds cannot be laid together")],
        };
        return command;
    }

    private static SampleSound Piece(double seed, int rate)
    {
        var (left, right) = Signal.Pieces.Piece.Render((int)seed, rate);
        return new SampleSound(left, right, rate);
    }

    private static SampleSound Read(string path)
    {
        InputFiles.MustBeReadable(path);
        using var source = InputFiles.Sound(path, null);
        return SampleSound.Of(source, path);
    }

    private static int Rate(double? rate) =>
        rate switch
        {
            null => 48_000,
            44_100 or 48_000 or 88_200 or 96_000 => (int)rate.Value,
            _ => throw new CallException(
                string.Create(CultureInfo.InvariantCulture, $"--rate: {rate} is none of 44100, 48000, 88200 and 96000 Hz")
            ),
        };

    private static void WriteMarked(SampleSound sound, double referenceDbfs, double peakDb, string path, Terminal terminal)
    {
        if (referenceDbfs + peakDb > -0.001)
            throw new CallException(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"--peak-db: {peakDb} dB over {referenceDbfs} dBFS would exceed full scale; {-referenceDbfs - 0.1:0.0} dB is the most"
                )
            );
        var peak = Math.Max(sound.Left.Max(v => Math.Abs(v)), sound.Right.Max(v => Math.Abs(v)));
        if (peak <= 0)
            throw new CallException("--sound: the file is silent");
        var gain = Math.Pow(10, (referenceDbfs + peakDb) / 20) / peak;
        using var marked = new MarkedSound(
            [.. sound.Left.Select(v => (float)(gain * v))],
            [.. sound.Right.Select(v => (float)(gain * v))],
            sound.SampleRateHz,
            referenceDbfs
        );
        try
        {
            using var stream = new FileStream(path, FileMode.CreateNew, FileAccess.ReadWrite);
            using var writer = new WavWriter(stream, sound.SampleRateHz, 2, WavSamples.Integer24, ditherSeed: 1);
            var (left, right) = (new float[1 << 14], new float[1 << 14]);
            for (int n; (n = marked.Read(left, right)) > 0;)
                writer.Write(left.AsSpan(0, n), right.AsSpan(0, n));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw new CallException(
                File.Exists(path) ? $"{path} is there already; name another file" : $"{path} cannot be written: {e.Message}"
            );
        }

        terminal.Output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"{path}: {marked.Frames / (double)sound.SampleRateHz:0.0} s with its markers, peak {peakDb:0.#} dB over the reference level of {referenceDbfs:0.#} dBFS"
            )
        );
    }
}
