using System.Globalization;
using Spoolwright.Bench.Files;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Cli;

/// <summary>Reads the files that a call names; what keeps one from being read is a mistake of the call, in one line.</summary>
internal static class InputFiles
{
    // A hand-written file of this size is none: nobody types 16 MB.
    private const long LongestTextBytes = 16 << 20;

    /// <summary>Refuses a path that is no ordinary file.</summary>
    /// <exception cref="CallException">It is missing, a folder, or may not be read.</exception>
    public static void MustBeReadable(string path) => OrCallException(path, () =>
    {
        if (Directory.Exists(path))
            throw new CallException($"{path} is a folder; a file is needed");
        if (!File.Exists(path))
            throw new CallException($"{path} does not exist");
        using var stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, bufferSize: 0);
        if (!stream.CanSeek)
            throw new CallException($"{path} is a pipe or device; an ordinary file is needed");
        return 0;
    });

    /// <summary>A second sound file that a call names.</summary>
    /// <param name="path">The file.</param>
    /// <param name="channels">Which of its channels are left and right; null: the first two.</param>
    public static SoundSource Sound(string path, ChannelPair? channels) =>
        SoundFile.Open(new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, bufferSize: 0), channels);

    /// <summary>The text of a file, with its marks of byte order removed.</summary>
    /// <exception cref="CallException">It cannot be read.</exception>
    public static string Text(string path)
    {
        MustBeReadable(path);
        return OrCallException(path, () => new FileInfo(path).Length <= LongestTextBytes
            ? File.ReadAllText(path)
            : throw new CallException($"{path} is too large to be a file that somebody wrote"));
    }

    /// <summary>The bytes of a file that somebody wrote, so that its text and its hash are of the same.</summary>
    /// <exception cref="CallException">It cannot be read.</exception>
    public static byte[] Bytes(string path)
    {
        MustBeReadable(path);
        return OrCallException(path, () => new FileInfo(path).Length <= LongestTextBytes
            ? File.ReadAllBytes(path)
            : throw new CallException($"{path} is too large to be a file that somebody wrote"));
    }

    /// <summary>The text of such bytes, with its marks of byte order removed.</summary>
    public static string TextOf(byte[] bytes)
    {
        using var reader = new StreamReader(new MemoryStream(bytes));
        return reader.ReadToEnd();
    }

    /// <summary>Parses a file whose errors keep the call from going on.</summary>
    /// <param name="path">The file.</param>
    /// <param name="parse">Its parser.</param>
    /// <param name="checkCommand">The command that lists all of its problems; null where there is none.</param>
    /// <exception cref="CallException">It cannot be read, or has an error: the first is named with its place.</exception>
    public static T Parsed<T>(string path, Func<string, ParsedFile<T>> parse, string? checkCommand)
        where T : class => ParsedText(path, Text(path), parse, checkCommand);

    /// <summary>The same for a text that was read already.</summary>
    public static T ParsedText<T>(string path, string text, Func<string, ParsedFile<T>> parse, string? checkCommand)
        where T : class
    {
        var parsed = parse(text);
        var errors = parsed.Errors.ToList();
        if (errors.Count == 0 && parsed.Value is { } value)
            return value;
        var more =
            errors.Count > 1
                ? string.Create(
                    CultureInfo.InvariantCulture,
                    $" (and {errors.Count - 1} more{(checkCommand is null ? "" : $": spoolwright {checkCommand} {path}")})"
                )
                : "";
        throw new CallException($"{path}:{errors[0]}{more}");
    }

    /// <summary>Writes a new file of the call's own.</summary>
    /// <exception cref="CallException">It exists or cannot be written.</exception>
    public static void WriteNew(string path, string text) => OrCallException(path, () =>
    {
        if (File.Exists(path))
            throw new CallException($"{path} is there already; name a new file");
        using var stream = new FileStream(path, FileMode.CreateNew, FileAccess.Write);
        using var writer = new StreamWriter(stream);
        writer.Write(text);
        return 0;
    });

    private static T OrCallException<T>(string path, Func<T> read)
    {
        try
        {
            return read();
        }
        catch (UnauthorizedAccessException)
        {
            throw new CallException($"{path} may not be read: no permission");
        }
        catch (Exception e) when (e is IOException or ArgumentException or NotSupportedException)
        {
            throw new CallException($"{path} cannot be read: {e.Message}");
        }
    }
}
