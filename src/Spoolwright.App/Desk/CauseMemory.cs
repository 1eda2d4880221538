using System.Text.Json;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Service;

namespace Spoolwright.App.Desk;

/// <summary>
/// Keeps what each finished job says of causes, so that a shop's hundreds of jobs need not be weighed at every call. It is a shortcut alone: deleted, it is made again from the book.
/// </summary>
public sealed class CauseMemory
{
    private readonly string file;
    private readonly Lock gate = new();
    private readonly Dictionary<string, List<CauseCount>> kept;
    private bool changed;

    /// <param name="file">Its file, made when first written.</param>
    public CauseMemory(string file)
    {
        this.file = file;
        kept = Read(file);
    }

    /// <summary>The one of this user on this machine.</summary>
    public static CauseMemory OfUser() => new(Path.Combine(
        Environment.GetFolderPath(Environment.SpecialFolder.LocalApplicationData, Environment.SpecialFolderOption.Create), "spoolwright", "causes-learned.json"));

    /// <summary>What a job said; null: it was not weighed yet, or by other knowledge.</summary>
    public IReadOnlyList<CauseCount>? Find(Job job)
    {
        ArgumentNullException.ThrowIfNull(job);
        lock (gate)
            return kept.GetValueOrDefault(KeyOf(job));
    }

    /// <summary>Takes up what a job says.</summary>
    public void Add(Job job, IReadOnlyList<CauseCount> counts)
    {
        ArgumentNullException.ThrowIfNull(job);
        lock (gate)
            (kept[KeyOf(job)], changed) = ([.. counts], true);
    }

    /// <summary>Writes it down where something was added. That it cannot be written keeps nobody from an answer.</summary>
    public void Keep()
    {
        lock (gate)
        {
            if (!changed)
                return;
            try
            {
                Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(file))!);
                var beside = $"{file}.{Environment.ProcessId}.new";
                File.WriteAllText(beside, JsonSerializer.Serialize(kept));
                File.Move(beside, file, overwrite: true);
                changed = false;
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                // Weighed again at the next call.
            }
        }
    }

    // Another version may know other causes, and a job opened again may have other readings.
    private static string KeyOf(Job job) => FormattableString.Invariant($"{job.Id:N} {job.Closed?.UtcTicks} {ProgramVersion.Stamp}");

    private static Dictionary<string, List<CauseCount>> Read(string file)
    {
        try
        {
            return File.Exists(file) ? JsonSerializer.Deserialize<Dictionary<string, List<CauseCount>>>(File.ReadAllText(file)) ?? [] : [];
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or JsonException)
        {
            return [];
        }
    }
}
