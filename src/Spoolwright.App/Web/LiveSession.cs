using System.Text.Json;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Live;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal.Live;
using Spoolwright.Signal.Programs;
using Spoolwright.Storage;

namespace Spoolwright.App.Web;

/// <summary>
/// What is done at the bench: which deck and condition, where the sound comes from, the meters it runs through, what is sent, what is kept, and what was turned.
/// Sound, commands and pictures come from different threads; all of it is behind one lock, and none of it waits.
/// </summary>
internal sealed partial class LiveSession(BookShelf shelf) : IDisposable
{
    // The first moments of a microphone's sound may slip; they are thrown away.
    private const double ThrownAwaySeconds = 0.3;
    private readonly Lock _lock = new();
    private readonly SessionDesks _desks = new(shelf);
    private readonly PlaybackSkews _playbackSkews = new(shelf);
    private LiveContext _context = new();
    private Guid? _job;
    private string _deck = "";
    private TestTape? _tape;
    private double? _referenceDb;
    private LiveMeters? _meters;
    private InputCheck? _check;
    private int _rate;
    private long _toThrow;
    private uint _nextBlock;
    private uint _lastBlock;
    private int _lostBlocks;
    private string _input = "none";
    private string _inputName = "";
    private string? _problem;
    private bool _wantsRings;
    private SignalProgram? _program;
    private double _outputDb = -12;
    private PracticeInput? _practice;
    private KeptCapture? _kept;

    /// <summary>Takes a block from the page's own input.</summary>
    public void Hear(ReadOnlySpan<byte> bytes)
    {
        if (!SoundBlock.TryRead(bytes, out var block))
            return;
        lock (_lock)
        {
            if (_input != "microphone")
                return;
            if (block.Number != _nextBlock)
            {
                _lostBlocks++;
                _kept?.Lose();
            }

            (_lastBlock, _nextBlock) = (block.Number, block.Number + 1);
            var skip = (int)Math.Min(_toThrow, block.Left.Length);
            _toThrow -= skip;
            Feed(block.Left[skip..], block.Right[skip..]);
        }
    }

    /// <summary>Carries out one command of the page.</summary>
    public void Do(JsonElement command)
    {
        lock (_lock)
        {
            _problem = null;
            try
            {
                Carry(command);
            }
            catch (Exception e) when (e is ServiceBookException or Cli.CallException or ArgumentException or IOException or UnauthorizedAccessException)
            {
                _problem = e.Message;
            }
        }
    }

    /// <summary>The picture now, as it goes to the page.</summary>
    public ReadOnlyMemory<byte> Picture()
    {
        lock (_lock)
        {
            var picture = _meters?.Read(_wantsRings);
            if (picture is not null)
            {
                _playbackSkews.See(picture, _context, DeckHeard);
                _desks.See(picture, _context);
                _kept?.Watch(picture, _meters!.Breaks);
            }

            return WebJson.Bytes(json => Write(json, picture));
        }
    }

    public void Dispose()
    {
        PracticeInput? practice;
        lock (_lock)
        {
            (practice, _practice) = (_practice, null);
            _kept?.Abandon("The page was left: nothing was kept.");
            _input = "none";
        }

        practice?.Dispose();
    }

    /// <summary>Takes sound made on the server.</summary>
    internal void HearPractice(PracticeInput from, ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        lock (_lock)
        {
            if (ReferenceEquals(_practice, from))
                Feed(left, right);
        }
    }

    private void Feed(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        _meters?.Add(left, right);
        _kept?.Add(left, right);
        _check?.Add(left, right);
    }

    private void Write(Utf8JsonWriter json, LivePicture? picture)
    {
        json.WriteString("source", _input);
        json.WriteNumber("block", _lastBlock);
        json.WriteNumber("lostBlocks", _lostBlocks);
        json.WriteString("problem", _problem);
        json.WriteStartObject("bench");
        json.WriteString("deck", _deck);
        json.WriteString("job", _job?.ToString());
        json.WriteString("direction", DeckWords.Word(_context.Condition?.Direction ?? Direction.Forward));
        json.WriteNumber("speed", _context.Condition?.SpeedCmPerS ?? 19.05);
        json.WriteString("setting", _context.Condition?.TapeSetting);
        json.WriteString("tape", _tape?.Name);
        WebJson.Number(json, "reference", _context.ReferenceDb);
        json.WriteEndObject();
        if (picture is not null)
            PictureJson.Write(json, picture);
        if (_context.Sent is { } sent)
            PictureJson.WriteSent(json, sent, _program, _practice is null ? _outputDb : PracticeInput.ReferenceDb);
        _kept?.Write(json);
        if (_check is { } check)
            PictureJson.WriteCheck(json, check);
        PictureJson.WriteDesk(json, _desks.Active, _practice);
        if (_practice is { } practice)
            json.WriteString("practiceTape", practice.Tape);
    }

    private void Carry(JsonElement command)
    {
        switch (WebJson.Text(command, "do"))
        {
            case "deck":
                Choose(command);
                break;
            case "screen":
                _wantsRings = WebJson.Text(command, "screen") == "speed";
                _desks.Show(LiveAdjustment.Find(WebJson.Text(command, "adjustment")));
                break;
            case "microphone":
                StopInput();
                _inputName = WebJson.Text(command, "name") ?? "";
                Open("microphone", (int)(WebJson.Number(command, "rate") ?? throw new Cli.CallException("The input's rate is missing.")));
                break;
            case "stop":
                StopInput();
                break;
            case "practice":
                StopInput();
                Practise(WebJson.Text(command, "tape") ?? "azimuth", WebJson.Text(command, "signal"));
                break;
            case "send":
                Send(WebJson.Text(command, "signal") ?? "", WebJson.Number(command, "level") ?? _outputDb);
                break;
            case "check":
                Check();
                break;
            case "silence":
                Silence();
                break;
            case "reference":
                _referenceDb = WebJson.Number(command, "db") is { } db ? Math.Clamp(db, -60, 0) : null;
                Renew(_context with { ReferenceDb = _referenceDb });
                break;
            case "radii":
                Renew(_context with { Radii = Radii(command) });
                break;
            case "knob":
                Turn(WebJson.Text(command, "name") ?? "", WebJson.Number(command, "turns") ?? 0);
                break;
            case "begin":
                _desks.Active?.Begin();
                break;
            case "turned":
                _desks.Turned(WebJson.Text(command, "control") ?? "", WebJson.Text(command, "text") ?? "", _job, _context);
                break;
            case "forget":
                _meters?.Forget();
                break;
            case "keep":
                Keep(command);
                break;
            case "unmeasured":
                Leave(command);
                break;
            case "drop":
                _kept?.Abandon("Given up.");
                _kept = null;
                break;
        }
    }

    private void Choose(JsonElement command)
    {
        DeckProfile? profile = null;
        (_job, _deck) = (null, "");
        if (WebJson.Text(command, "job") is { } text && Guid.TryParse(text, out var id))
        {
            var (file, read) = shelf.Job(id);
            (profile, _job, _deck) = (read, id, $"{file.Deck.ProfileName}, {file.Deck.SerialNumber}");
        }

        var speed = WebJson.Number(command, "speed") ?? profile?.SpeedsCmPerS[^1] ?? 19.05;
        var setting = WebJson.Text(command, "setting") is { Length: > 0 } word && (profile is null || profile.TapeSettings.Contains(word, StringComparer.Ordinal)) ? word : profile?.TapeSettings.FirstOrDefault();
        var condition = new Condition(DeckWords.FindDirection(WebJson.Text(command, "direction")) ?? Direction.Forward, Math.Clamp(speed, 1, 200), setting);
        var parsed = WebJson.Text(command, "tape") is { Length: > 0 } leaflet ? TestTapeFile.Parse(leaflet) : null;
        _tape = parsed is null ? null : parsed.Value ?? throw new Cli.CallException("The test tape's leaflet cannot be used: " + parsed.Problems[0]);
        if (_tape is not null && _input == "microphone" && _context.Sent is not null)
        {
            Silence();
            _problem = $"{_tape.Name} is threaded now: sending has stopped, so that nothing is recorded over it.";
        }

        _referenceDb = WebJson.Number(command, "reference") ?? _referenceDb;
        _context = _context with { Profile = profile, Condition = condition, TestTape = _tape, ReferenceDb = _referenceDb };
        _desks.Clear();
        if (_practice is { } practice)
        {
            // Another direction, speed or setting is another pass of the tape.
            var (tape, signal) = (practice.Tape, _context.Sent?.Name);
            StopInput();
            Practise(tape, signal);
        }
        else
        {
            Renew(_context with { Sent = _context.Sent is { } sent ? SentSignal.Find(sent.Name, condition.SpeedCmPerS) : null });
        }
    }

    private void Practise(string tape, string? signal)
    {
        var sent = tape == PracticeTapes.Record ? SentSignal.Find(signal ?? "bias", _context.Condition?.SpeedCmPerS ?? 19.05) : null;
        _practice = new PracticeInput(this, shelf, _context, tape, sent);
        _context = _context with { TestTape = _practice.Leaflet, Sent = sent, ReferenceDb = PracticeInput.ReferenceDb, IsMadeHere = true };
        Open("practice", PracticeInput.SampleRateHz);
        _desks.Input = _practice;
        _practice.Start();
    }

    // Another context is other meters; what was heard before is not carried over.
    private void Renew(LiveContext context)
    {
        _context = context;
        if (_meters is not null)
            _meters = Meters(_rate);
    }

    private string DeckHeard => _practice is { } practice ? $"practice {practice.Specimen}" : _job?.ToString() ?? "";

    private LiveMeters Meters(int rate)
    {
        _context = _context with { PlaybackSkew = _context.Sent is null ? null : _playbackSkews.Of(DeckHeard, _practice is null ? _job : null, _context.Condition) };
        return new LiveMeters(rate, _context);
    }

    private void Open(string input, int rate)
    {
        _meters = Meters(rate);
        (_input, _rate, _toThrow, _nextBlock, _lastBlock, _lostBlocks) = (input, rate, input == "practice" ? 0 : (long)(ThrownAwaySeconds * rate), 0, 0, 0);
        _desks.Clear();
    }

    private void StopInput()
    {
        _kept?.Abandon("The input was left or lost: nothing was kept.");
        _practice?.Stop();
        (_practice, _meters, _input, _program, _check) = (null, null, "none", null, null);
        _desks.Input = null;
        _desks.Clear();
        _context = _context with { TestTape = _tape, Sent = null, ReferenceDb = _referenceDb, IsMadeHere = false };
    }

    private static Bench.Tape.ReelRadii? Radii(JsonElement command)
    {
        double? Millimetres(string name) => WebJson.Number(command, name) is { } mm && mm is >= 5 and <= 200 ? mm : null;
        var (supply, takeUp) = (Millimetres("supply"), Millimetres("takeUp"));
        return supply is null && takeUp is null ? null : new Bench.Tape.ReelRadii(supply, takeUp);
    }

    private void Turn(string name, double turns)
    {
        if (_practice is not { } practice)
            return;
        _meters?.PassOverJoint();
        _desks.TurnedBy(name, practice.Turn(name, Math.Clamp(turns, -1, 1)), _job, _context);
    }

    private (Guid Job, Condition Condition) Filed(string what)
    {
        if (_job is not { } job)
            throw new Cli.CallException($"{what} is filed under a deck: press 1 and choose one first.");
        return (job, _context.Condition ?? throw new Cli.CallException("No condition is chosen."));
    }

    private void Keep(JsonElement command)
    {
        if (_kept is { IsBusy: true } busy)
        {
            busy.Finish();
            return;
        }

        if (_meters is null)
            throw new Cli.CallException("There is no sound to keep: choose an input first (I).");
        var (job, condition) = Filed("A capture");
        var entry = Catalogue.Find(WebJson.Text(command, "measurement") ?? "") is { Measure: not null } found ? found : throw new Cli.CallException("There is no such measurement of sound.");
        var mark = MarkOf(command);
        var supersede = !command.TryGetProperty("supersede", out var wish) || wish.ValueKind != JsonValueKind.False;
        var seconds = WebJson.Number(command, "seconds");
        if (_program is { } program)
        {
            // A program is kept whole, from before its first marker to after its last has come off the tape.
            seconds ??= program.Seconds + 3;
            _practice?.Send(program);
        }

        _kept = new KeptCapture(
            shelf,
            new KeepRequest(entry, new FiledUnder(job, condition, mark, supersede), _context, _input == "practice") { Seconds = seconds, AtOnce = _program is not null || entry.Id is "noise", Input = _inputName.Length > 0 ? _inputName : "the browser's input" },
            _rate,
            _meters.Breaks);
    }

    private void Leave(JsonElement command)
    {
        var (job, condition) = Filed("Why a cell is empty");
        var reason = WebJson.Text(command, "reason")?.Trim();
        if (string.IsNullOrEmpty(reason) || reason.Length > 500)
            throw new Cli.CallException("Say in a few words why it could not run.");
        var measurement = WebJson.Text(command, "measurement");
        shelf.Book.FileUnmeasured(new Bench.Service.Unmeasured(job, Filer.Of(measurement ?? "", condition), MarkOf(command), reason, measurement));
    }

    private static Mark MarkOf(JsonElement command) => WebJson.Text(command, "mark") switch { "as-found" => Mark.AsFound, "first-run" => Mark.FirstRun, _ => Mark.AsLeft };
}
