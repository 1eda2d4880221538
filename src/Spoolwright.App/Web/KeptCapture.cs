using System.Globalization;
using System.Text.Json;
using Spoolwright.Bench;
using Spoolwright.Bench.Live;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;
using Spoolwright.Storage;

namespace Spoolwright.App.Web;

/// <summary>What is to be kept, and under what.</summary>
internal sealed record KeepRequest(MeasurementEntry Entry, Guid Job, Condition Condition, Mark Mark, LiveContext Context, bool IsPractice);

/// <summary>
/// A capture that is kept: waits for a tone, writes the sound as it came in (32-bit floating point, nothing changed), measures the finished file as any file is
/// measured, and files it under its condition. A capture in which sound was lost is refused.
/// </summary>
internal sealed class KeptCapture
{
    private const double LongestSeconds = 1800;
    private readonly BookShelf _shelf;
    private readonly KeepRequest _request;
    private readonly int _rate;
    private readonly double _seconds;
    private readonly string _path;
    private FileStream? _file;
    private WavWriter? _writer;
    private volatile string _state = "waiting";
    private string? _text;
    private MeasuredFile? _measured;
    private double _toneSeconds;
    private double _lastSeen;
    private volatile int _progress;

    public KeptCapture(BookShelf shelf, KeepRequest request, int sampleRateHz, double? seconds)
    {
        (_shelf, _request, _rate) = (shelf, request, sampleRateHz);
        _seconds = Math.Clamp(seconds ?? Usual(request.Entry.Id), 1, LongestSeconds);
        _path = shelf.NewArrival("kept.wav");
    }

    /// <summary>Whether it still waits or writes, so that pressing the key again ends it.</summary>
    public bool IsBusy => _state is "waiting" or "recording";

    /// <summary>Takes the sound as it comes.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        if (_state != "recording" || _writer is not { } writer || left.Length == 0)
            return;
        writer.Write(left, right);
        if (writer.Frames >= _seconds * _rate)
            Finish();
    }

    /// <summary>Looks whether the tone has come: it has to stand for a third of a second.</summary>
    public void Watch(LivePicture picture)
    {
        if (_state != "waiting")
            return;
        var passed = Math.Clamp(picture.Input.Seconds - _lastSeen, 0, 0.2);
        _lastSeen = picture.Input.Seconds;
        _toneSeconds = picture.Tones.Any(t => t.AgeSeconds == 0) ? _toneSeconds + passed : 0;
        if (_toneSeconds < 0.33)
            return;
        _file = new FileStream(_path, FileMode.CreateNew, FileAccess.ReadWrite);
        _writer = new WavWriter(_file, _rate, 2, WavSamples.Float32);
        _state = "recording";
    }

    /// <summary>Sound was lost on the way.</summary>
    public void Lose()
    {
        if (_state == "recording")
            Refuse("Sound was lost on its way from the browser: such a capture is not measured. Close other programs and press again.");
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
    public void Abandon()
    {
        if (_state is "waiting" or "recording")
            Refuse("Given up.");
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
        {
            json.WriteString("sha256", measured.Capture.Sha256);
            WebJson.Array(json, "readings", measured.Result.Readings, (json, r) =>
                PictureJson.WriteReading(json, new LiveReading(r, measured.Judgements.FirstOrDefault(j => ReferenceEquals(j.Reading, r)))));
        }

        json.WriteEndObject();
    }

    private static double Usual(string measurement) => measurement switch { "speed" => 35, "azimuth" => 12, "playback" => 120, _ => 20 };

    private void Measure()
    {
        try
        {
            var context = _request.Context;
            var settings = new MeasurementSettings { Profile = context.Profile, Condition = _request.Condition, TestTape = context.TestTape, NominalHz = context.NominalHz };
            var limits = context.Profile?.Limits ?? [];
            var measured = FileMeasurement.Run(_request.Entry, _path, channels: null, settings, limits, new Steps(p => _progress = (int)(100 * p)));
            var name = string.Create(CultureInfo.InvariantCulture, $"{_request.Entry.Id}-{_request.Condition.Direction.ToString().ToLowerInvariant()}-{_request.Condition.SpeedCmPerS:0.##}.wav");
            _shelf.Book.FileMeasurement(new Filing
            {
                JobId = _request.Job,
                Condition = _request.Condition,
                Mark = _request.Mark,
                Capture = measured.Capture with { File = name },
                OpenCapture = () => File.OpenRead(_path),
                Result = measured.Result,
                Limits = limits,
                Instruments =
                [
                    new Instrument("audio-interface", _request.IsPractice ? "none: the practice deck's sound" : "the browser's input", _request.IsPractice ? "made by this program" : "through the browser, processing off"),
                    .. context.TestTape is { } tape ? [new Instrument("test-tape", tape.Name)] : Array.Empty<Instrument>(),
                ],
                MeasuredAt = TimeProvider.System.GetUtcNow(),
                ProgramVersion = ProgramVersion.Stamp,
            });
            _measured = measured;
            var verdict = Judge.Overall(measured.Judgements.Where(j => j.Reading is not null).Select(j => j.Verdict));
            _text = $"Kept and filed: {Cli.VerdictText.Word(verdict)}.";
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
        _writer?.Dispose();
        _file?.Dispose();
        _file = null;
    }

    private sealed class Steps(Action<double> tell) : IProgress<double>
    {
        public void Report(double value) => tell(value);
    }
}
