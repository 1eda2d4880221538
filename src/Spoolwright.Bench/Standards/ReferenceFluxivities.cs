namespace Spoolwright.Bench.Standards;

/// <summary>A level of recorded flux that test tapes are made to.</summary>
/// <param name="NWbPerM">Short-circuit flux per unit of track width, rms, nWb/m.</param>
/// <param name="Use">Where it is used.</param>
/// <param name="Citation">The document and how far it was seen.</param>
public sealed record ReferenceFluxivity(double NWbPerM, string Use, Citation Citation);

/// <summary>
/// Reference fluxivities in use. Labels: tapes calibrated by the old transfer method carry 10 % less by the ring-head method of [AES7],
/// see <see cref="OldTransferMethodDb"/>.
/// </summary>
public static class ReferenceFluxivities
{
    /// <summary>What a tape calibrated by the old transfer-to-dc method holds against its label when measured by a ring head, dB
    /// [FLUX-AES8378].</summary>
    public const double OldTransferMethodDb = -0.92;

    /// <summary>Every level, rising.</summary>
    public static IReadOnlyList<ReferenceFluxivity> All { get; } =
    [
        new(160, "half of 320; data sheets of long-play tape", new("TAPE-SHEET-2006", Basis.Published)),
        new(185, "old American operating level, 700 Hz (500 Hz at slow speeds), taken as 0 VU", new("FLUX-TABLE", Basis.Practice)),
        new(200, "operating level of modern tapes with NAB equalization, 1 kHz", new("FLUX-TABLE", Basis.Practice)),
        new(250, "IEC reference at 9.5 and 4.75 cm/s; raised level at 19 and 38 cm/s", new("TAPE-SHEET-2006", Basis.Published)),
        new(257, "half of 514; home and semi-professional stereo decks", new("DIN45513-NOTES", Basis.Practice)),
        new(320, "DIN and IEC reference at 76, 38 and 19 cm/s, 1 kHz", new("DIN45513", Basis.Published)),
        new(355, "raised level, 6 dB over 185 as sold (5.66 dB)", new("CALTAPE-NOTE", Basis.Published)),
        new(370, "6 dB over 185", new("FLUX-HISTORY", Basis.Published)),
        new(514, "German-speaking broadcast, two-track stereo", new("DIN45513-NOTES", Basis.Practice)),
    ];

    /// <summary>Level of one fluxivity against another, dB.</summary>
    public static double LevelDb(double nWbPerM, double againstNWbPerM)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(nWbPerM);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(againstNWbPerM);
        return 20 * Math.Log10(nWbPerM / againstNWbPerM);
    }
}
