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

    // Commands that look, that write, and that make a book where none is: all say the same of it, and none takes it for a new book.
    [Theory]
    [InlineData("book", "find", "x")]
    [InlineData("book", "check")]
    [InlineData("deck", "import", "PROFILE")]
    [InlineData("deck", "add", "A 1", "--profile", "PROFILE")]
    [InlineData("job", "open", "A 1", "look")]
    [InlineData("shop", "set", "--name", "Shop")]
    [InlineData("explain", "--job", "3f2a")]
    [InlineData("serve", "--port", "0")]
    public void File_OfNoBytes_IsToldAlikeByEveryCommand(params string[] call)
    {
        var zero = In("zero.db");
        File.WriteAllText(zero, "");
        var refused = CliRun.Of([
            .. call.Select(w => w == "PROFILE" ? Path.Combine(Tree.Root, "examples/deck-profile.json") : w),
            "--book",
            zero,
        ]);
        Assert.Equal(ExitCode.CallWrong, refused.Code);
        Assert.Equal(
            $"spoolwright: {zero} is empty (0 bytes) and no service book; check the name, bring the book back from a backup, or delete the file to begin a new book there.",
            refused.Error.Trim()
        );
        Assert.Equal([zero], Directory.GetFileSystemEntries(_folder));
        Assert.Equal(0, new FileInfo(zero).Length);
    }

    [Fact]
    public void Lists_OfNothing_SayNone()
    {
        TakeIn();
        foreach (
            string[] call in (string[][])
                [
                    ["book", "list"],
                    ["book", "find", "zzz"],
                    ["part", "stock", "--reorder"],
                    ["field", "Marrowby 74 R"],
                ]
        )
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

    private void TakeIn() =>
        Assert.Equal(
            ExitCode.Done,
            CliRun.Of("deck", "add", "A 1", "--profile", Path.Combine(Tree.Root, "examples/deck-profile.json"), "--book", Book).Code
        );
}
