using System.Text.Json;
using Spoolwright.Bench;
using Spoolwright.Bench.Controls;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Live;
using Spoolwright.Bench.Measurements;
using Spoolwright.Storage;

namespace Spoolwright.App.Web;

/// <summary>
/// What one page does at the bench: which deck and condition, where the sound comes from, the meters it runs through, what is kept of it, and what was turned.
/// Sound, commands and pictures come from different threads; all of it is behind one lock, and none of it waits.
/// </summary>
internal sealed class LiveSession(BookShelf shelf) : IDisposable
{
    // The first moments of a microphone's sound may slip; they are thrown away.
    private const double ThrownAwaySeconds = 0.3;
    private readonly Lock _lock = new();
    private LiveContext _context = new();
    private Guid? _job;
    private TestTape? _tape;
    private LiveMeters? _meters;
    private int _rate;
    private long _toThrow;
    private uint _nextBlock;
    private uint _lastBlock;
    private int _lostBlocks;
    private string _input = "none";
    private string? _problem;
    private bool _wantsRings;
    private PracticeInput? _practice;
    private KeptCapture? _kept;
    private TurnJournal? _journal;
    private DateTimeOffset _readAfter;
    private LivePicture? _last;

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
            catch (Exception e) when (e is ServiceBookException or Cli.CallException or ArgumentException or IOException)
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
            _last = picture;
            if (picture is not null && _journal is { IsPending: true } && TimeProvider.System.GetUtcNow() > _readAfter && Wanted(picture) is { } reading)
                _journal.ReadAfter(reading);
            if (picture is not null)
                _kept?.Watch(picture);
            return WebJson.Bytes(json =>
            {
                json.WriteString("source", _input);
                json.WriteNumber("block", _lastBlock);
                json.WriteNumber("lostBlocks", _lostBlocks);
                json.WriteString("problem", _problem);
                if (picture is not null)
                    PictureJson.Write(json, picture);
                _kept?.Write(json);
                PictureJson.WriteTurning(json, _journal);
                _practice?.Write(json);
            });
        }
    }

    public void Dispose()
    {
        PracticeInput? practice;
        lock (_lock)
        {
            (practice, _practice) = (_practice, null);
            _kept?.Abandon();
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
                break;
            case "microphone":
                StopInput();
                _context = _context with { TestTape = _tape };
                Open("microphone", (int)(WebJson.Number(command, "rate") ?? throw new Cli.CallException("The input's rate is missing.")));
                break;
            case "stop":
                StopInput();
                break;
            case "practice":
                StopInput();
                _practice = new PracticeInput(this, shelf, _context, WebJson.Text(command, "tape") ?? "azimuth");
                _context = _context with { TestTape = _practice.Leaflet };
                Open("practice", PracticeInput.SampleRateHz);
                _practice.Start();
                break;
            case "knob":
                Turn(WebJson.Text(command, "name") ?? "", WebJson.Number(command, "turns") ?? 0);
                break;
            case "begin":
                Begin();
                break;
            case "turned":
                Turned(WebJson.Text(command, "text") ?? "");
                break;
            case "forget":
                _meters?.Forget();
                break;
            case "keep":
                Keep(command);
                break;
            case "drop":
                _kept?.Abandon();
                _kept = null;
                break;
        }
    }

    private void Choose(JsonElement command)
    {
        DeckProfile? profile = null;
        _job = null;
        if (WebJson.Text(command, "job") is { } text && Guid.TryParse(text, out var id))
        {
            profile = shelf.Job(id).Profile;
            _job = id;
        }

        var speed = WebJson.Number(command, "speed") ?? profile?.SpeedsCmPerS[^1] ?? 19.05;
        var condition = new Condition(DeckWords.FindDirection(WebJson.Text(command, "direction")) ?? Direction.Forward, Math.Clamp(speed, 1, 200));
        _tape = WebJson.Text(command, "tape") is { Length: > 0 } leaflet ? TestTapeFile.Parse(leaflet).Value ?? throw new Cli.CallException("The test tape's leaflet cannot be used: " + TestTapeFile.Parse(leaflet).Problems[0]) : null;
        _context = _context with { Profile = profile, Condition = condition, TestTape = _tape };
        if (_practice is { } practice)
        {
            // Another direction or speed is another pass of the tape.
            var tape = practice.Tape;
            StopInput();
            _practice = new PracticeInput(this, shelf, _context, tape);
            _context = _context with { TestTape = _practice.Leaflet };
            Open("practice", PracticeInput.SampleRateHz);
            _practice.Start();
        }
        else if (_meters is not null)
        {
            _meters = new LiveMeters(_rate, _context);
        }

        _journal = null;
    }

    private void Open(string input, int rate)
    {
        _meters = new LiveMeters(rate, _context);
        (_input, _rate, _toThrow, _nextBlock, _lastBlock, _lostBlocks) = (input, rate, (long)(ThrownAwaySeconds * rate), 0, 0, 0);
        _journal = null;
    }

    private void StopInput()
    {
        _kept?.Abandon();
        _practice?.Stop();
        (_practice, _meters, _input, _kept) = (null, null, "none", null);
    }

    private LiveReading? Wanted(LivePicture picture) =>
        picture.Readings.FirstOrDefault(r => r.Reading.Quantity == (_journal?.Quantity ?? Quantity.AzimuthAngle).Id);

    private void Begin()
    {
        var control = _practice?.AzimuthControl() ?? new Control { Name = "azimuth screw", Unit = TurnUnit.Turn, From = -2.5, To = 2.5, Start = 0, Kind = ControlKind.AzimuthScrew };
        _journal = new TurnJournal(control, Quantity.AzimuthAngle);
        var reading = _last is { } picture ? Wanted(picture) : null;
        if (reading is null || !_journal.Begin(reading))
        {
            _journal = null;
            _problem = reading is null ? "There is no angle to start from: play an azimuth tone, and choose a deck whose profile gives its tracks." : "The deck's profile has no limit for azimuth-angle, so there is no target.";
        }
    }

    private void Turned(string text)
    {
        if (_journal is null)
            Begin();
        if (_journal is null)
            return;
        if (TurnText.Legs(text, TurnUnit.Turn, out var problem) is not { } legs)
        {
            _problem = problem;
            return;
        }

        foreach (var leg in legs)
            _journal.Turned(leg);
        _readAfter = default;
    }

    private void Turn(string name, double turns)
    {
        if (_practice is not { } practice)
            return;
        var moved = practice.Turn(name, Math.Clamp(turns, -1, 1));
        if (practice.AzimuthControl().Name != name)
            return;
        if (_journal is null)
            Begin();
        _journal?.Turned(moved);
        _readAfter = TimeProvider.System.GetUtcNow().AddSeconds(1.2);
    }

    private void Keep(JsonElement command)
    {
        if (_meters is null || _context.Condition is not { } condition)
            throw new Cli.CallException("There is no sound to keep: choose an input first.");
        if (_job is not { } job)
            throw new Cli.CallException("A capture is filed under a deck: choose one first.");
        if (_kept is { IsBusy: true } busy)
        {
            busy.Finish();
            return;
        }

        var entry = Catalogue.Find(WebJson.Text(command, "measurement") ?? "") ?? throw new Cli.CallException("There is no such measurement.");
        var mark = WebJson.Text(command, "mark") switch { "as-found" => Mark.AsFound, "first-run" => Mark.FirstRun, _ => Mark.AsLeft };
        _kept = new KeptCapture(shelf, new KeepRequest(entry, job, condition, mark, _context, _input == "practice"), _rate, WebJson.Number(command, "seconds"));
    }
}
