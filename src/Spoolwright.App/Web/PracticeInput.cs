using System.Diagnostics;
using System.Text.Json;
using Spoolwright.App.Practice;
using Spoolwright.Bench.Controls;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Live;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Hidden;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;

namespace Spoolwright.App.Web;

/// <summary>
/// The practice deck as a live input: plays a tape in real time, and its controls may be turned meanwhile. The same deck as <c>spoolwright practice</c>
/// keeps in a folder, so both can be used on it.
/// </summary>
internal sealed class PracticeInput : IDisposable
{
    /// <summary>Rate it is played at, Hz.</summary>
    public const int SampleRateHz = 48_000;

    private const int BlockFrames = 480;
    private const int FadeFrames = 240;
    private readonly LiveSession _session;
    private readonly PracticeFolder _folder;
    private readonly LearnersDeck _learner;
    private readonly PracticeTape _tape;
    private readonly TapeDirection _direction;
    private readonly double _speed;
    private readonly CancellationTokenSource _stop = new();
    private readonly float[] _left = new float[BlockFrames], _right = new float[BlockFrames], _nextLeft = new float[FadeFrames], _nextRight = new float[FadeFrames];
    private PlaySession _pass;
    private volatile PracticeDeck? _turned;
    private double _startedAt;
    private long _played;
    private Task _playing = Task.CompletedTask;

    public PracticeInput(LiveSession session, BookShelf shelf, LiveContext context, string tape)
    {
        _session = session;
        _folder = new PracticeFolder(Path.Combine(Path.GetDirectoryName(shelf.Arriving)!, "practice"));
        if (!File.Exists(_folder.DeckFile))
            _folder.Create(LearnersDeck.Draw(Random.Shared.Next(1, 1_000_000), 3));
        _learner = _folder.Load();
        _direction = context.Condition?.Direction == Bench.Direction.Reverse ? TapeDirection.Reverse : TapeDirection.Forward;
        _speed = Bench.Tape.TapeSpeed.Same(context.Condition?.SpeedCmPerS ?? 19.05, 9.525) ? 9.525 : 19.05;
        Tape = tape;
        _tape = tape switch { "speed" => RestorersTapes.Speed(_speed), "levels" => RestorersTapes.Levels(_speed), _ => AzimuthLoop(_speed) };
        Leaflet = TestTapeFile.Parse(TestTapeLeaflet.ToJson(_tape)).Value;
        _pass = Pass(_learner.Board.Deck, 0);
    }

    /// <summary>The word of the tape that plays: <c>azimuth</c>, <c>levels</c>, <c>speed</c>.</summary>
    public string Tape { get; }

    /// <summary>The tape as its leaflet tells it.</summary>
    public TestTape? Leaflet { get; }

    /// <summary>Begins to play.</summary>
    public void Start() => _playing = Task.Run(Play);

    /// <summary>Turns a control and gives how far it really went, turns.</summary>
    /// <exception cref="ArgumentException">There is no such control.</exception>
    public double Turn(string name, double turns)
    {
        var result = _learner.Board.Turn(name, turns);
        _turned = _learner.Board.Deck;
        return result.MovedTurns;
    }

    /// <summary>The azimuth screw of this direction, as the adviser knows it: how it stands, not what it does.</summary>
    public Control AzimuthControl()
    {
        var name = (_direction == TapeDirection.Forward ? "forward" : "reverse") + ".play-azimuth";
        var control = _learner.Board.Control(name);
        return new Control { Name = name, Unit = TurnUnit.Turn, From = control.LeastTurns, To = control.MostTurns, Start = control.ShaftTurns, Kind = ControlKind.AzimuthScrew };
    }

    /// <summary>The controls that do something to this pass, for the page's knobs.</summary>
    public void Write(Utf8JsonWriter json)
    {
        var word = _direction == TapeDirection.Forward ? "forward." : "reverse.";
        json.WriteStartObject("practice");
        json.WriteString("tape", Tape);
        WebJson.Array(json, "controls", [.. _learner.Board.Controls.Where(c => c.Name.StartsWith(word, StringComparison.Ordinal) && c.Name.Contains(".play-", StringComparison.Ordinal))], static (json, c) =>
        {
            json.WriteString("name", c.Name);
            json.WriteString("meaning", c.Meaning);
            json.WriteNumber("at", c.ShaftTurns);
            json.WriteNumber("least", c.LeastTurns);
            json.WriteNumber("most", c.MostTurns);
        });
        json.WriteEndObject();
    }

    /// <summary>Stops playing; may be called from within the session.</summary>
    public void Stop()
    {
        _stop.Cancel();
        _folder.Save(_learner);
    }

    public void Dispose()
    {
        Stop();
        _playing.Wait(TimeSpan.FromSeconds(2));
        _stop.Dispose();
    }

    // A tape to align by, as a restorer makes one loop of: low tones that name the cycle, then the high one at length; a round is shorter than a kept capture.
    private static PracticeTape AzimuthLoop(double speed)
    {
        var high = speed > 15 ? 10_000.0 : 8000.0;
        PracticeTone[] round = [new(1000, -10, 1.6, PracticeToneRole.Reference, GapSeconds: 0.1), new(4000, -10, 1.6, PracticeToneRole.Azimuth, GapSeconds: 0.1), new(high, -10, 8, PracticeToneRole.Azimuth, GapSeconds: 0.1)];
        return RestorersTapes.Levels(speed) with { Name = "Fellgate azimuth loop", Tones = [.. Enumerable.Repeat(round, 40).SelectMany(r => r)] };
    }

    private PlaySession Pass(PracticeDeck deck, double start)
    {
        _startedAt = start;
        _played = 0;
        return deck.Play(_tape, new PlayOptions
        {
            Direction = _direction,
            SpeedCmPerS = _speed,
            Backward = _direction == TapeDirection.Reverse,
            StartSeconds = start,
            DurationSeconds = Math.Max(1, _tape.Seconds - start),
            SampleRateHz = SampleRateHz,
            Seed = _learner.Seed + (long)start,
            ReferenceDbfs = -12,
        });
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

        _pass.Dispose();
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
            _pass.Dispose();
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
            (_left[at], _right[at]) = (((1 - share) * _left[at]) + (share * _nextLeft[i]), ((1 - share) * _right[at]) + (share * _nextRight[i]));
        }

        old.Dispose();
    }
}
