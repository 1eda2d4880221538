using System.CommandLine;
using System.Globalization;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Cli;

/// <summary><c>spoolwright signal NAME --out FILE.wav</c>: writes a program to record on the deck.</summary>
internal static class SignalCommand
{
    // The same dither in every file of a program: a file can be made again and compared.
    private const int DitherSeed = 1;

    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var name = new Argument<string?>("name")
        {
            HelpName = "NAME",
            Description = "The program: " + string.Join(", ", ProgramList.Kinds.Select(k => k.Name)) + ".",
            Arity = ArgumentArity.ZeroOrOne,
        };
        name.CompletionSources.Add([.. ProgramList.Kinds.Select(k => k.Name)]);
        var list = new Option<bool>("--list") { Description = "List the programs, their lengths and what they are for." };
        var output = new Option<string?>("--out")
        {
            HelpName = "FILE.wav",
            Description = "Where to write it. A file that is there already is not overwritten.",
        };
        var reference = new Option<double?>("--reference-dbfs")
        {
            HelpName = "DBFS",
            Description = "Level of a sine that gives the deck's reference level at record. Default: -18 [EBUR68].",
            CustomParser = Figures.Within(-60, 0, "dBFS"),
        };
        var frequency = new Option<double?>("--frequency")
        {
            HelpName = "HZ",
            Description = "Frequency of the tone, of those that --list shows.",
            CustomParser = Figures.Within(20, 20_000, "Hz"),
        };
        var seconds = new Option<double?>("--seconds")
        {
            HelpName = "S",
            Description = "Length of a steady program.",
            CustomParser = Figures.Within(5, 7200, "s"),
        };
        var brief = new Option<bool>("--brief")
        {
            Description = "The program's brief form, with fewer or shorter steps (multitone, mol, saturation).",
        };
        var sides = new Option<string?>("--sides") { HelpName = "both|left|right", Description = "Sides that sound. Default: both." };
        sides.CompletionSources.Add("both", "left", "right");
        var rate = new Option<double?>("--rate")
        {
            HelpName = "HZ",
            Description = "Sample rate: 44100, 48000, 88200, 96000, 176400 or 192000. Default: 48000.",
            CustomParser = Figures.Within(44_100, 192_000, "Hz"),
        };
        var bits = new Option<double?>("--bits")
        {
            HelpName = "16|24",
            Description = "Bits of a sample, with triangular dither two steps wide. Default: 24.",
            CustomParser = Figures.Within(16, 24, "bits"),
        };
        var book = LoadedTapeWatch.Option();
        var command = new Command(
            "signal",
            "Writes a sound file to record on the deck: tones between two markers by which the capture is found and read."
        )
        {
            name, output, reference, frequency, seconds, brief, sides, rate, bits, book, list,
        };
        command.SetAction(call =>
        {
            if (call.GetValue(list))
                return List(terminal);
            var kind = Kind(call.GetValue(name));
            var program = Program(kind, call.GetValue(frequency), call.GetValue(seconds), call.GetValue(brief));
            LoadedTapeWatch.Warn(call.GetValue(book), terminal);
            var path = call.GetValue(output) ?? throw new CallException($"signal {kind.Name}: say with --out where to write it");
            Write(
                program,
                path,
                Rate(call.GetValue(rate)),
                Bits(call.GetValue(bits)),
                call.GetValue(reference) ?? -18,
                SidesOf(call.GetValue(sides)),
                terminal
            );
            return ExitCode.Done;
        });
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "Set the interface and the deck's record level once, so that a sine of --reference-dbfs reaches the deck's reference level, and leave both alone. "
                + "Levels of the program are counted from there; one that would exceed full scale is refused. Each file begins and ends with a marker of two seconds "
                + "that differs left and right. Record all of it, play it back and capture it; or, on a deck with three heads, capture the tape while it records, "
                + "with the sent signal looped to a spare input where the monitor delay is wanted.",
                "While the service book names a test tape as loaded (spoolwright job tape), a warning comes first: a test tape once erased is gone.",
            ],
            Examples =
            [
                new("spoolwright signal --list", "Lists the programs."),
                new("spoolwright signal response --out response.wav", "Third-octave steps at 20 dB under reference."),
                new(
                    "spoolwright signal bias --frequency 6300 --out bias.wav --rate 96000 --reference-dbfs -14",
                    "A bias tone for a slow speed."
                ),
            ],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    private static int List(Terminal terminal)
    {
        TextLayout.WriteColumns(
            terminal.Output,
            ProgramList.Kinds.Select(kind =>
            {
                var tones =
                    kind.FrequenciesHz.Count > 0
                        ? $"; {string.Join(", ", kind.FrequenciesHz.Select(f => f.ToString(CultureInfo.InvariantCulture)))} Hz"
                        : "";
                return new HelpRow(
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{kind.Name,-11}{ProgramList.Make(kind).Seconds,5:0} s{(kind.SteadySeconds is null ? "" : "*")}"
                    ),
                    (tones.Length > 0 ? kind.Purpose.TrimEnd('.') : kind.Purpose) + tones
                );
            }),
            terminal.Width
        );

        terminal.Output.WriteLine("* usual length; --seconds gives another");
        return ExitCode.Done;
    }

    private static ProgramKind Kind(string? name)
    {
        if (name is null)
            throw new CallException("signal needs the name of a program (spoolwright signal --list)");
        if (ProgramList.Find(name) is { } kind)
            return kind;
        var near = ProgramList
            .Kinds.Select(k => k.Name)
            .Where(k => Spelling.AreNear(name, k))
            .OrderBy(k => Spelling.Distance(name, k))
            .FirstOrDefault();
        throw new CallException($"no such program: {name}{(near is null ? "" : $"; did you mean {near}?")} (spoolwright signal --list)");
    }

    private static SignalProgram Program(ProgramKind kind, double? frequency, double? seconds, bool brief)
    {
        if (frequency is { } hz && !kind.FrequenciesHz.Contains(hz))
            throw new CallException(
                kind.FrequenciesHz.Count == 0
                    ? $"--frequency: the program {kind.Name} has no tone to choose"
                    : $"--frequency: the program {kind.Name} can be had with {string.Join(", ", kind.FrequenciesHz.Select(f => f.ToString(CultureInfo.InvariantCulture)))} Hz"
            );
        if (seconds is not null && kind.SteadySeconds is null)
            throw new CallException($"--seconds: the program {kind.Name} has a length of its own");
        if (brief && (kind.BriefVariant is null || (frequency is { } tone && !tone.Equals(kind.FrequenciesHz.FirstOrDefault()))))
            throw new CallException(
                kind.BriefVariant is null
                    ? $"--brief: the program {kind.Name} has no brief form"
                    : string.Create(
                        CultureInfo.InvariantCulture,
                        $"--brief: the program {kind.Name} is brief with {kind.FrequenciesHz[0]} Hz alone"
                    )
            );
        return ProgramList.Make(kind, frequency, seconds, brief);
    }

    private static int Rate(double? rate) =>
        rate switch
        {
            null => 48_000,
            44_100 or 48_000 or 88_200 or 96_000 or 176_400 or 192_000 => (int)rate.Value,
            _ => throw new CallException(
                string.Create(CultureInfo.InvariantCulture, $"--rate: {rate} is none of 44100, 48000, 88200, 96000, 176400 and 192000 Hz")
            ),
        };

    private static WavSamples Bits(double? bits) => bits switch
    {
        null or 24 => WavSamples.Integer24,
        16 => WavSamples.Integer16,
        _ => throw new CallException(string.Create(CultureInfo.InvariantCulture, $"--bits: {bits} is neither 16 nor 24")),
    };

    private static Sides SidesOf(string? word) => word switch
    {
        null or "both" => Sides.Both,
        "left" => Sides.Left,
        "right" => Sides.Right,
        _ => throw new CallException($"--sides: \"{word}\" is neither both nor left nor right"),
    };

    private static void Write(
        SignalProgram program,
        string path,
        int rate,
        WavSamples samples,
        double referenceDbfs,
        Sides sides,
        Terminal terminal
    )
    {
        using var sound = new ProgramSound(program, rate, referenceDbfs, sides);
        var peakDb = 20 * Math.Log10(Math.Max(1e-9, sound.Peak()));

        // Dither may add a step.
        var room = samples == WavSamples.Integer16 ? -0.001 : 0;
        if (peakDb > room)
            throw new CallException(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"--reference-dbfs: at {referenceDbfs} dBFS the program {program.Name} would exceed full scale by {peakDb:0.0} dB; {Math.Floor(10 * (referenceDbfs - peakDb + room)) / 10:0.0} dBFS is the most"
                )
            );
        try
        {
            using var stream = new FileStream(path, FileMode.CreateNew, FileAccess.ReadWrite);
            using var writer = new WavWriter(stream, rate, 2, samples, DitherSeed);
            var (left, right) = (new float[1 << 14], new float[1 << 14]);
            for (int n; (n = sound.Read(left, right)) > 0;)
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
                $"{path}: program {program.Name}, {program.Seconds:0.0} s, reference level {referenceDbfs} dBFS, highest sample {peakDb:0.0} dBFS"
            )
        );
    }
}
