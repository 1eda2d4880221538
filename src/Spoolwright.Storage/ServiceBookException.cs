namespace Spoolwright.Storage;

/// <summary>
/// The service book cannot do what was asked, and nothing of it was half-written. The message is one clear line: what is wrong, where, what
/// to do.
/// </summary>
public sealed class ServiceBookException : Exception
{
    /// <summary>Says why, under a stable kebab-case code.</summary>
    public ServiceBookException(string code, string message, Exception? inner = null)
        : base(message, inner) => Code = code;

    /// <summary>
    /// A stable kebab-case word a program can look for: <c>locked</c>, <c>read-only</c>, <c>disk-full</c>, <c>cannot-open</c>,
    /// <c>damaged</c>,
    /// <c>not-a-book</c>, <c>newer-book</c>, <c>refused</c>, <c>not-found</c>, <c>capture-missing</c>, <c>capture-damaged</c>,
    /// <c>capture-changed</c>, <c>captures-away</c>, <c>changed-meanwhile</c>, <c>changed-since</c>, <c>gone</c>, <c>unknown</c>,
    /// <c>io</c>.
    /// </summary>
    public string Code { get; }

    /// <summary>The file system's complaint in words a restorer can act on.</summary>
    /// <param name="e">The complaint.</param>
    /// <param name="what">What it is about, as it stands within a sentence: <c>the folder /x</c>.</param>
    internal static ServiceBookException From(Exception e, string what) =>
        e switch
        {
            UnauthorizedAccessException => new(
                "read-only",
                $"{Capital(what)} may not be written; nothing was changed. Give yourself the right to write there.",
                e
            ),
            // ENOSPC (28) and EDQUOT (122) arrive as the raw error number on Unix, ERROR_DISK_FULL (0x70) as an HRESULT on Windows.
            IOException io when io.HResult is 28 or 122 or unchecked((int)0x80070070) => new(
                "disk-full",
                $"No room is left for {what}; nothing was changed. Free some space and try again.",
                e
            ),
            IOException io when io.HResult is 30 => new(
                "read-only",
                $"{Capital(what)} lies on a read-only disk; nothing was changed. Choose another folder.",
                e
            ),
            FileNotFoundException or DirectoryNotFoundException => new("not-found", $"{Capital(what)} is not there; check the name.", e),
            _ => new(
                "io",
                $"{Capital(what)} cannot be read or written; nothing was changed: {e.Message.ReplaceLineEndings(" ").TrimEnd('.', ' ')}.",
                e
            ),
        };

    /// <summary>A book that must be brought up to date before it can be read, and may not be written.</summary>
    internal static ServiceBookException Older(string book, Exception inner) =>
        new(
            "read-only",
            $"The service book {book} is of an earlier program and must be brought up to date before it can be read, which it may not be here. "
                + "Copy it to a folder of your own and read it there, or give yourself the right to write.",
            inner
        );

    private static string Capital(string text) => char.ToUpperInvariant(text[0]) + text[1..];
}
