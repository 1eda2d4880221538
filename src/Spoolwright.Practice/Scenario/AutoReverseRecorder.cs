using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Scenario;

/// <summary>The record side of the invented auto-reverse deck: as it came in, and as it leaves. Its two settings were laid out for the
/// tapes that it is sold with.</summary>
public static class AutoReverseRecorder
{
    /// <summary>Tape setting for <see cref="TapeStock.Hembury"/>.</summary>
    public const string Normal = "normal";

    /// <summary>Tape setting for <see cref="TapeStock.Ardleigh"/>.</summary>
    public const string High = "high";

    /// <summary>Tape from record to replay gap, mm, forward: 160.1 ms at 19.05 cm/s.</summary>
    public const double ForwardMm = 30.5;

    /// <summary>The same in reverse.</summary>
    public const double ReverseMm = 31.2;

    /// <summary>
    /// As it came in: the record heads askew by 4' forward and −5' in reverse; forward left over-biased by 2 dB and right under-biased by
    /// 1.5 dB in both settings, with level and equalization turned to hide it; in reverse dirt on the left record gap and an erase head
    /// that leaves 1 kHz only 48 dB down; bias in the right output.
    /// </summary>
    public static PracticeRecorder AsFound { get; } =
        Build(
            Head(ForwardMm, 4, 71, new RecordTrims(0.9, 2.5, 2), new RecordTrims(-0.6, -1.5, -1.5), -58),
            Head(ReverseMm, -5, 48, new RecordTrims(1.2, 0.5, 0.4), new RecordTrims(-0.3, 0.6, -0.5), -58)
                .With(PracticeSide.Left, c => c with { SpacingUm = 3.5 })
        );

    /// <summary>As it leaves: everything within small residues.</summary>
    public static PracticeRecorder AsLeft { get; } = Build(
        Head(ForwardMm, 0.3, 73, new RecordTrims(0.05, 0.1, 0.06), new RecordTrims(-0.04, -0.12, -0.05), -82),
        Head(ReverseMm, -0.2, 72, new RecordTrims(-0.06, 0.1, 0.04), new RecordTrims(0.05, 0.08, 0.08), -82));

    private static PracticeRecorder Build(RecordHead forward, RecordHead reverse) => new()
    {
        Forward = forward,
        Reverse = reverse,
        Settings = [new RecordSetting(Normal, TapeStock.Hembury), new RecordSetting(High, TapeStock.Ardleigh)],
        BiasHz = 104_600,
    };

    private static RecordHead Head(double toReplayMm, double azimuthArcmin, double eraseDb, RecordTrims left, RecordTrims right, double biasLeakDb)
    {
        var head = new RecordHead { ToReplayMm = toReplayMm, AzimuthArcmin = azimuthArcmin, EraseDepthDb = eraseDb, GapStaggerUm = 0.1 };
        foreach (var setting in new[] { Normal, High })
            head = head.With(PracticeSide.Left, c => c.With(setting, _ => left)).With(PracticeSide.Right, c => c.With(setting, _ => right));
        return head.With(PracticeSide.Right, c => c with { BiasLeakDb = biasLeakDb });
    }
}
