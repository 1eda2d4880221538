using System.Text.RegularExpressions;

namespace Spoolwright.App.Tests.Cli;

/// <summary>Habits of review that a scan of the source can hold.</summary>
public sealed partial class CodeRuleTests
{
    private const int LongestFile = 400;

    [Fact]
    public void Scan_FindsTheSources() => Assert.True(Tree.Sources("src").Count() > 40);

    [Fact]
    public void Names_OfRooms_AreNeverJunkDrawers() =>
        Assert.Empty(Lines("src").Where(l => JunkNamespace().IsMatch(l.Text)).Select(l => l.Place));

    [Theory]
    [InlineData("src/Spoolwright.Signal")]
    [InlineData("src/Spoolwright.Bench")]
    public void PureRooms_TouchNoClockConsoleFileOrCulture(string folder) =>
        Assert.Empty(Lines(folder).Where(l => !IsComment(l.Text) && Impure().IsMatch(l.Text)).Select(l => $"{l.Place}: {l.Text.Trim()}"));

    [Fact]
    public void Files_StayShortEnoughToRead() =>
        Assert.Empty(Tree.Sources("src").Where(f => File.ReadLines(f).Count() > LongestFile).Select(Short));

    [Theory]
    [InlineData("src")]
    [InlineData("tests")]
    [InlineData("benchmarks")]
    public void Sources_LeaveNothingToDo(string folder) =>
        // Spelled in two halves, so that this file does not find itself.
        Assert.Empty(
            Lines(folder)
                .Where(l => Regex.IsMatch(l.Text, @"\b(TO" + @"DO|FIX" + @"ME|HA" + @"CK|XX" + @"X|NotImplemented" + @"Exception)\b"))
                .Select(l => l.Place)
        );

    [Theory]
    [InlineData("namespace Spoolwright.Signal.Utils;", true)]
    [InlineData("namespace Spoolwright.Core.Sound;", true)]
    [InlineData("namespace Spoolwright.Bench.Tape;", false)]
    public void JunkNamespace_IsToldFromAnHonestOne(string line, bool junk) => Assert.Equal(junk, JunkNamespace().IsMatch(line));

    [Theory]
    [InlineData("var now = DateTime.UtcNow;", true)]
    [InlineData("var text = File.ReadAllText(path);", true)]
    [InlineData("CultureInfo.CurrentCulture", true)]
    [InlineData("value.ToString(CultureInfo.InvariantCulture)", false)]
    [InlineData("SoundFile.Open(stream)", false)]
    [InlineData("Path.Combine(a, b)", true)]
    [InlineData("problem.Path.Length == 0 || Path.Length == 0", false)]
    public void Impure_IsToldFromPure(string line, bool impure) => Assert.Equal(impure, Impure().IsMatch(line));

    [GeneratedRegex(
        @"^\s*namespace\s+.*\b(Common|Core|Utils?|Utilities|Helpers?|Shared|Misc)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture
    )]
    private static partial Regex JunkNamespace();

    [GeneratedRegex(
        @"\b(DateTime(Offset)?\.(Utc)?(Now|Today)|Stopwatch\.|TimeProvider\.System|Console\.|Environment\.(Get|Exit)|CultureInfo\.(Current|GetCulture)|new CultureInfo)|(?<![\w.])((File|Directory)\.[A-Z]|Path\.(Combine|Join|Get|Change)|(FileInfo|DirectoryInfo|FileStream)\()",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture
    )]
    private static partial Regex Impure();

    private static bool IsComment(string line) => line.TrimStart().StartsWith("//", StringComparison.Ordinal);

    private static IEnumerable<(string Place, string Text)> Lines(string folder) =>
        Tree.Sources(folder).SelectMany(f => File.ReadLines(f).Select((text, i) => ($"{Short(f)}:{i + 1}", text)));

    private static string Short(string file) => Path.GetRelativePath(Tree.Root, file);
}
