namespace Spoolwright.Signal;

/// <summary>How much a <see cref="Note"/> weighs on the figures beside it.</summary>
public enum NoteSeverity
{
    /// <summary>Worth knowing; the figures stand.</summary>
    Hint,

    /// <summary>Some figure is less sure, or missing, because of it.</summary>
    Warning,

    /// <summary>A figure that was asked for could not be had.</summary>
    Error,
}

/// <summary>Something seen on the way that a reader of the figures has to know.</summary>
/// <param name="Severity">How much it weighs.</param>
/// <param name="Code">A stable kebab-case word a program can look for, such as <c>clipped</c>.</param>
/// <param name="Text">One plain sentence: what is wrong, where in the sound, and what to do.</param>
public sealed record Note(NoteSeverity Severity, string Code, string Text)
{
    /// <summary>A note that leaves every figure standing.</summary>
    public static Note Hint(string code, string text) => new(NoteSeverity.Hint, code, text);

    /// <summary>A note that makes some figure less sure.</summary>
    public static Note Warning(string code, string text) => new(NoteSeverity.Warning, code, text);

    /// <summary>A note that says why a figure is missing.</summary>
    public static Note Error(string code, string text) => new(NoteSeverity.Error, code, text);
}
