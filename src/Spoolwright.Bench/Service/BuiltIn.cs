namespace Spoolwright.Bench.Service;

/// <summary>Files that come inside the program.</summary>
internal static class BuiltIn
{
    public static string Text(string name)
    {
        using var stream = typeof(BuiltIn).Assembly.GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"{name} is missing from the build");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
