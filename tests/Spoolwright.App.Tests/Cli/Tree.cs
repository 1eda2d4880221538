namespace Spoolwright.App.Tests.Cli;

/// <summary>The source tree the tests were built from.</summary>
internal static class Tree
{
    /// <summary>Its root.</summary>
    public static string Root { get; } = Find();

    /// <summary>Every C# file under a folder of it, what was generated left out.</summary>
    public static IEnumerable<string> Sources(string folder) =>
        Directory.EnumerateFiles(Path.Combine(Root, folder), "*.cs", SearchOption.AllDirectories)
            .Where(f => !f.Split(Path.DirectorySeparatorChar).Any(part => part is "bin" or "obj"));

    private static string Find()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            if (File.Exists(Path.Combine(folder.FullName, "Spoolwright.slnx")))
                return folder.FullName;
        }

        throw new InvalidOperationException($"no Spoolwright.slnx above {AppContext.BaseDirectory}");
    }
}
