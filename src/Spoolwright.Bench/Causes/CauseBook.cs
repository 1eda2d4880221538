using System.Reflection;

namespace Spoolwright.Bench.Causes;

/// <summary>What is known: every cause, and what is expected of a sound deck. Both are data, read from files that come with the
/// program.</summary>
/// <param name="Causes">The causes.</param>
/// <param name="Healthy">The kinds of figure.</param>
public sealed record CauseBook(IReadOnlyList<Cause> Causes, IReadOnlyList<Observable> Healthy)
{
    private const string Folder = "Causes/";
    private const string HealthyName = "healthy.json";
    private static readonly Lazy<CauseBook> Loaded = new(() => Read(Embedded()));

    /// <summary>What comes with the program.</summary>
    /// <exception cref="FormatException">A file of it is wrong; the message names file, line and field.</exception>
    public static CauseBook Default => Loaded.Value;

    /// <summary>Reads a book from its files.</summary>
    /// <param name="files">Name without folder and text of each; one is <c>healthy.json</c>, every other one a cause.</param>
    /// <exception cref="FormatException">A file is wrong; the message names file, line and field.</exception>
    public static CauseBook Read(IEnumerable<(string Name, string Text)> files)
    {
        ArgumentNullException.ThrowIfNull(files);
        var causes = new List<Cause>();
        IReadOnlyList<Observable>? healthy = null;
        foreach (var (name, text) in files.OrderBy(f => f.Name, StringComparer.Ordinal))
        {
            if (name == HealthyName)
            {
                healthy = Value(name, HealthyFile.Parse(text));
                continue;
            }

            var cause = Value(name, CauseFile.Parse(text));
            if (cause.Id + ".json" != name)
                throw new FormatException($"{name}: id: the file is named otherwise than its id \"{cause.Id}\"");
            causes.Add(cause);
        }

        if (healthy is null)
            throw new FormatException($"{HealthyName} is missing");
        foreach (var cause in causes)
        {
            if (cause.Touches.FirstOrDefault(t => !healthy.Any(h => h.Name == t.Of)) is { } stray)
                throw new FormatException($"{cause.Id}.json: touches: {HealthyName} says nothing of \"{stray.Of}\"");
        }

        return new CauseBook(causes, healthy);
    }

    /// <summary>The same book with other priors, by cause id; those not named stay.</summary>
    /// <exception cref="ArgumentException">No cause has such an id, or a prior lies outside 0.0001 to 0.9.</exception>
    public CauseBook WithPriors(IReadOnlyDictionary<string, double> priors)
    {
        ArgumentNullException.ThrowIfNull(priors);
        foreach (var (id, prior) in priors)
        {
            if (!Causes.Any(c => c.Id == id))
                throw new ArgumentException(
                    $"there is no cause \"{id}\"; there are {string.Join(", ", Causes.Select(c => c.Id))}",
                    nameof(priors)
                );
            if (!(prior is >= 0.0001 and <= 0.9))
                throw new ArgumentException(
                    FormattableString.Invariant($"the prior {prior} of \"{id}\" lies outside 0.0001 to 0.9"),
                    nameof(priors)
                );
        }

        return this with { Causes = [.. Causes.Select(c => priors.TryGetValue(c.Id, out var prior) ? c with { Prior = prior } : c)] };
    }

    private static T Value<T>(string name, Files.ParsedFile<T> parsed)
        where T : class => parsed.Value ?? throw new FormatException($"{name}:{parsed.Errors.First()}");

    private static IEnumerable<(string Name, string Text)> Embedded()
    {
        var from = Assembly.GetExecutingAssembly();
        foreach (var name in from.GetManifestResourceNames().Where(n => n.StartsWith(Folder, StringComparison.Ordinal)))
        {
            using var reader = new StreamReader(from.GetManifestResourceStream(name)!);
            yield return (name[Folder.Length..], reader.ReadToEnd());
        }
    }
}
