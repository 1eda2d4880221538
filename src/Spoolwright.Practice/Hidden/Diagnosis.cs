namespace Spoolwright.Practice.Hidden;

/// <summary>How near a learner's word came to what is wrong.</summary>
public enum Finding
{
    /// <summary>Kind and place are right.</summary>
    Right,

    /// <summary>The kind is right; the place is wrong, or not all of it was said.</summary>
    KindOnly,

    /// <summary>Nothing of that kind is wrong.</summary>
    Wrong,
}

/// <summary>One word of a diagnosis, judged.</summary>
public sealed record JudgedWord(string Word, Finding Finding);

/// <summary>A learner's diagnosis held against the hidden faults.</summary>
/// <param name="Words">Each word judged, in the order given.</param>
/// <param name="Score">0 to 100: a fault named with its place counts whole, without it half; a wrong word takes half a fault away.</param>
/// <param name="Missed">How many faults nobody named.</param>
public sealed record Diagnosis(IReadOnlyList<JudgedWord> Words, int Score, int Missed)
{
    /// <summary>Judges words such as <c>bias.forward.left.normal</c>; the kind comes first, the rest in any order.</summary>
    /// <exception cref="ArgumentException">A word begins with no kind of fault.</exception>
    public static Diagnosis Of(IReadOnlyList<HiddenFault> faults, IReadOnlyList<string> words)
    {
        ArgumentNullException.ThrowIfNull(faults);
        ArgumentNullException.ThrowIfNull(words);
        foreach (var word in words)
        {
            if (FaultKind.Find(Kind(word)) is null)
                throw new ArgumentException(
                    $"\"{word}\" begins with no kind of fault; there are {string.Join(", ", FaultKind.All.Select(k => k.Name))}.",
                    nameof(words)
                );
        }

        var open = faults.ToList();
        var judged = new Finding?[words.Count];
        var points = 0.0;

        // Words that say the place are judged first, so that a vague one does not take their fault.
        for (var i = 0; i < words.Count; i++)
        {
            var parts = Parts(words[i]);
            if (open.FirstOrDefault(f => Parts(f.Name).SetEquals(parts)) is not { } fault)
                continue;
            open.Remove(fault);
            judged[i] = Finding.Right;
            points++;
        }

        for (var i = 0; i < words.Count; i++)
        {
            if (judged[i] is not null)
                continue;
            var kind = Kind(words[i]);
            judged[i] = Finding.Wrong;
            if (open.FirstOrDefault(f => string.Equals(f.Kind.Name, kind, StringComparison.Ordinal)) is not { } fault)
                continue;
            open.Remove(fault);
            judged[i] = Finding.KindOnly;
            points += 0.5;
        }

        points -= 0.5 * judged.Count(j => j == Finding.Wrong);
        var score = faults.Count == 0 ? (words.Count == 0 ? 100 : 0) : (int)Math.Round(100 * Math.Clamp(points / faults.Count, 0, 1));
        return new Diagnosis([.. words.Select((w, i) => new JudgedWord(w, judged[i]!.Value))], score, open.Count);
    }

    private static string Kind(string word) => word.Split('.')[0].Trim().ToLowerInvariant();

    private static HashSet<string> Parts(string word) =>
        [.. word.ToLowerInvariant().Split('.', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)];
}
