using System.Text.Json;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Live;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;
using Spoolwright.Storage;

namespace Spoolwright.App.Web;

/// <summary>What is to be kept, and under what.</summary>
internal sealed record KeepRequest(MeasurementEntry Entry, FiledUnder Under, LiveContext Context, bool IsPractice)
{
    /// <summary>Length, s; null: as usual for the measurement.</summary>
    public double? Seconds { get; init; }

    /// <summary>Whether it begins at once: a program of our own begins with its marker, not with a tone.</summary>
    public bool AtOnce { get; init; }

    /// <summary>The input as the page named it.</summary>
    public string Input { get; init; } = "the browser's input";
}

/// <summary>
/// A capture that is kept: waits for a tone, writes the sound as it came in (32-bit floating point, nothing changed), measures the finished
/// file as any file is measured, and files it under its condition. A capture in which sound was lost is refused.
/// </summary>
internal sealed class KeptCapture
{
    private const double LongestSeconds = 1800;
    private readonly BookShelf _shelf;
    private readonly KeepRequest _request;
    private readonly int _rate;
    private readonly double _seconds;
    private readonly string _path;
    private readonly int _breaksBefore;
    private FileStream? _file;
    private WavWriter? _writer;
    private volatile string _state = "waiting";
    private string? _text;
    private MeasuredFile? _measured;
    private double _toneSeconds;
    private double _lastSeen;
    private volatile int _progress;

    public KeptCapture(BookShelf shelf, KeepRequest request, int sampleRateHz, int breaksBefore)
    {
        (_shelf, _request, _rate, _breaksBefore) = (shelf, request, sampleRateHz, breaksBefore);
        _seconds = Math.Clamp(request.Seconds ?? Usual(request.Entry.Id), 1, LongestSeconds);
        _path = shelf.NewArrival("kept.wav");
        if (request.AtOnce)
            Begin();
    }

    /// <summary>Whether it still waits or writes, so that pressing the key again ends it.</summary>
    public bool IsBusy => _state is "waiting" or "recording";

    /// <summary>How long a measurement is usually kept, s.</summary>
    public static double Usual(string measurement) =>
        measurement switch
        {
            "speed" => 35,
            "azimuth" => 12,
            "playback" => 120,
            "bias" => 60,
            _ => 20,
        };

    /// <summary>Takes the sound as it comes.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        if (_state != "recording" || _writer is not { } writer || left.Length == 0)
            return;
        try
        {
            writer.Write(left, right);
        }
        catch (IOException e)
        {
            Refuse($"The capture could not be written: {e.Message}");
            return;
        }

        if (writer.Frames >= _seconds * _rate)
            Finish();
    }

    /// <summary>Looks whether the tone has come: it has to stand for a third of a second. And whether sound was lost, by the sound
    /// itself.</summary>
    public void Watch(LivePicture picture, int breaks)
    {
        if (_state == "recording" && breaks > _breaksBefore)
        {
            Lose();
            return;
        }

        if (_state != "waiting")
            return;
        var passed = Math.Clamp(picture.Input.Seconds - _lastSeen, 0, 0.2);
        _lastSeen = picture.Input.Seconds;
        _toneSeconds = picture.Tones.Any(t => t.AgeSeconds == 0) ? _toneSeconds + passed : 0;
        if (_toneSeconds >= 0.33)
            Begin();
    }

    /// <summary>Sound was lost on the way.</summary>
    public void Lose()
    {
        if (_state == "recording")
            Refuse("Sound was lost on its way from the input: such a capture is not measured. Close other programs and press again.");
    }

    /// <summary>Ends the recording and measures what there is.</summary>
    public void Finish()
    {
        if (_state != "recording")
        {
            Refuse("No tone came: nothing was kept.");
            return;
        }

        Close();
        _state = "measuring";
        _ = Task.Run(Measure);
    }

    /// <summary>Leaves it: nothing is kept.</summary>
    public void Abandon(string why)
    {
        if (_state is "waiting" or "recording")
            Refuse(why);
    }

    /// <summary>How far it is and what came of it.</summary>
    public void Write(Utf8JsonWriter json)
    {
        json.WriteStartObject("keep");
        json.WriteString("measurement", _request.Entry.Id);
        json.WriteString("state", _state);
        json.WriteNumber("wanted", _seconds);
        json.WriteNumber("seconds", (_writer?.Frames ?? 0) / (double)_rate);
        json.WriteNumber("progress", _progress / 100.0);
        json.WriteString("text", _text);
        if (_state == "done" && _measured is { } measured)
            PictureJson.WriteMeasured(json, measured);
        json.WriteEndObject();
    }

    private void Begin()
    {
        _file = new FileStream(_path, FileMode.CreateNew, FileAccess.ReadWrite);
        _writer = new WavWriter(_file, _rate, 2, WavSamples.Float32);
        _state = "recording";
    }

    private void Measure()
    {
        try
        {
            var (context, under) = (_request.Context, _request.Under);
            var limits = context.Profile?.Limits ?? [];
            var measured = FileMeasurement.Run(
                _request.Entry,
                _path,
                channels: null,
                BenchSettings.Of(_shelf, _request.Entry, under.Job, under.Condition, context),
                limits,
                new Steps(p => _progress = (int)(100 * p))
            );
            measured = measured with { Capture = measured.Capture with { File = Filer.Name(_request.Entry.Id, under.Condition) } };
            var earlier = Filer.File(
                _shelf,
                under,
                measured,
                limits,
                () => File.OpenRead(_path),
                Filer.Instruments(_request.IsPractice, context.Sent is null ? context.TestTape : null, _request.Input)
            );
            _measured = measured;
            var verdict = Judge.Overall(measured.Judgements.Where(j => j.Reading is not null).Select(j => j.Verdict));
            _text =
                $"Kept and filed: {Cli.VerdictText.Word(verdict)}{(earlier is null ? "" : $"; it takes the place of the one of {earlier.MeasuredAt.ToLocalTime():HH:mm}")}. V shows its readings.";
            _state = "done";
            File.Delete(_path);
        }
        catch (Exception e) when (e is CannotMeasureException or ServiceBookException or IOException or UnauthorizedAccessException)
        {
            Refuse(e.Message);
        }
    }

    private void Refuse(string why)
    {
        _text = why;
        _state = "refused";
        Close();
        try
        {
            File.Delete(_path);
        }
        catch (IOException)
        {
            // It lies in the folder of arrivals, under a name nobody uses again.
        }
    }

    private void Close()
    {
        try
        {
            _writer?.Dispose();
        }
        catch (IOException)
        {
            // A full disk: said already.
        }

        _file?.Dispose();
        _file = null;
    }

    private sealed class Steps(Action<double> tell) : IProgress<double>
    {
        public void Report(double value) => tell(value);
    }
}
