namespace Spoolwright.Bench.Files;

/// <summary>Finds the known word that somebody meant.</summary>
internal static class NearestWord
{
    private const int LongestWord = 64;

    /// <summary>The known word nearest to <paramref name="word"/>, or null when none is near.</summary>
    public static string? Of(string word, IEnumerable<string> known)
    {
        if (word.Length is 0 or > LongestWord)
            return null;
        string? best = null;
        var bestDistance = double.PositiveInfinity;
        foreach (var candidate in known.Where(k => k.Length is > 0 and <= LongestWord))
        {
            var distance = Distance(word.ToLowerInvariant(), candidate.ToLowerInvariant());
            if (distance < bestDistance)
                (best, bestDistance) = (candidate, distance);
        }

        return bestDistance <= Math.Max(2.0, word.Length / 3.0) ? best : null;
    }

    /// <summary>A question to put behind a message: <c>; did you mean "…"?</c>, or nothing.</summary>
    public static string Question(string word, IEnumerable<string> known)
    {
        var near = Of(word, known);
        return near is null ? "" : $"; did you mean {Quoted.Text(near)}?";
    }

    /// <summary>Letters to change, add, leave out or swap with their neighbour; part of a word counts as near.</summary>
    private static double Distance(string a, string b)
    {
        if (a.Length >= 4 && b.Contains(a, StringComparison.Ordinal))
            return 1.5;
        if (b.Length >= 4 && a.Contains(b, StringComparison.Ordinal))
            return 1.6;
        var rows = new int[a.Length + 1, b.Length + 1];
        for (var i = 0; i <= a.Length; i++)
            rows[i, 0] = i;
        for (var j = 0; j <= b.Length; j++)
            rows[0, j] = j;
        for (var i = 1; i <= a.Length; i++)
        {
            for (var j = 1; j <= b.Length; j++)
            {
                var change = a[i - 1] == b[j - 1] ? 0 : 1;
                var least = Math.Min(Math.Min(rows[i - 1, j] + 1, rows[i, j - 1] + 1), rows[i - 1, j - 1] + change);
                if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                    least = Math.Min(least, rows[i - 2, j - 2] + 1);
                rows[i, j] = least;
            }
        }

        return rows[a.Length, b.Length];
    }
}
