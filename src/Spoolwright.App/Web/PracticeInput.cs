using System.Diagnostics;
using Spoolwright.App.Practice;
using Spoolwright.Bench.Controls;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Live;
using Spoolwright.Practice.Controls;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Hidden;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Tape;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Web;

/// <summary>
/// The practice deck as a live input: plays a tape, or records what is sent and is heard off tape, in real time, and its controls may be
/// turned meanwhile. The same deck as <c>spoolwright practice</c> keeps in a folder, so both can be used on it.
/// </summary>
internal sealed class PracticeInput : IDisposable
{
    /// <summary>Rate it is played at, Hz.</summary>
    public const int SampleRateHz = 48_000;

    /// <summary>Reference level at its interface, dBFS.</summary>
    public const double ReferenceDb = -12;

    private const int BlockFrames = 480;
    private const int FadeFrames = 240;

    // From the record head to the replay head at the slowest speed, and some: what is thrown away of a recording that goes on from another.
    private const double BehindSeconds = 0.6;
    private const double TapeSeconds = 3600;
    private readonly LiveSession _session;
    private readonly PracticeFolder _folder;
    private readonly LearnersDeck _learner;
    private readonly PracticeTape _tape;
    private readonly TapeDirection _direction;
    private readonly double _speed;
    private readonly SentSignal? _sent;
    private readonly string _setting;
    private readonly CancellationTokenSource _stop = new();
    private readonly float[] _left = new float[BlockFrames],
        _right = new float[BlockFrames],
        _nextLeft = new float[FadeFrames],
        _nextRight = new float[FadeFrames];
    private (SoundSource Sound, IDisposable Owner) _pass;
    private SignalProgram? _program;
    private volatile PracticeDeck? _turned;
    private double _startedAt;
    private long _played;
    private Task _playing = Task.CompletedTask;

    /// <param name="session">Hears it.</param>
    /// <param name="shelf">Where its folder lies.</param>
    /// <param name="context">Direction, speed and tape setting it is switched to.</param>
    /// <param name="tape">What is threaded.</param>
    /// <param name="sent">What is sent to its input; null: nothing, or the tape plays.</param>
    public PracticeInput(LiveSession session, BookShelf shelf, LiveContext context, string tape, SentSignal? sent)
    {
        (_session, _sent, Tape) = (session, sent, tape);
        _folder = Folder(shelf);
        if (!File.Exists(_folder.DeckFile))
            _folder.Create(LearnersDeck.Draw(Random.Shared.Next(1, 1_000_000), 3));
        _learner = _folder.Load();
        _direction = context.Condition?.Direction == Bench.Direction.Reverse ? TapeDirection.Reverse : TapeDirection.Forward;
        _speed = Bench.Tape.TapeSpeed.Same(context.Condition?.SpeedCmPerS ?? 19.05, 9.525) ? 9.525 : 19.05;
        var settings = _learner.Board.Deck.Recorder!.Settings;
        _setting = (settings.FirstOrDefault(s => s.Name == context.Condition?.TapeSetting) ?? settings[0]).Name;
        _tape = PracticeTapes.Of(tape, _speed);
        IsRecording = tape == PracticeTapes.Record;
        Leaflet = IsRecording ? null : TestTapeFile.Parse(TestTapeLeaflet.ToJson(_tape)).Value;
        _pass = Pass(_learner.Board.Deck, 0);
    }

    /// <summary>The word of the tape that plays.</summary>
    public string Tape { get; }

    /// <summary>Whether it records and is heard off tape.</summary>
    public bool IsRecording { get; }

    /// <summary>The tape as its leaflet tells it; null for blank tape.</summary>
    public TestTape? Leaflet { get; }

    /// <summary>The practice deck's folder beside a book.</summary>
    public static PracticeFolder Folder(BookShelf shelf) => new(Path.Combine(Path.GetDirectoryName(shelf.Arriving)!, "practice"));

    /// <summary>Begins to play.</summary>
    public void Start() => _playing = Task.Run(Play);

    /// <summary>Feeds a program from its beginning in place of the steady tones.</summary>
    public void Send(SignalProgram program)
    {
        _program = program;
        _turned = _learner.Board.Deck;
    }

    /// <summary>Turns a control and gives how far it really went, turns.</summary>
    /// <exception cref="ArgumentException">There is no such control.</exception>
    public double Turn(string name, double turns)
    {
        _program = null; // what is being turned is watched by steady tones
        var result = _learner.Board.Turn(name, turns);
        _turned = _learner.Board.Deck;
        return result.MovedTurns;
    }

    /// <summary>Which practice deck it is.</summary>
    public long Specimen => _learner.Seed;

    /// <summary>How a control stands, for its knob.</summary>
    public PracticeControl Knob(string name) => _learner.Board.Control(name);

    /// <summary>The controls of an adjustment as the adviser knows them: how they stand, not what they do.</summary>
    public IReadOnlyList<DeskControl> Controls(LiveAdjustment adjustment)
    {
        var word = _direction == TapeDirection.Forward ? "forward" : "reverse";
        return adjustment.Id switch
        {
            "speed" => [One("speed", Bench.Channel.Both, adjustment)],
            "azimuth" => [One(word + ".play-azimuth", Bench.Channel.Both, adjustment)],
            "record-azimuth" => [One(word + ".record-azimuth", Bench.Channel.Both, adjustment)],
            "level" => Pair("play-level", ""),
            "equalization" => Pair("play-eq", ""),
            "bias" => Pair("bias", _setting + "."),
            "record-level" => Pair("record-level", _setting + "."),
            "record-equalization" => Pair("record-eq", _setting + "."),
            _ => [],
        };

        IReadOnlyList<DeskControl> Pair(string what, string setting) =>
            [
                One($"{word}.left.{setting}{what}", Bench.Channel.Left, adjustment),
                One($"{word}.right.{setting}{what}", Bench.Channel.Right, adjustment),
            ];
    }

    /// <summary>Stops playing; may be called from within the session.</summary>
    public void Stop()
    {
        _stop.Cancel();
        // A new deck may have been put in its place meanwhile.
        if (File.Exists(_folder.DeckFile) && _folder.Load().Seed == _learner.Seed)
            _folder.Save(_learner);
    }

    public void Dispose()
    {
        Stop();
        _playing.Wait(TimeSpan.FromSeconds(2));
        _stop.Dispose();
    }

    private DeskControl One(string name, Bench.Channel channel, LiveAdjustment adjustment) =>
        new(
            name,
            channel,
            () =>
            {
                var control = _learner.Board.Control(name);
                return new Control
                {
                    Name = name,
                    Unit = TurnUnit.Turn,
                    From = control.LeastTurns,
                    To = control.MostTurns,
                    Start = control.ShaftTurns,
                    Kind = adjustment.Control,
                };
            }
        );

    private (SoundSource, IDisposable) Pass(PracticeDeck deck, double start)
    {
        _startedAt = start;
        _played = 0;
        return IsRecording ? Recording(deck, start) : Playing(deck, start);
    }

    private (SoundSource, IDisposable) Playing(PracticeDeck deck, double start)
    {
        var session = deck.Play(_tape, new PlayOptions
        {
            Direction = _direction,
            SpeedCmPerS = _speed,
            Backward = _direction == TapeDirection.Reverse,
            StartSeconds = start,
            DurationSeconds = Math.Max(1, _tape.Seconds - start),
            SampleRateHz = SampleRateHz,
            Seed = _learner.Seed + (long)start,
            ReferenceDbfs = ReferenceDb,
        });
        return (session.Sound, session);
    }

    private (SoundSource, IDisposable) Recording(PracticeDeck deck, double start)
    {
        // A recording that goes on from another begins earlier, so that the replay head has tape to hear that was recorded.
        var behind = Math.Min(start, BehindSeconds);
        var from = start - behind;
        SoundSource fed = _program is { } program
            ? new ProgramSound(program, SampleRateHz, ReferenceDb)
            : new SteadyTones(_sent ?? new SentSignal("", []), SampleRateHz, ReferenceDb, from);
        var stock = deck.Recorder!.Setting(_setting).LaidOutFor;
        var monitor = deck.Monitor(
            RecordedTape.Blank(stock, _speed, SampleRateHz, TapeSeconds + 60),
            new RecordOptions
            {
                Direction = _direction,
                SpeedCmPerS = _speed,
                Setting = _setting,
                SampleRateHz = SampleRateHz,
                StartSeconds = from,
                Seed = _learner.Seed + (long)from,
                ReferenceDbfs = ReferenceDb,
            },
            fed,
            Math.Max(1, TapeSeconds - from));
        if (_program is null)
            Skip(monitor.Sound, (int)(behind * SampleRateHz));
        return (monitor.Sound, monitor);
    }

    private static void Skip(SoundSource sound, int frames)
    {
        float[] left = new float[4096],
            right = new float[4096];
        while (
            frames > 0
            && sound.Read(left.AsSpan(0, Math.Min(frames, left.Length)), right.AsSpan(0, Math.Min(frames, left.Length))) is > 0 and var got
        )
            frames -= got;
    }

    private async Task Play()
    {
        var clock = Stopwatch.StartNew();
        long sent = 0;
        try
        {
            using var timer = new PeriodicTimer(TimeSpan.FromMilliseconds(8));
            while (await timer.WaitForNextTickAsync(_stop.Token).ConfigureAwait(false))
            {
                var due = (long)(clock.Elapsed.TotalSeconds * SampleRateHz);
                // After a pause of the whole machine the deck plays on from where it was, not faster.
                if (due - sent > SampleRateHz / 2)
                    sent = due - BlockFrames;
                for (; sent + BlockFrames <= due; sent += BlockFrames)
                {
                    Next();
                    _session.HearPractice(this, _left, _right);
                }
            }
        }
        catch (OperationCanceledException)
        {
            // Stopped.
        }

        _pass.Owner.Dispose();
    }

    private void Next()
    {
        var got = _pass.Sound.Read(_left, _right);
        _played += got;
        if (got < BlockFrames)
        {
            // The tape's end: rewound.
            _left.AsSpan(got).Clear();
            _right.AsSpan(got).Clear();
            _pass.Owner.Dispose();
            _pass = Pass(_learner.Board.Deck, 0);
        }

        if (Interlocked.Exchange(ref _turned, null) is not { } deck)
            return;
        var old = _pass;
        _pass = Pass(deck, _startedAt + ((double)_played / SampleRateHz));
        _pass.Sound.Read(_nextLeft, _nextRight);
        _played += FadeFrames;
        // From the deck as it stood to the deck as it stands without a click.
        for (var i = 0; i < FadeFrames; i++)
        {
            var share = (i + 1f) / FadeFrames;
            var at = BlockFrames - FadeFrames + i;
            (_left[at], _right[at]) = (
                ((1 - share) * _left[at]) + (share * _nextLeft[i]),
                ((1 - share) * _right[at]) + (share * _nextRight[i])
            );
        }

        old.Owner.Dispose();
    }
}
