using System.Reflection;

namespace Spoolwright.App;

/// <summary>Which program this is: its version, and the commit it was built from where that was known.</summary>
public static class ProgramVersion
{
    private static readonly string[] Parts = (
        typeof(ProgramVersion).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion ?? "0"
    ).Split('+');

    /// <summary>The version, such as 0.1.0.</summary>
    public static string Version => Parts[0];

    /// <summary>The commit's first 12 digits, or null where the sources were no git checkout.</summary>
    public static string? Commit => Parts is [_, { Length: > 0 } commit, ..] ? commit[..Math.Min(12, commit.Length)] : null;

    /// <summary>Both, as they are kept with a measurement.</summary>
    public static string Stamp => Commit is { } commit ? $"{Version} (commit {commit})" : Version;

    /// <summary>Program and stamp in one line.</summary>
    public static string Line => $"spoolwright {Stamp}";
}
