using System.Diagnostics;

namespace Spoolwright.App.Tests.Storage;

/// <summary>A disk that really is full: a file system of a few MB, in a name space of the bench's own, so that no root is needed and nothing is left.</summary>
public sealed class FullDiskTests
{
    [Fact]
    public void Disk_ThatIsFull_IsSaidAndNothingAcknowledgedIsLost()
    {
        string folder = Directory.CreateTempSubdirectory("spoolwright-full-").FullName;
        try
        {
            string[] under = ["unshare", .. Environment.IsPrivilegedProcess ? (string[])["-m"] : ["-r", "-m"],
                "sh", "-c", "mount -t tmpfs -o size=6m tmpfs \"$0\" && exec \"$@\"", folder];
            using Process bench = BenchProcess.Start(["full-disk", folder], under);
            Task<string> errors = bench.StandardError.ReadToEndAsync();
            string[] said = bench.StandardOutput.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries);
            bench.WaitForExit();
            Assert.True(bench.ExitCode == 0, errors.Result + string.Join('\n', said));
            // With captures and without: the words, what is there, and no passing file.
            Assert.Equal(7, said.Length);
            foreach (int round in (int[])[0, 3])
            {
                Assert.StartsWith("full disk-full No room is left for ", said[round], StringComparison.Ordinal);
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
