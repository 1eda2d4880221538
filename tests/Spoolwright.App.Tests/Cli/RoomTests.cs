using System.Reflection;
using NetArchTest.Rules;

namespace Spoolwright.App.Tests.Cli;

/// <summary>The rooms and who may import whom: Signal ← Bench ← { Practice (Signal alone), Storage, Reports } ← App.</summary>
public sealed class RoomTests
{
    private static readonly string[] Rooms = ["Signal", "Bench", "Practice", "Storage", "Reports", "App"];

    [Theory]
    [InlineData("Signal")]
    [InlineData("Bench", "Signal")]
    [InlineData("Practice", "Signal")]
    [InlineData("Storage", "Signal", "Bench")]
    [InlineData("Reports", "Signal", "Bench")]
    public void Room_ImportsOnlyWhatStandsToItsLeft(string room, params string[] mayImport)
    {
        var forbidden = Rooms.Except(mayImport).Where(r => r != room).Select(r => $"Spoolwright.{r}").ToArray();
        var result = Types.InAssembly(Assembly.Load($"Spoolwright.{room}")).ShouldNot().HaveDependencyOnAny(forbidden).GetResult();
        Assert.True(result.IsSuccessful, $"{room} must not import: {string.Join(", ", result.FailingTypeNames ?? [])}");

        // The same of the project files, where a reference stands that no type uses yet.
        var project = File.ReadAllText(Path.Combine(Tree.Root, $"src/Spoolwright.{room}/Spoolwright.{room}.csproj"));
        Assert.All(forbidden, f => Assert.DoesNotContain($"{f}.csproj", project, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("Signal")]
    [InlineData("Bench")]
    public void Room_ThatIsPure_UsesNoPackages(string room) =>
        Assert.DoesNotContain(
            "PackageReference",
            File.ReadAllText(Path.Combine(Tree.Root, $"src/Spoolwright.{room}/Spoolwright.{room}.csproj")),
            StringComparison.Ordinal
        );
}
