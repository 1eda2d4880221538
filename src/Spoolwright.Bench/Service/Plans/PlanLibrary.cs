namespace Spoolwright.Bench.Service.Plans;

/// <summary>The plan that comes with the program.</summary>
public static class PlanLibrary
{
    /// <summary>Restoration of an auto-reverse deck, about 16 hours (common practice, no source).</summary>
    public static Plan Default { get; } =
        PlanFile.Parse(DefaultJson).Value ?? throw new InvalidOperationException("the plan that comes with the program cannot be read");

    /// <summary>Its file's text, to copy and adapt.</summary>
    public static string DefaultJson => BuiltIn.Text("auto-reverse-plan.json");
}
