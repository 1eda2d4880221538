using System.Runtime.CompilerServices;

namespace Spoolwright.App.Tests.Cli;

/// <summary>
/// Holds a text against the one that was read and approved, in <c>Cli/Approved</c>. With <c>SPOOLWRIGHT_APPROVE=1</c> in the environment
/// the text is written there instead, to be read in the diff.
/// </summary>
internal static class Approved
{
    public static void Equal(string text, string name, [CallerMemberName] string test = "")
    {
        var path = Path.Combine(Tree.Root, "tests/Spoolwright.App.Tests/Cli/Approved", name + ".txt");
        if (Environment.GetEnvironmentVariable("SPOOLWRIGHT_APPROVE") == "1")
            File.WriteAllText(path, text);
        Assert.True(File.Exists(path), $"{test}: nothing approved at {path}");
        Assert.Equal(File.ReadAllText(path), text);
    }
}
