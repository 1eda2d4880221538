namespace Spoolwright.App.Cli;

/// <summary>How near two words are, to guess what somebody meant.</summary>
internal static class Spelling
{
    private const int LongestWord = 40;

    /// <summary>Near enough to ask.</summary>
    public static bool AreNear(string word, string known) =>
        word.Length is > 0 and <= LongestWord && Distance(word, known) <= Math.Max(2, known.Length / 4);

    /// <summary>Letters to change, add or leave out.</summary>
    public static int Distance(string a, string b)
    {
        var row = Enumerable.Range(0, b.Length + 1).ToArray();
        for (var i = 1; i <= a.Length; i++)
        {
            var corner = row[0];
            row[0] = i;
            for (var j = 1; j <= b.Length; j++)
            {
                var above = row[j];
                row[j] = Math.Min(Math.Min(above, row[j - 1]) + 1, corner + (a[i - 1] == b[j - 1] ? 0 : 1));
                corner = above;
            }
        }

        return row[b.Length];
    }
}
