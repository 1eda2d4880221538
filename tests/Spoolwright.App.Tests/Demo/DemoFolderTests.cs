using Spoolwright.App.Cli;
using Spoolwright.App.Demo;
using Spoolwright.App.Tests.Cli;

namespace Spoolwright.App.Tests.Demo;

public sealed class DemoFolderTests
{
    [Fact]
    public void Demonstration_WhereOneIsAtWork_IsRefusedInOneLineAndTouchesNothing()
    {
        var root = Directory.CreateTempSubdirectory("spoolwright-demo-").FullName;
        try
        {
            using (var first = DemoFolder.Prepare(root))
            {
                File.WriteAllText(first.Capture("one.wav"), "of the first");
                var second = CliRun.Of("demo", "--folder", root);
                Assert.Equal(ExitCode.CallWrong, second.Code);
                Assert.Equal(
                    $"spoolwright: another demonstration is at work in {root}; wait until it is done, or name another folder with --folder\n",
                    second.Error
                );
                Assert.Equal("of the first", File.ReadAllText(first.Capture("one.wav")));
            }

            // Once it is done, the folder is anyone's again, and emptied.
            using var next = DemoFolder.Prepare(root);
            Assert.False(File.Exists(next.Capture("one.wav")));
        }
        finally
        {
            Directory.Delete(root, recursive: true);
        }
    }
}
