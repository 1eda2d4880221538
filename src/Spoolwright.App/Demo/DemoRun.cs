using Spoolwright.App.Cli;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Scenario;
using Spoolwright.Reports;
using Spoolwright.Signal.Sound;
using Spoolwright.Storage;

namespace Spoolwright.App.Demo;

/// <summary>
/// The whole job on an invented deck: the practice deck makes its captures as ordinary sound files, and from there on they are measured,
/// judged, filed and written up exactly as anyone's would be. The truth that the practice deck knows is never looked at.
/// </summary>
internal sealed class DemoRun(DemoFolder folder, Terminal terminal, TimeProvider clock)
{
    // 48 kHz carries every tone of these tapes, and keeps the demonstration's folder under 600 MB.
    private const int SampleRateHz = 48_000;

    /// <summary>Does it all and gives the record's data.</summary>
    public RecordData Run()
    {
        var profileJson = ProfileText();
        File.WriteAllText(folder.Profile, profileJson);
        var profile = InputFiles.Parsed(folder.Profile, DeckProfileFile.Parse, "check-profile");
        foreach (var (name, json) in AutoReverseJob.Leaflets)
            File.WriteAllText(folder.Tape(name), json);
        var passes = AutoReverseJob.Passes(SampleRateHz);
        MeasureProgress.Show(terminal, $"Playing {passes.Count} passes on the practice deck", progress => Play(passes, progress));
        using var book = ServiceBook.Open(folder.Book);
        var deck = book.AddDeck(profile.Name, profileJson, AutoReverseDeck.SerialNumber, "Invented deck of the demonstration");
        var job = book.OpenJob(deck.Id, "Restoration, shown with the practice deck", clock.GetUtcNow());
        MeasureProgress.Show(terminal, "Measuring, judging and filing", progress => Measure(passes, profile, book, job, progress));
        book.CloseJob(job.Id, clock.GetUtcNow());
        return MeasureProgress.Show(terminal, "Writing the record", _ => Write(book, job, profile));
    }

    private static string ProfileText()
    {
        using var stream = typeof(DemoRun).Assembly.GetManifestResourceStream("deck-profile.json")
            ?? throw new InvalidOperationException("The demonstration's deck profile is missing from the build.");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }

    private bool Play(IReadOnlyList<JobPass> passes, IProgress<double>? progress)
    {
        var done = 0;
        Parallel.ForEach(passes, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount }, pass =>
        {
            using var session = pass.Play();
            using var file = new FileStream(folder.Capture(pass.FileName), FileMode.CreateNew, FileAccess.Write, FileShare.None, 1 << 20);
            using var writer = new WavWriter(file, SampleRateHz, 2, WavSamples.Integer24);
            float[] left = new float[1 << 14], right = new float[1 << 14];
            for (int n; (n = session.Sound.Read(left, right)) > 0;)
                writer.Write(left.AsSpan(0, n), right.AsSpan(0, n));
            progress?.Report((double)Interlocked.Increment(ref done) / passes.Count);
        });
        return true;
    }

    private bool Measure(IReadOnlyList<JobPass> passes, DeckProfile profile, ServiceBook book, Job job, IProgress<double>? progress)
    {
        for (var i = 0; i < passes.Count; i++)
        {
            var pass = passes[i];
            var condition = new Condition(pass.Direction == TapeDirection.Forward ? Direction.Forward : Direction.Reverse, pass.SpeedCmPerS);
            var tape = InputFiles.Parsed(folder.Tape(pass.TapeFileName), TestTapeFile.Parse, "check-tape");
            var settings = new MeasurementSettings { Profile = profile, Condition = condition, TestTape = tape };
            foreach (var id in pass.IsSpeedTape ? (string[])["speed"] : ["playback", "azimuth"])
            {
                FileOne(pass, Catalogue.Find(id)!, settings, book, job, profile);
            }

            progress?.Report((i + 1.0) / passes.Count);
        }

        return true;
    }

    private void FileOne(JobPass pass, MeasurementEntry entry, MeasurementSettings settings, ServiceBook book, Job job, DeckProfile profile)
    {
        var path = folder.Capture(pass.FileName);
        var measured = FileMeasurement.Run(entry, path, channels: null, settings, profile.Limits);
        book.FileMeasurement(new Filing
        {
            JobId = job.Id,
            Condition = settings.Condition!,
            Mark = pass.AsLeft ? Mark.AsLeft : Mark.AsFound,
            Capture = measured.Capture with { File = pass.FileName },
            OpenCapture = () => File.OpenRead(path),
            Result = measured.Result,
            Limits = profile.Limits,
            Instruments =
            [
                new Instrument("audio interface", "none: the practice deck's sound, written to a file", "made by this program; stands for a real interface"),
                new Instrument("test tape", settings.TestTape!.Name, "invented"),
            ],
            MeasuredAt = clock.GetUtcNow(),
            ProgramVersion = ProgramVersion.Stamp,
        });
    }

    private RecordData Write(ServiceBook book, Job job, DeckProfile profile)
    {
        var expected = profile.Directions.SelectMany(d => profile.SpeedsCmPerS.Select(v => new Condition(d, v))).ToArray();
        var record = RecordComposer.Compose(book.ReadJob(job.Id), Judge.Readings, clock.GetUtcNow(), ProgramVersion.Stamp, expected, "demonstration, no workshop");
        RecordFiles.Write(record, folder.RecordHtml, folder.RecordPdf);
        return record;
    }
}
