namespace Spoolwright.Bench.Standards;

/// <summary>A replay equalization as published for one speed.</summary>
/// <param name="SpeedCmPerS">Tape speed, cm/s.</param>
/// <param name="Name">The name that stands for it first.</param>
/// <param name="OtherNames">Further names under which it is known at this speed.</param>
/// <param name="TrebleMicroseconds">Treble time constant t1, µs.</param>
/// <param name="BassMicroseconds">Bass time constant t2, µs; null: infinite.</param>
/// <param name="Years">Years in which it was laid down or in use, as the source gives them.</param>
/// <param name="Citation">The document and how far it was seen.</param>
public sealed record PublishedEqualization(
    double SpeedCmPerS,
    string Name,
    IReadOnlyList<string> OtherNames,
    double TrebleMicroseconds,
    double? BassMicroseconds,
    string Years,
    Citation Citation);

/// <summary>
/// Time constants of replay equalizations with their years, from [IASA-TC04] 5.4.10 table 1, which gathers [IEC60094-1:1981] clause 15.1,
/// [NAB:1965] and their forerunners. The two rows for 4.76 cm/s are remembered.
/// </summary>
public static class PublishedEqualizations
{
    private static readonly Citation Seen = new("IASA-TC04", Basis.Published);
    private static readonly Citation Remembered = new("IEC60094-1:1981", Basis.Memory);

    /// <summary>Every row of the table, falling speed, current ones first.</summary>
    public static IReadOnlyList<PublishedEqualization> All { get; } =
    [
        new(76.2, "IEC2", ["AES"], 17.5, null, "current, 1981", Seen),
        new(76.2, "IEC1", ["CCIR", "DIN"], 35, null, "CCIR 1953-66, DIN 1962, IEC 1968", Seen),
        new(38.1, "IEC1", ["CCIR", "DIN", "BS"], 35, null, "current, 1968 (CCIR 1953, DIN 1962)", Seen),
        new(38.1, "NAB", ["IEC2", "EIA"], 50, 3180, "current, 1953 (EIA 1963)", Seen),
        new(19.05, "IEC1", ["DIN studio", "CCIR"], 70, null, "current, 1968 (DIN studio 1965, CCIR 1966)", Seen),
        new(19.05, "NAB", ["IEC2", "DIN home", "EIA", "RIAA"], 50, 3180, "current, 1965 (DIN home 1966, EIA 1963, RIAA 1968)", Seen),
        new(19.05, "EIA proposed", [], 50, null, "1967", Seen),
        new(19.05, "IEC old", ["CCIR old", "DIN old", "BS old"], 100, null, "until 1965-68", Seen),
        new(9.525, "NAB", ["IEC2", "IEC", "RIAA"], 90, 3180, "current, 1968 (NAB 1965, RIAA 1968)", Seen),
        new(9.525, "DIN 1962", [], 120, 3180, "1962", Seen),
        new(9.525, "DIN 1955", [], 200, null, "1955-61", Seen),
        new(9.525, "EIA proposed", [], 100, null, "1967", Seen),
        new(9.525, "IEC 1962", [], 140, 3180, "1962-68", Seen),
        new(9.525, "early American", [], 200, 3180, "1953-58", Seen),
        new(4.7625, "IEC", ["DIN"], 120, 3180, "current, about 1971-74", Remembered),
        new(4.7625, "IEC old", ["DIN old"], 120, 1590, "about 1968-71", Remembered),
    ];

    /// <summary>The equalization of that name at that speed, whichever of its names is used; null where there is none.</summary>
    /// <param name="name">Name, upper or lower case.</param>
    /// <param name="speedCmPerS">Nominal speed, cm/s.</param>
    public static PublishedEqualization? Find(string name, double speedCmPerS) =>
        All.FirstOrDefault(e => Tape.TapeSpeed.Same(e.SpeedCmPerS, speedCmPerS)
            && (e.Name.Equals(name, StringComparison.OrdinalIgnoreCase) || e.OtherNames.Contains(name, StringComparer.OrdinalIgnoreCase)));

    /// <summary>Every equalization published for a speed.</summary>
    public static IReadOnlyList<PublishedEqualization> At(double speedCmPerS) =>
        [.. All.Where(e => Tape.TapeSpeed.Same(e.SpeedCmPerS, speedCmPerS))];
}
