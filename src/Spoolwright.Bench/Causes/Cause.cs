using Spoolwright.Bench.Standards;

namespace Spoolwright.Bench.Causes;

/// <summary>What a cause may sit in: each part named here must be said to say where it is.</summary>
[Flags]
public enum CausePlaceKinds
{
    /// <summary>The whole deck.</summary>
    Deck = 0,

    /// <summary>One direction of play.</summary>
    Direction = 1,

    /// <summary>One channel.</summary>
    Channel = 2,

    /// <summary>One tape setting.</summary>
    Setting = 4,

    /// <summary>One tape speed.</summary>
    Speed = 8,
}

/// <summary>Which way a cause can be off.</summary>
public enum CauseSign
{
    /// <summary>Above 0 only: dirt, wear, a leak.</summary>
    Positive,

    /// <summary>Either way: a trimmer.</summary>
    Either,

    /// <summary>Below 0 only: what can only be lost.</summary>
    Negative,
}

/// <summary>How much of a cause there is, as one number.</summary>
/// <param name="Name">What is counted, such as <c>distance from the gap</c>.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Healthy">Spread of it in a sound deck, standard deviation.</param>
/// <param name="Typical">Median size where the cause is at work.</param>
/// <param name="Ratio">Two thirds of such cases lie within the typical size divided and multiplied by this.</param>
/// <param name="Sign">Which way.</param>
public sealed record CauseAmount(string Name, string Unit, double Healthy, double Typical, double Ratio, CauseSign Sign);

/// <summary>A reading that a cause touches, and the law by which it does.</summary>
/// <param name="Of">What is touched, such as <c>playback/response</c>: measurement and quantity, or a figure derived from them.</param>
/// <param name="Law">Name of the law, from <see cref="CauseLaw.Names"/>.</param>
/// <param name="Factor">What the amount is multiplied with before the law is asked.</param>
/// <param name="Hz">A frequency that the law hangs on, Hz; null: the law has none.</param>
/// <param name="Part">For lines of turning parts: the kind of part.</param>
public sealed record CauseTouch(string Of, string Law, double Factor, double? Hz, string? Part);

/// <summary>The check that would tell a cause apart from its rivals.</summary>
/// <param name="Text">What to do and what speaks for the cause.</param>
/// <param name="Hit">How often it speaks for the cause where the cause is at work, 0 to 1.</param>
/// <param name="FalseAlarm">How often it does where the cause is not, 0 to 1.</param>
/// <param name="Minutes">How long it takes.</param>
public sealed record CauseCheck(string Text, double Hit, double FalseAlarm, double Minutes);

/// <summary>One cause: a fault of a deck and everything needed to reason about it. Read from a file of its own.</summary>
public sealed record Cause
{
    /// <summary>Kebab-case, stable; the file's name.</summary>
    public required string Id { get; init; }

    /// <summary>Plain name.</summary>
    public required string Name { get; init; }

    /// <summary>Where it sits.</summary>
    public required CausePlaceKinds Place { get; init; }

    /// <summary>Causes with the same word here touch the same readings by the same law, and count as one; null: alone.</summary>
    public string? Class { get; init; }

    /// <summary>How often it is met, per place, 0 to 1.</summary>
    public required double Prior { get; init; }

    /// <summary>How much of it there is.</summary>
    public required CauseAmount Amount { get; init; }

    /// <summary>What it touches.</summary>
    public required IReadOnlyList<CauseTouch> Touches { get; init; }

    /// <summary>What speaks against it.</summary>
    public required string Against { get; init; }

    /// <summary>The check that would tell.</summary>
    public required CauseCheck Check { get; init; }

    /// <summary>The task in the plan that mends it.</summary>
    public required string Task { get; init; }

    /// <summary>Keys of the plan's tasks of which any mends it, so that a job tells whether it was done.</summary>
    public required IReadOnlyList<string> PlanTasks { get; init; }

    /// <summary>On what the link from fault to readings rests.</summary>
    public required Basis Basis { get; init; }

    /// <summary>Keys of docs/standards.md; empty: none.</summary>
    public IReadOnlyList<string> Sources { get; init; } = [];

    /// <summary>Rows of the trade's symptom table that speak of it.</summary>
    public IReadOnlyList<string> Symptoms { get; init; } = [];
}
