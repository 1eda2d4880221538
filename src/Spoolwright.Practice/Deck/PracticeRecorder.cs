using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Deck;

/// <summary>One position of the tape selector: the tape it was laid out for.</summary>
public sealed record RecordSetting(string Name, TapeStock LaidOutFor);

/// <summary>The record side of a deck: a head for each direction, the tape selector, the bias oscillator.</summary>
public sealed record PracticeRecorder
{
    public RecordHead Forward { get; init; } = new();

    public RecordHead Reverse { get; init; } = new();

    /// <summary>Positions of the tape selector, each with trimmers of its own.</summary>
    public IReadOnlyList<RecordSetting> Settings { get; init; } = [new("normal", TapeStock.Hembury), new("high", TapeStock.Ardleigh)];

    /// <summary>Frequency of bias and erasure, Hz.</summary>
    public double BiasHz { get; init; } = 105_000;

    /// <summary>The heads of a direction.</summary>
    public RecordHead Head(TapeDirection direction) => direction == TapeDirection.Forward ? Forward : Reverse;

    /// <summary>The same with the heads of one direction changed.</summary>
    public PracticeRecorder With(TapeDirection direction, Func<RecordHead, RecordHead> change)
    {
        ArgumentNullException.ThrowIfNull(change);
        return direction == TapeDirection.Forward ? this with { Forward = change(Forward) } : this with { Reverse = change(Reverse) };
    }

    /// <summary>A setting by its name.</summary>
    /// <exception cref="ArgumentException">There is none of that name; the message lists them.</exception>
    public RecordSetting Setting(string name) =>
        Settings.FirstOrDefault(s => string.Equals(s.Name, name, StringComparison.Ordinal))
        ?? throw new ArgumentException(
            $"There is no tape setting \"{name}\"; there are {string.Join(", ", Settings.Select(s => s.Name))}.",
            nameof(name)
        );

    internal void Check()
    {
        Faults.InRange("number of tape settings", Settings.Count, 1, 10);
        Faults.InRange(nameof(BiasHz), BiasHz, 30_000, 400_000);
        Forward.Check();
        Reverse.Check();
        foreach (var setting in Settings)
            setting.LaidOutFor.Check();
    }
}
