using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Signal;

namespace Spoolwright.App.Cli;

/// <summary>The contract's words for what has a fixed set of values.</summary>
internal static class ContractWords
{
    public static string Of(Channel channel) => channel switch
    {
        Channel.Left => "left",
        Channel.Right => "right",
        _ => "both",
    };

    public static string Of(NoteSeverity severity) => severity switch
    {
        NoteSeverity.Hint => "hint",
        NoteSeverity.Warning => "warning",
        _ => "error",
    };

    public static string Of(Verdict verdict) => verdict switch
    {
        Verdict.Met => "met",
        Verdict.NotProven => "not-proven",
        Verdict.NotMet => "not-met",
        _ => "not-measured",
    };
}
