using Spoolwright.App.Cli;
using Spoolwright.App.Desk;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Plans;
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
    /// <summary>Does it all and gives the record's data.</summary>
    public RecordData Run()
    {
        var profileJson = Text("deck-profile.json");
        File.WriteAllText(folder.Profile, profileJson);
        foreach (var name in (string[])["gauge.json", "bench-sheet-as-found.json", "bench-sheet-as-left.json"])
            File.WriteAllText(folder.Sheet(name), Text(name));
        var profile = InputFiles.Parsed(folder.Profile, DeckProfileFile.Parse, "check-profile");
        foreach (var (name, json) in AutoReverseJob.Leaflets)
            File.WriteAllText(folder.Tape(name), json);
        var usual = new Condition(profile.Directions[0], profile.SpeedsCmPerS[^1]);
        var loopback = DemoCapture.Loopback(usual);
        var captures = DemoCapture.All();
        MeasureProgress.Show(
            terminal,
            $"Playing and recording {captures.Count} passes on the practice deck",
            progress => Play([loopback, .. captures], progress)
        );
        var job = MeasureProgress.Show(
            terminal,
            "Writing the shop's year before it into the service book",
            _ => ShopYear.Write(folder.Book, profileJson, clock.GetUtcNow(), folder.Key, folder.EarlierHandover)
        );
        using var book = ServiceBook.Open(folder.Book);
        MeasureProgress.Show(
            terminal,
            "Measuring, judging and filing",
            progress => Measure(loopback, captures, usual, new DemoBench(folder, profile, book, job, clock), progress)
        );
        foreach (var direction in profile.Directions)
        {
            foreach (var speed in profile.SpeedsCmPerS)
                book.FileUnmeasured(
                    new Unmeasured(job.Id, new Condition(direction, speed, AutoReverseRecorder.High), Mark.AsFound, OneSettingAsFound)
                );
        }

        foreach (var task in (string[])["as-left-readings", "as-left-functions", JobTask.SafetyTest, "sign-off"])
            new PlanDesk(book).Done(job.Id, task);
        book.CloseJob(job.Id, clock.GetUtcNow());
        return MeasureProgress.Show(terminal, "Writing the record", _ => Write(book, job));
    }

    private const string OneSettingAsFound = "as found, recording was tried in the tape setting normal alone; as left, in both";

    private static string Text(string name)
    {
        using var stream = typeof(DemoRun).Assembly.GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"The demonstration's {name} is missing from the build.");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }

    private bool Play(IReadOnlyList<DemoCapture> captures, IProgress<double>? progress)
    {
        var done = 0;
        Parallel.ForEach(
            captures,
            new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount },
            capture =>
            {
                using var sound = capture.Play();
                using var file = new FileStream(
                    folder.Capture(capture.FileName),
                    FileMode.CreateNew,
                    FileAccess.Write,
                    FileShare.None,
                    1 << 20
                );
                using var writer = new WavWriter(file, DemoCapture.SampleRateHz, 2, WavSamples.Integer24);
                float[] left = new float[1 << 14],
                    right = new float[1 << 14];
                for (int n; (n = sound.Read(left, right)) > 0;)
                    writer.Write(left.AsSpan(0, n), right.AsSpan(0, n));
                progress?.Report((double)Interlocked.Increment(ref done) / captures.Count);
            }
        );
        return true;
    }

    // What is recorded is held against what was played, so the test tapes go first.
    private static bool Measure(
        DemoCapture loopback,
        IReadOnlyList<DemoCapture> captures,
        Condition usual,
        DemoBench bench,
        IProgress<double>? progress
    )
    {
        bench.Calibrate(loopback);
        bench.Typed(usual);
        DemoCapture[] played = [.. captures.Where(c => c.TestTape is not null)], recorded = [.. captures.Where(c => c.Own is not null)];
        var share = (double)played.Length / captures.Count;
        bench.Run(played, new PartOf(progress, 0, share));
        bench.Run(recorded, new PartOf(progress, share, 1));
        return true;
    }

    private sealed class PartOf(IProgress<double>? whole, double from, double to) : IProgress<double>
    {
        public void Report(double value) => whole?.Report(from + ((to - from) * value));
    }

    // The one record that the command, the pages and a sign-off write.
    private RecordData Write(ServiceBook book, Job job)
    {
        new SignOffDesk(book).Sign(job, folder.Key, folder.Handover, out var record);
        File.Copy(Path.Combine(folder.Handover, "record.html"), folder.RecordHtml, overwrite: true);
        File.Copy(Path.Combine(folder.Handover, "record.pdf"), folder.RecordPdf, overwrite: true);
        return record;
    }
}
