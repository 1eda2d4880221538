using System.Text;

namespace Spoolwright.Bench.Service;

/// <summary>The words of the book's enumerations as people type them and as they are kept: <c>AsFound</c> is <c>as-found</c>.</summary>
public static class KebabWord
{
    /// <summary>The word of a value.</summary>
    public static string Of<T>(T value)
        where T : struct, Enum => Of(value.ToString());

    /// <summary>Such as <c>as-found</c> of <c>AsFound</c>.</summary>
    public static string Of(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        var word = new StringBuilder();
        foreach (var c in name)
        {
            if (char.IsUpper(c) && word.Length > 0)
                word.Append('-');
            word.Append(char.ToLowerInvariant(c));
        }

        return word.ToString();
    }

    /// <summary>The same with blanks, for sentences: <c>as found</c>.</summary>
    public static string Plain<T>(T value)
        where T : struct, Enum => Of(value).Replace('-', ' ');

    /// <summary>Every word of an enumeration, in its order.</summary>
    public static IReadOnlyList<string> All<T>()
        where T : struct, Enum => [.. Enum.GetNames<T>().Select(Of)];

    /// <summary>The value of a word.</summary>
    /// <param name="word">What was typed; blanks may stand for the dashes.</param>
    /// <param name="what">What it is, for the message.</param>
    /// <exception cref="EntryException">No such word; the message lists them.</exception>
    public static T Parse<T>(string word, string what)
        where T : struct, Enum
    {
        ArgumentNullException.ThrowIfNull(word);
        var plain = word.Trim().ToLowerInvariant().Replace(' ', '-').Replace('_', '-');
        foreach (var value in Enum.GetValues<T>())
        {
            if (Of(value) == plain)
                return value;
        }

        throw new EntryException(
            $"{what}: \"{word}\" is none of {string.Join(", ", All<T>())}{Files.NearestWord.Question(plain, All<T>())}"
        );
    }
}
