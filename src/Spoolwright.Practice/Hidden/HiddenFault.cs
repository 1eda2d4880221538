using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Waves;

namespace Spoolwright.Practice.Hidden;

/// <summary>One fault of a deck: its kind, where it sits, how bad it is.</summary>
/// <param name="Kind">What is wrong.</param>
/// <param name="Place">Where.</param>
/// <param name="Severity">How bad, 1 to 2; below 0 where the kind can be off the other way.</param>
public sealed record HiddenFault(FaultKind Kind, FaultPlace Place, double Severity)
{
    /// <summary>The words that a learner may give for it: kind, then direction, side and setting as far as it has them.</summary>
    public string Name => string.Join('.', Words());

    /// <summary>Puts it into a deck.</summary>
    public PracticeDeck Into(PracticeDeck deck) => Kind.Apply(deck, Place, Severity);

    /// <summary>Draws faults of different kinds.</summary>
    /// <param name="seed">Any number; the same number gives the same faults.</param>
    /// <param name="count">How many, 0 to the number of kinds.</param>
    /// <param name="settings">The deck's tape settings.</param>
    public static IReadOnlyList<HiddenFault> Draw(long seed, int count, IReadOnlyList<string> settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        Faults.InRange(nameof(count), count, 0, FaultKind.All.Count);
        var stream = new NoiseStream(seed, "hidden faults");
        var left = FaultKind.All.ToList();
        var drawn = new List<HiddenFault>();
        for (var i = 0; i < count; i++)
        {
            var kind = left[(int)(stream.NextUniform() * left.Count)];
            left.Remove(kind);
            var direction = stream.NextUniform() < 0.5 ? TapeDirection.Forward : TapeDirection.Reverse;
            var side = stream.NextUniform() < 0.5 ? PracticeSide.Left : PracticeSide.Right;
            var setting = settings[(int)(stream.NextUniform() * settings.Count)];
            var severity = stream.NextBetween(1, 2) * (stream.NextUniform() < 0.5 && kind.IsSigned ? -1 : 1);
            drawn.Add(
                new HiddenFault(
                    kind,
                    new FaultPlace(kind.HasDirection ? direction : null, kind.HasSide ? side : null, kind.HasSetting ? setting : null),
                    Math.Round(severity, 3)
                )
            );
        }

        return drawn;
    }

    private IEnumerable<string> Words()
    {
        yield return Kind.Name;
        if (Place.Direction is { } direction)
            yield return direction == TapeDirection.Forward ? "forward" : "reverse";
        if (Place.Side is { } side)
            yield return side == PracticeSide.Left ? "left" : "right";
        if (Place.Setting is { } setting)
            yield return setting;
    }
}
