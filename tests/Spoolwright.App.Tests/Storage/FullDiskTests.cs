using System.Diagnostics;
using Spoolwright.App.Tests.Cli;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>
/// A disk that really is full: a file system of a few MB, in a name space of the bench's own, so that no root is needed and nothing is
/// left.
/// </summary>
public sealed class FullDiskTests
{
    [Fact]
    public async Task Book_OpenedOnADiskThatIsFullToTheLastByte_SaysSo()
    {
        string folder = Directory.CreateTempSubdirectory("spoolwright-full-").FullName;
        try
        {
            string book = Path.Combine(folder, "shop.db"), disk = Directory.CreateDirectory(Path.Combine(folder, "disk")).FullName;
            using (ServiceBook.Open(book))
            {
            }

            // The book's index of its log does not find room beside it.
            string script =
                $"mount -t tmpfs -o size=4m tmpfs {disk} && cp {book} {disk}/ && {{ dd if=/dev/zero of={disk}/fill bs=64k 2>/dev/null; dotnet {ProgramProcess.Assembly} deck list --book {disk}/shop.db; }}";
            string[] under = Environment.IsPrivilegedProcess ? ["-m", "sh", "-c", script] : ["-r", "-m", "sh", "-c", script];
            CliRun run = await ProgramProcess.Run("unshare", folder, under);
            Assert.Equal(
                $"spoolwright: No room is left for the service book {disk}/shop.db; nothing was written. Free some space and try again.",
                run.Error.Trim()
            );
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    [Theory]
    [InlineData("full-disk", "6m")]
    [InlineData("full-server", "18m")] // the tables' disk; the server's log lies on another
    public async Task Disk_ThatIsFull_IsSaidAndNothingAcknowledgedIsLost(string scene, string size)
    {
        string folder = Directory.CreateTempSubdirectory("spoolwright-full-").FullName;
        try
        {
            // Who mounts must be root in the name space; PostgreSQL's server will not be, so a second one within makes a plain user again.
            string mount = $"mount -t tmpfs -o size={size} tmpfs \"$0\" && exec ";
            string[] under = Environment.IsPrivilegedProcess ? ["unshare", "-m", "sh", "-c", mount + "\"$@\"", folder]
                : ["unshare", "-r", "-m", "sh", "-c", mount + "unshare -U --map-user=1000 \"$@\"", folder];
            using Process bench = BenchProcess.Start([scene, folder], under);
            Task<string> errors = bench.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
            string[] said = (await bench.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken)).Split(
                '\n',
                StringSplitOptions.RemoveEmptyEntries
            );
            await bench.WaitForExitAsync(TestContext.Current.CancellationToken);
            Assert.True(bench.ExitCode == 0, await errors + string.Join('\n', said));
            // With captures and without: the words, what is there, and no passing file.
            Assert.Equal(7, said.Length);
            foreach (int round in (int[])[0, 3])
            {
                Assert.StartsWith("full disk-full No room is left ", said[round], StringComparison.Ordinal);
                string[] words = said[round + 1].Split(' ');
                Assert.True(int.Parse(words[1], System.Globalization.CultureInfo.InvariantCulture) > 10, said[round + 1]);
                Assert.Equal(words[1], words[3]);
                Assert.Equal("halves 0 captures 0 faults 0", string.Join(' ', words[4..]));
                Assert.Equal("passing 0", said[round + 2]);
            }

            Assert.Equal("after 1", said[6]);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
