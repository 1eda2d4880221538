using Spoolwright.Bench.Live;
using Spoolwright.Signal.Live;
using Spoolwright.Signal.Programs;

namespace Spoolwright.App.Web;

/// <content>What goes out to the deck, and the look at a known signal that comes back.</content>
internal sealed partial class LiveSession
{
    // What could record warns first, and does nothing while a test tape is named as threaded.
    private void Send(string name, double level)
    {
        if (_practice is null && _tape is { } tape)
            throw new Cli.CallException(
                $"The test tape {tape.Name} is named as threaded: nothing is sent, since a deck in record would put it over the tape. Take it off, thread blank tape, and press X to say so."
            );
        if (_input == "none")
            throw new Cli.CallException("Nothing is sent yet: press I and choose the input that hears the deck, or P for the practice deck.");
        var speed = _context.Condition?.SpeedCmPerS ?? 19.05;
        _outputDb = Math.Clamp(level, -60, -3);
        if (SentSignal.Find(name, speed) is { } signal)
        {
            _program = null;
            if (_practice is not null)
            {
                StopInput();
                Practise(PracticeTapes.Record, name);
                return;
            }

            Renew(_context with { Sent = signal, TestTape = null });
        }
        else if (ProgramList.Find(name) is { } kind)
        {
            _program = SignalCalls.Made(kind);
            if (_practice is { IsRecording: false })
            {
                StopInput();
                Practise(PracticeTapes.Record, "level");
            }

            Renew(_context with { Sent = new SentSignal(name, []), TestTape = null });
            _practice?.Send(_program);
        }
        else
        {
            throw new Cli.CallException($"There is no signal \"{name}\".");
        }
    }

    private void Silence()
    {
        (_program, _check) = (null, null);
        if (_practice is { IsRecording: true })
            StopInput();
        else
            Renew(_context with { Sent = null, TestTape = _practice?.Leaflet ?? _tape });
    }

    private void Check()
    {
        if (_input != "microphone")
            throw new Cli.CallException("The check is of the browser's own input: press I and choose it first.");
        if (_tape is { } tape)
            throw new Cli.CallException(
                $"The test tape {tape.Name} is named as threaded: nothing is sent. Take it off and press X to say so."
            );
        _check = new InputCheck(_rate);
    }
}
