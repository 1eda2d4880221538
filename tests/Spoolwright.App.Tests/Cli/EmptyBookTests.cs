using Spoolwright.App.Cli;

namespace Spoolwright.App.Tests.Cli;

/// <summary>What commands say of a book in which there is nothing, and of files that are none.</summary>
public sealed class EmptyBookTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("spoolwright-empty-").FullName;

    [Fact]
    public void File_OfNoBytes_IsNoBookAndStaysAsItWas()
    {
        var zero = In("zero.db");
        File.WriteAllText(zero, "");
        var refused = CliRun.Of("book", "list", "--book", zero);
        Assert.Equal((ExitCode.CallWrong, 0L), (refused.Code, new FileInfo(zero).Length));
        Assert.Contains("is empty (0 bytes) and no service book", refused.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Lists_OfNothing_SayNone()
    {
        TakeIn();
        foreach (string[] call in (string[][])[["book", "list"], ["book", "find", "zzz"], ["part", "stock", "--reorder"], ["field", "Marrowby 74 R"]])
            Assert.Equal("none", CliRun.Of([.. call, "--book", Book]).Output.Trim());
    }

    [Fact]
    public void Photo_ThatIsNoPicture_IsRefusedByItsFile()
    {
        TakeIn();
        Assert.Equal(ExitCode.Done, CliRun.Of("job", "open", "A 1", "look", "--book", Book).Code);
        File.WriteAllText(In("word.jpg"), "no picture");
        var photo = CliRun.Of("photo", "add", "A 1", "heads", In("word.jpg"), "--book", Book);
        Assert.Equal(ExitCode.CallWrong, photo.Code);
        Assert.StartsWith($"spoolwright: {In("word.jpg")}: this is no picture", photo.Error, StringComparison.Ordinal);
    }

    public void Dispose()
    {
        Microsoft.Data.Sqlite.SqliteConnection.ClearAllPools();
        Directory.Delete(_folder, recursive: true);
    }

    private string Book => In("shop.db");

    private string In(string name) => Path.Combine(_folder, name);

    private void TakeIn() => Assert.Equal(
        ExitCode.Done, CliRun.Of("deck", "add", "A 1", "--profile", Path.Combine(Tree.Root, "examples/deck-profile.json"), "--book", Book).Code);
}
