namespace Spoolwright.Signal;

/// <summary>
/// The sound at hand cannot be read or measured: not a mistake of the caller and no verdict on the deck.
/// The message is one clear line: what is wrong, where in the sound, what to do.
/// </summary>
public sealed class CannotMeasureException : Exception
{
    /// <summary>Says why, under a stable kebab-case code.</summary>
    public CannotMeasureException(string code, string message, Exception? inner = null)
        : base(message, inner) => Code = code;

    /// <summary>A stable kebab-case word a program can look for, such as <c>no-tone</c>.</summary>
    public string Code { get; }
}
