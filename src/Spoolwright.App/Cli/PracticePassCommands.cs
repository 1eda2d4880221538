using System.CommandLine;
using Spoolwright.App.Practice;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Hidden;
using Spoolwright.Practice.Tape;

namespace Spoolwright.App.Cli;

/// <summary><c>practice play</c> and <c>practice record</c>: passes that give a capture.</summary>
internal static class PracticePassCommands
{
    public static Command Play(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var pass = new PassOptions();
        var tape = new Option<string>("--tape")
        {
            HelpName = "TAPE",
            Description = "speed or levels (test tapes), blank, or own (what was recorded and kept).",
            Required = true,
        };
        tape.CompletionSources.Add("speed", "levels", "blank", "own");
        var rate = new Option<double?>("--rate")
        {
            HelpName = "HZ",
            Description = "Sample rate of the capture. Default: 96000.",
            CustomParser = Figures.Within(32_000, 192_000, "Hz"),
        };
        var command = new Command("play", "Plays a tape and writes the capture.")
        {
            tape,
            pass.Direction,
            pass.Speed,
            pass.Stock,
            pass.Seconds,
            rate,
            pass.Out,
            pass.Folder,
        };
        command.SetAction(call =>
        {
            var request = pass.Request(call) with { RateHz = (int)(call.GetValue(rate) ?? 96_000) };
            Print(
                terminal,
                new PracticePass(new PracticeFolder(call.GetRequiredValue(pass.Folder))).Play(
                    call.GetRequiredValue(tape),
                    pass.Threaded(call),
                    request
                )
            );
            return ExitCode.Done;
        });
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "In reverse a test tape is not turned over: it runs from its end, as on an auto-reverse deck. Beside the capture of a test tape its leaflet is written.",
            ],
            Examples =
            [
                new(
                    "spoolwright practice play --tape levels --direction reverse --out levels.wav",
                    "Then: measure playback levels.wav --test-tape levels.wav.tape.json"
                ),
                new("spoolwright practice play --tape blank --out noise.wav", "Tape erased in bulk, for noise."),
            ],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    public static Command Record(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var pass = new PassOptions();
        var signal = new Option<string>("--signal")
        {
            HelpName = "IN.wav",
            Description = "The sound to record; a sine of -12 dBFS asks for reference level.",
            Required = true,
        };
        var setting = new Option<string>("--setting")
        {
            HelpName = "NAME",
            Description = "The deck's tape setting: normal or high.",
            DefaultValueFactory = _ => "normal",
        };
        var source = new Option<bool>("--source-left")
        {
            Description = "Put the source into the capture's left channel, so that the monitor delay can be read.",
        };
        var keep = new Option<bool>("--keep") { Description = "Keep the tape, to play it with --tape own or record over it." };
        var turnBias = new Option<bool>("--turn-bias")
        {
            Description = "Turn the bias of both channels meanwhile: from too little, over the peak, and back to where it stood.",
        };
        var command = new Command("record", "Records a sound and writes what comes off tape meanwhile.")
        {
            signal, pass.Direction, pass.Speed, setting, pass.Stock, pass.Seconds, source, keep, turnBias, pass.Out, pass.Folder,
        };
        command.SetAction(call =>
        {
            var work = new PracticePass(new PracticeFolder(call.GetRequiredValue(pass.Folder)));
            Print(
                terminal,
                work.Record(
                    call.GetRequiredValue(signal),
                    call.GetRequiredValue(setting),
                    pass.Threaded(call),
                    pass.Request(call),
                    call.GetValue(source),
                    call.GetValue(keep),
                    call.GetValue(turnBias)
                )
            );
            return ExitCode.Done;
        });
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "The tape must fit the setting: normal was laid out for Hembury, high for Ardleigh. With another tape bias, level and equalization are wrong, as on any deck.",
            ],
            Examples =
            [
                new(
                    "spoolwright practice record --signal in.wav --setting high --tape-kind ardleigh --out off-tape.wav",
                    "Records on the hotter tape."
                ),
                new(
                    "spoolwright practice record --signal bias.wav --turn-bias --out turned.wav",
                    "Then: measure bias turned.wav says how far past its peak the bias stands."
                ),
            ],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    private static void Print(Terminal terminal, IEnumerable<string> lines)
    {
        foreach (var line in lines)
            terminal.Output.WriteLine(line);
    }

    /// <summary>Options of both passes.</summary>
    private sealed class PassOptions
    {
        public Option<string> Folder { get; } = PracticeCommand.Folder();

        public Option<string> Direction { get; } = MakeDirection();

        public Option<double?> Speed { get; } =
            new("--speed")
            {
                HelpName = "CM/S",
                Description = "9.525 or 19.05. Default: 19.05.",
                CustomParser = Figures.Within(1, 200, "cm/s"),
            };

        public Option<string> Stock { get; } = new("--tape-kind")
        {
            HelpName = "NAME",
            Description = "Blank tape threaded: hembury, ardleigh or polwen.",
            DefaultValueFactory = _ => "hembury",
        };

        public Option<double?> Seconds { get; } =
            new("--seconds")
            {
                HelpName = "S",
                Description = "Length of the capture.",
                CustomParser = Figures.Within(0.5, 3600, "seconds"),
            };

        public Option<string> Out { get; } =
            new("--out")
            {
                HelpName = "CAPTURE.wav",
                Description = "Where to write the capture.",
                Required = true,
            };

        public TapeStock Threaded(ParseResult call)
        {
            var word = call.GetRequiredValue(Stock);
            return LearnersDeck.Stock(word)
                ?? throw new CallException(
                    $"--tape-kind: there is no \"{word}\"; there are {string.Join(", ", TapeStock.All.Select(s => s.Name))}"
                );
        }

        public PassRequest Request(ParseResult call)
        {
            var speed = call.GetValue(Speed) ?? 19.05;
            if (Math.Abs(speed - 19.05) > 0.1 && Math.Abs(speed - 9.525) > 0.05)
                throw new CallException("--speed: the deck runs at 9.525 and 19.05 cm/s");
            var direction = call.GetRequiredValue(Direction) switch
            {
                "forward" => TapeDirection.Forward,
                "reverse" => TapeDirection.Reverse,
                var word => throw new CallException($"--direction: \"{word}\" is neither forward nor reverse"),
            };
            return new PassRequest(direction, speed > 15 ? 19.05 : 9.525, call.GetRequiredValue(Out)) { Seconds = call.GetValue(Seconds) };
        }

        private static Option<string> MakeDirection()
        {
            var option = new Option<string>("--direction")
            {
                HelpName = "forward|reverse",
                Description = "Which way the tape runs.",
                DefaultValueFactory = _ => "forward",
            };
            option.CompletionSources.Add("forward", "reverse");
            return option;
        }
    }
}
