using System.Security.Cryptography;
using Spoolwright.Signal;

namespace Spoolwright.App.Tests;

/// <summary>The hash printed with the readings is the whole file's, whatever the reader reads, jumps over or reads twice. Reference:
/// SHA256.HashData.</summary>
public sealed class HashedFileTests : IDisposable
{
    private readonly string _path = Path.GetTempFileName();

    public void Dispose() => File.Delete(_path);

    [Theory]
    [InlineData(new long[] { }, 1)]
    [InlineData(new long[] { 0 }, 1000)]
    [InlineData(new long[] { 500_000, 12, 0, 499_000 }, 70_000)]
    [InlineData(new long[] { 1_000_000, 0 }, 5_000)]
    [InlineData(new long[] { 999_999, 2_000_000, 3 }, 800_000)]
    public void HashedFile_ReadInAnyOrder_HashesTheWholeFileOnce(long[] places, int length)
    {
        var bytes = new byte[1_000_000];
        new Random(7).NextBytes(bytes);
        File.WriteAllBytes(_path, bytes);
        using var file = new HashedFile(_path);
        var buffer = new byte[length];
        foreach (var place in places)
        {
            file.Position = place;
            var read = file.Read(buffer);
            Assert.True(buffer.AsSpan(0, read).SequenceEqual(bytes.AsSpan((int)Math.Min(place, bytes.Length), read)));
        }

        Assert.Equal(Convert.ToHexStringLower(SHA256.HashData(bytes)), file.Finish());
    }

    [Fact]
    public void HashedFile_ThatGrowsWhileItIsRead_IsRefused()
    {
        File.WriteAllBytes(_path, new byte[1000]);
        using var file = new HashedFile(_path);
        _ = file.Read(new byte[100]);
        using (var writer = new FileStream(_path, FileMode.Append, FileAccess.Write, FileShare.ReadWrite))
        {
            writer.Write(new byte[100]);
        }

        Assert.Equal("changed", Assert.Throws<CannotMeasureException>(file.Finish).Code);
    }

    [Fact]
    public void HashedFile_ThroughALink_IsTheFileItLeadsTo()
    {
        File.WriteAllBytes(_path, new byte[1000]);
        var link = _path + ".link";
        File.CreateSymbolicLink(link, _path);
        try
        {
            using var file = new HashedFile(link);
            Assert.Equal(Convert.ToHexStringLower(SHA256.HashData(new byte[1000])), file.Finish());
        }
        finally
        {
            File.Delete(link);
        }
    }
}
