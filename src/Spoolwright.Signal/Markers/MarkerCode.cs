namespace Spoolwright.Signal.Markers;

/// <summary>How a row of sweeps reads: which side's code it is, and which way the tape ran.</summary>
/// <param name="Program">Number of the program, 0 to 31.</param>
/// <param name="Variant">Its variant, 0 to 7.</param>
/// <param name="IsRight">It is the code of the right side: every sweep goes the other way than on the left.</param>
/// <param name="IsBackwards">It came from its end, as from a tape that runs the other way.</param>
public readonly record struct MarkerWord(int Program, int Variant, bool IsRight, bool IsBackwards);

/// <summary>
/// The code of a marker: a row of sweeps, up (1) or down (0): a head, program and variant, six check bits, a tail. Backwards the row is
/// reversed and every sweep turns round; the right side carries every sweep turned round. Head and tail alone keep these four readings at
/// least four sweeps apart.
/// </summary>
public static class MarkerCode
{
    /// <summary>Sweeps in a marker.</summary>
    public const int Length = 24;

    /// <summary>Highest program number.</summary>
    public const int MostPrograms = 31;

    /// <summary>Highest variant.</summary>
    public const int MostVariants = 7;

    private const int DataBits = 8;
    private const int CheckBits = 6;
    private const int Polynomial = 0x03; // x⁶ + x + 1: finds every error of up to six sweeps in a row
    private const int CheckStart = 0x2A;
    private static readonly bool[] Head = [true, true, false, true, false];
    private static readonly bool[] Tail = [false, false, true, true, true];

    /// <summary>The left side's sweeps; true goes up. The right side has each the other way.</summary>
    /// <param name="program">0 to 31.</param>
    /// <param name="variant">0 to 7.</param>
    public static bool[] Encode(int program, int variant)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(program);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(program, MostPrograms);
        ArgumentOutOfRangeException.ThrowIfNegative(variant);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(variant, MostVariants);
        var data = (program << 3) | variant;
        return [.. Head, .. Bits(data, DataBits), .. Bits(Check(data), CheckBits), .. Tail];
    }

    /// <summary>Reads a row of sweeps in the order heard; null where a sweep is missing.</summary>
    /// <returns>The one reading that fits every sweep heard; null where none or more than one does.</returns>
    public static MarkerWord? Decode(IReadOnlyList<bool?> heard)
    {
        ArgumentNullException.ThrowIfNull(heard);
        if (heard.Count != Length)
        {
            throw new ArgumentException($"A marker has {Length} sweeps, not {heard.Count}.", nameof(heard));
        }

        MarkerWord? found = null;
        foreach (var isBackwards in (ReadOnlySpan<bool>)[false, true])
        {
            foreach (var isRight in (ReadOnlySpan<bool>)[false, true])
            {
                // Both turn every sweep round, so together they leave it.
                var turned = isRight ^ isBackwards;
                var row = (isBackwards ? heard.Reverse() : heard).Select(up => up ^ turned).ToArray();
                for (var data = 0; data < 1 << DataBits; data++)
                {
                    var word = Encode(data >> 3, data & 7);
                    if (Enumerable.Range(0, Length).All(i => row[i] is not { } up || up == word[i]))
                    {
                        if (found is not null)
                        {
                            return null;
                        }

                        found = new MarkerWord(data >> 3, data & 7, isRight, isBackwards);
                    }
                }
            }
        }

        return found;
    }

    private static IEnumerable<bool> Bits(int value, int count) =>
        Enumerable.Range(0, count).Select(i => ((value >> (count - 1 - i)) & 1) == 1);

    private static int Check(int data)
    {
        var register = CheckStart;
        foreach (var bit in Bits(data, DataBits))
        {
            var feed = ((register >> (CheckBits - 1)) & 1) == 1 ^ bit;
            register = ((register << 1) & ((1 << CheckBits) - 1)) ^ (feed ? Polynomial : 0);
        }

        return register;
    }
}
