using Spoolwright.App.Cli;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Hidden;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;

namespace Spoolwright.App.Practice;

/// <summary>What a learner asks the deck to do in one pass.</summary>
internal sealed record PassRequest(TapeDirection Direction, double SpeedCmPerS, string Out)
{
    /// <summary>Length of the capture, s; null: as long as what is played.</summary>
    public double? Seconds { get; init; }

    /// <summary>Sample rate of tapes that were not recorded here, Hz.</summary>
    public int RateHz { get; init; } = 96000;
}

/// <summary>Plays and records on a learner's deck and writes the captures.</summary>
internal sealed class PracticePass(PracticeFolder folder)
{
    private const double ReferenceDbfs = -12;

    /// <summary>Plays a tape by its word and gives lines to print.</summary>
    public IReadOnlyList<string> Play(string tape, TapeStock stock, PassRequest request)
    {
        var learner = folder.Load();
        learner.Passes++;
        var deck = learner.Board.Deck;
        var lines = new List<string>();
        var seconds = tape switch
        {
            "speed" => Test(deck, RestorersTapes.Speed(request.SpeedCmPerS), request, learner, request.Seconds ?? 35, 20, lines),
            "levels" or "test" => Test(deck, RestorersTapes.Levels(request.SpeedCmPerS), request, learner, request.Seconds ?? 74, 0, lines),
            "blank" => Own(deck, RecordedTape.Blank(stock, request.SpeedCmPerS, request.RateHz), request, learner, request.Seconds ?? 20),
            "own" => Own(
                deck,
                folder.OwnTape(learner)
                    ?? throw new CallException("nothing has been recorded and kept; spoolwright practice record does that"),
                request,
                learner,
                request.Seconds
            ),
            _ => throw new CallException($"--tape: there is no tape \"{tape}\"; there are speed, levels, blank, own"),
        };
        folder.Save(learner);
        lines.Insert(0, FormattableString.Invariant($"{request.Out}: {seconds:F1} s; reference level is {ReferenceDbfs} dBFS"));
        return lines;
    }

    private const double LeastTurningSeconds = 30;

    /// <summary>Records a sound and writes what comes off tape meanwhile.</summary>
    /// <param name="signal">The sound file.</param>
    /// <param name="setting">Position of the tape selector.</param>
    /// <param name="stock">The tape threaded.</param>
    /// <param name="request">The pass.</param>
    /// <param name="sourceLeft">Whether the capture's left channel holds the source instead of the left track.</param>
    /// <param name="keep">Whether the tape is kept to be played later.</param>
    /// <param name="turnBias">Whether a hand turns both channels' bias over the peak meanwhile, and back to where it stood.</param>
    public IReadOnlyList<string> Record(
        string signal, string setting, TapeStock stock, PassRequest request, bool sourceLeft, bool keep, bool turnBias = false)
    {
        var learner = folder.Load();
        learner.Passes++;
        var deck = learner.Board.Deck;
        if (!deck.Recorder!.Settings.Any(s => string.Equals(s.Name, setting, StringComparison.Ordinal)))
            throw new CallException(
                $"--setting: there is no \"{setting}\"; there are {string.Join(", ", deck.Recorder.Settings.Select(s => s.Name))}"
            );
        using var fed = PracticeFolder.Open(signal);
        var seconds = request.Seconds ?? (((fed.Frames ?? 0) / (double)fed.SampleRateHz) + 1);
        if (turnBias && seconds < LeastTurningSeconds)
            throw new CallException(FormattableString.Invariant($"--turn-bias: a slow turn over the peak takes {LeastTurningSeconds:0} s of sound or more, and this is {seconds:0.0} s"));
        var options = new RecordOptions
        {
            Direction = request.Direction,
            SpeedCmPerS = request.SpeedCmPerS,
            Setting = setting,
            SampleRateHz = fed.SampleRateHz,
            Seed = learner.Passes,
            ReferenceDbfs = ReferenceDbfs,
            // From far too little over the peak and somewhat past its place, then held there.
            BiasMoves = turnBias ? [new(4, -8), new(seconds - 14, 2), new(seconds - 9, 0)] : [],
        };
        var tape = RecordedTape.Blank(stock, request.SpeedCmPerS, fed.SampleRateHz, RecordedTape.LongestSeconds);
        if (keep)
        {
            if (seconds > RecordedTape.LongestSeconds)
                throw new CallException($"--keep: a tape that is kept lasts {RecordedTape.LongestSeconds} s at most");
            using var again = PracticeFolder.Open(signal);
            var old = folder.OwnTape(learner);
            var session = deck.Record(
                old is { } o && o.Stock == stock && o.SpeedCmPerS == request.SpeedCmPerS && o.SampleRateHz == fed.SampleRateHz ? o : tape,
                options
            );
            session.Feed(again);
            folder.Keep(learner, session.Finish(), request.Direction);
        }

        using var monitor = deck.Monitor(tape, options, fed, seconds);
        using var source = sourceLeft ? PracticeFolder.Open(signal) : null;
        PracticeFolder.Write(monitor.Sound, request.Out, source);
        folder.Save(learner);
        return
        [
            FormattableString.Invariant(
                $"{request.Out}: {seconds:F1} s off tape on {stock.Name}; fed and heard, reference level is {ReferenceDbfs} dBFS"
            ),
            .. turnBias ? [FormattableString.Invariant($"bias: turned up from 8 dB under its place at 4 s to 2 dB over it, and back to its place at {seconds - 9:F0} s")] : Array.Empty<string>(),
            .. sourceLeft ? ["left: the source; right: the right track off tape"] : Array.Empty<string>(),
            .. keep ? ["kept: spoolwright practice play --tape own plays it"] : Array.Empty<string>()];
    }

    private static double Test(
        PracticeDeck deck,
        PracticeTape tape,
        PassRequest request,
        LearnersDeck learner,
        double seconds,
        double start,
        List<string> lines
    )
    {
        var leaflet = request.Out + ".tape.json";
        using var session = deck.Play(
            tape,
            Options(request, learner, seconds) with
            {
                StartSeconds = start,
                Backward = request.Direction == TapeDirection.Reverse,
            }
        );
        var written = PracticeFolder.Write(session.Sound, request.Out);
        File.WriteAllText(leaflet, TestTapeLeaflet.ToJson(tape));
        lines.Add($"{leaflet}: the tape's leaflet, for --test-tape");
        return written;
    }

    private static double Own(PracticeDeck deck, RecordedTape tape, PassRequest request, LearnersDeck learner, double? seconds)
    {
        if (Math.Abs(tape.SpeedCmPerS - request.SpeedCmPerS) > 0.01)
            throw new CallException(FormattableString.Invariant($"--speed: the tape was recorded at {tape.SpeedCmPerS} cm/s"));
        var last = tape.Recorded(request.Direction)?.To ?? tape.Recorded(Other(request.Direction))?.To ?? 10;
        using var session = deck.Play(tape, Options(request, learner, seconds ?? last) with { SampleRateHz = tape.SampleRateHz });
        return PracticeFolder.Write(session.Sound, request.Out);
    }

    private static TapeDirection Other(TapeDirection direction) =>
        direction == TapeDirection.Forward ? TapeDirection.Reverse : TapeDirection.Forward;

    private static PlayOptions Options(PassRequest request, LearnersDeck learner, double seconds) => new()
    {
        Direction = request.Direction,
        SpeedCmPerS = request.SpeedCmPerS,
        DurationSeconds = seconds,
        SampleRateHz = request.RateHz,
        Seed = learner.Passes,
        ReferenceDbfs = ReferenceDbfs,
    };
}
