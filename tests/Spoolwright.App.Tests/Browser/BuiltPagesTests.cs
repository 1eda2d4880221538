using System.Diagnostics;
using Spoolwright.App.Tests.Cli;

namespace Spoolwright.App.Tests.Browser;

/// <summary>The committed page files are what their sources build to.</summary>
public sealed class BuiltPagesTests
{
    [Fact]
    public void Pages_BuiltAgain_AreTheCommittedBytes()
    {
        var folder = Directory.CreateTempSubdirectory("spoolwright-pages").FullName;
        Run("build.mjs", folder);
        var built = Directory.EnumerateFiles(folder).Select(f => Path.GetFileName(f)).Order().ToArray();
        var committed = Path.Combine(Tree.Root, "src/Spoolwright.App/Web/Built");
        Assert.Equal(Directory.EnumerateFiles(committed).Select(f => Path.GetFileName(f)).Order(), built);
        Assert.All(built, name => Assert.True(
            File.ReadAllBytes(Path.Combine(folder, name)).AsSpan().SequenceEqual(File.ReadAllBytes(Path.Combine(committed, name))),
            $"{name} is not what its sources build to: npm ci && npm run build in tools/pages"));
        Directory.Delete(folder, recursive: true);
    }

    [Fact]
    public void Letters_OfPictures_AllGoThroughTheirLeastSize()
    {
        var client = Path.Combine(Tree.Root, "src/Spoolwright.App/Web/Client");
        var set = Directory
            .EnumerateFiles(client, "*.ts", SearchOption.AllDirectories)
            .SelectMany(File.ReadLines)
            .Where(l => l.Contains(".font =", StringComparison.Ordinal))
            .ToList();
        Assert.InRange(set.Count, 10, 100);
        Assert.All(set, line => Assert.Contains(".font = lettering(", line, StringComparison.Ordinal));
        Assert.Contains("Math.max(12, pixels)", File.ReadAllText(Path.Combine(client, "canvas.ts")), StringComparison.Ordinal);
    }

    [Fact]
    public void Sources_Checked_HaveNoTypeFault() => Run("node_modules/typescript/bin/tsc", "-p", ".");

    private static void Run(params string[] arguments)
    {
        var start = new ProcessStartInfo("node")
        {
            UseShellExecute = false,
            WorkingDirectory = Path.Combine(Tree.Root, "tools/pages"),
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        foreach (var argument in arguments)
            start.ArgumentList.Add(argument);
        using var process = Process.Start(start)!;
        var output = process.StandardOutput.ReadToEnd() + process.StandardError.ReadToEnd();
        process.WaitForExit();
        Assert.True(process.ExitCode == 0, output);
    }
}
