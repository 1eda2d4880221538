using System.Diagnostics;
using System.Globalization;
using Spoolwright.App;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.Benchmarks.Matrix;

/// <summary>
/// Measures the whole matrix of a deck twice: capture by capture, for the CPU seconds that each measurement takes of a minute of sound; and
/// all at once on two cores, for the time it takes. CPU seconds count whatever else the machine does; the time counts on a quiet one only.
/// </summary>
internal static class MatrixRun
{
    public static void Run(string folder, string[] kinds)
    {
        MatrixCaptures.Make(folder);
        var passes = MatrixPass.All.Where(p => kinds.Length == 0 || kinds.Contains(p.Kind)).ToArray();
        foreach (var warm in passes.GroupBy(p => p.Kind).Select(g => g.First()))
        {
            foreach (var id in warm.Measurements)
                Measure(folder, warm, id);
        }

        Console.WriteLine("measurement  capture      minutes  CPU s  CPU s a minute of sound");
        var (sound, spent) = (0.0, 0.0);
        foreach (var group in passes.SelectMany(p => p.Measurements.Select(m => (Pass: p, Id: m))).GroupBy(x => (x.Id, x.Pass.Kind)))
        {
            var before = Spent();
            var seconds = group.Sum(x => Measure(folder, x.Pass, x.Id));
            var cpu = Spent() - before;
            (sound, spent) = (sound + seconds, spent + cpu);
            Console.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{group.Key.Id,-12} {group.Key.Kind,-12} {seconds / 60,6:0.0} {cpu,7:0.00} {cpu / seconds * 60,10:0.000}"
                )
            );
        }

        Console.WriteLine(
            string.Create(CultureInfo.InvariantCulture, $"{"all",-25} {sound / 60,6:0.0} {spent,7:0.00} {spent / sound * 60,10:0.000}")
        );
        var (clock, cpuBefore) = (Stopwatch.StartNew(), Spent());
        Parallel.ForEach(
            passes,
            new ParallelOptions { MaxDegreeOfParallelism = 2 },
            pass =>
            {
                foreach (var id in pass.Measurements)
                    Measure(folder, pass, id);
            }
        );
        Console.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"whole matrix, two at a time: {clock.Elapsed.TotalSeconds:0.0} s, {Spent() - cpuBefore:0.0} CPU s"
            )
        );
    }

    // Seconds of sound measured.
    private static double Measure(string folder, MatrixPass pass, string id)
    {
        try
        {
            return FileMeasurement
                .Run(Catalogue.Find(id)!, Path.Combine(folder, pass.FileName), null, pass.Settings(), [])
                .Capture.Seconds!.Value;
        }
        catch (CannotMeasureException e)
        {
            throw new InvalidOperationException($"{pass.FileName}, {id}: {e.Message}", e);
        }
    }

    private static double Spent()
    {
        using var self = Process.GetCurrentProcess();
        return self.TotalProcessorTime.TotalSeconds;
    }
}
