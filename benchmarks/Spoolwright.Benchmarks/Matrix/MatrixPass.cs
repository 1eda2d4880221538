using Spoolwright.Bench;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Benchmarks.Matrix;

/// <summary>One capture of the matrix, what is measured of it, and what is known beside it.</summary>
/// <param name="FileName">Its file.</param>
/// <param name="Measurements">Catalogue ids.</param>
/// <param name="Kind">What is played or recorded: the name of a program, or of a test tape.</param>
/// <param name="Cell">Its condition.</param>
internal sealed record MatrixPass(string FileName, IReadOnlyList<string> Measurements, string Kind, MatrixCell Cell)
{
    /// <summary>Every capture of a deck with six heads: two directions by two speeds by two tape settings, test tapes once a direction and
    /// speed. About an hour.</summary>
    public static IReadOnlyList<MatrixPass> All { get; } = [.. MatrixCell.All.SelectMany(OfCell)];

    public MeasurementSettings Settings()
    {
        var reference = Kind is "speed" or "levels" ? (double?)null : MatrixCell.ReferenceDbfs;
        return new MeasurementSettings
        {
            Condition = new Condition(
                Cell.Direction == TapeDirection.Forward ? Direction.Forward : Direction.Reverse,
                Cell.SpeedCmPerS,
                Cell.Setting
            ),
            TestTape = Kind == "levels" ? TestTapeFile.Parse(TestTapeLeaflet.ToJson(RestorersTapes.Levels(Cell.SpeedCmPerS))).Value : null,
            NominalHz = Kind is "erase" or "crosstalk" or "dropouts" ? 1000 : null,
            ReferenceLevelLeftDb = reference,
            ReferenceLevelRightDb = reference,
        };
    }

    private static IEnumerable<MatrixPass> OfCell(MatrixCell cell)
    {
        if (cell.Setting == AutoReverseRecorder.Normal)
        {
            yield return Of(cell, "speed", "speed");
            yield return Of(cell, "levels", "playback", "azimuth");
        }

        yield return Of(cell, "bias", "bias");
        yield return Of(cell, "response", "record");
        yield return Of(cell, "multitone", "record");
        yield return Of(cell, "mol", "distortion");
        yield return Of(cell, "saturation", "distortion");
        yield return Of(cell, "blank", "noise");
        yield return Of(cell, "crosstalk", "crosstalk");
        yield return Of(cell, "erase", "erase");
        yield return Of(cell, "dropouts", "dropouts");
    }

    private static MatrixPass Of(MatrixCell cell, string kind, params string[] measurements) =>
        new(
            FormattableString.Invariant($"{cell.Direction}-{cell.SpeedCmPerS:0}-{cell.Setting}-{kind}.wav").ToLowerInvariant(),
            measurements,
            kind,
            cell
        );
}

/// <summary>Direction, speed and tape setting.</summary>
internal sealed record MatrixCell(TapeDirection Direction, double SpeedCmPerS, string Setting)
{
    public const double ReferenceDbfs = -18;

    public static IReadOnlyList<MatrixCell> All { get; } =
    [
        .. from direction in new[] { TapeDirection.Forward, TapeDirection.Reverse }
           from speed in new[] { 19.05, 9.525 }
           from setting in new[] { AutoReverseRecorder.Normal, AutoReverseRecorder.High }
           select new MatrixCell(direction, speed, setting),
    ];

    public TapeStock Stock => Setting == AutoReverseRecorder.High ? TapeStock.Ardleigh : TapeStock.Hembury;
}
