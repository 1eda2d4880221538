using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;

namespace Spoolwright.Bench.Tests.Service;

/// <summary>The matrix laid out by hand: rows and columns, what is proven, what is in doubt, what comes next.</summary>
public sealed class DeckMatrixTests
{
    private static readonly DateTimeOffset Noon = new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero);
    private static readonly Guid Job = Guid.NewGuid();
    private static readonly Condition Fast = new(Direction.Forward, 19.05);

    private static readonly DeckProfile Profile = new()
    {
        Name = "Test",
        Directions = [Direction.Forward, Direction.Reverse],
        SpeedsCmPerS = [9.525, 19.05],
        TapeSettings = ["normal", "high"],
        Limits =
        [
            new Limit { Quantity = "supply-tension", Min = 50, Max = 80, Source = "test" },
            new Limit { Quantity = "speed-error", Min = -0.5, Max = 0.5, Source = "test" },
            new Limit { Quantity = "azimuth-angle", Min = -3, Max = 3, Source = "test" },
            new Limit { Quantity = "overbias-error", Min = -0.5, Max = 0.5, TapeSetting = "high", Source = "test" },
        ],
    };

    [Fact]
    public void Matrix_OfADeck_HasGaugesByDirectionPlayedBySpeedRecordedBySetting()
    {
        var parts = Laid([]).Parts;
        Assert.Equal([MatrixScope.Gauges, MatrixScope.Playback, MatrixScope.Record], parts.Select(p => p.Scope));
        Assert.Equal([2, 4, 8], parts.Select(p => p.Rows.Count));
        Assert.Equal(["speed", "azimuth"], parts[1].Columns.Select(c => c.Measurement));
        Assert.Equal([("bias", Channel.Left), ("bias", Channel.Right)], parts[2].Columns.Select(c => (c.Measurement, c.Channel)));
        Assert.All(parts[2].Rows, r => Assert.Equal(r.Condition.TapeSetting == "normal", r.Cells[0] is null)); // no limit speaks of that setting
    }

    [Theory]
    [InlineData("azimuth", Direction.Forward, true)]
    [InlineData("azimuth", Direction.Reverse, false)]
    [InlineData("tension", Direction.Reverse, true)]
    [InlineData("bias", Direction.Forward, false)]
    [InlineData("record-level", Direction.Forward, false)]
    public void Azimuth_AfterAnAdjustment_IsInDoubtWhereItHangsOnIt(string what, Direction direction, bool doubt)
    {
        var filed = Filed(
            "azimuth",
            Fast,
            Mark.AsLeft,
            new Reading
            {
                Quantity = "azimuth-angle",
                Value = 1,
                Unit = "arcmin",
                Uncertainty = 0.1,
                Method = "test",
            }
        );
        var before = Cell(Laid([filed], new Adjusted(what, new Condition(direction, 9.525), Noon.AddHours(-1))), "azimuth");
        var after = Cell(Laid([filed], new Adjusted(what, new Condition(direction, 9.525), Noon.AddHours(1))), "azimuth");
        Assert.Null(before.Doubt);
        Assert.Equal(doubt, after.Doubt is not null);
        Assert.Equal(Verdict.Met, after.Verdict);
        Assert.Equal(doubt, after.IsOpen);
    }

    [Fact]
    public void AsFound_WhateverWasTurnedSince_IsNotInDoubt()
    {
        var filed = Filed(
            "azimuth",
            Fast,
            Mark.AsFound,
            new Reading
            {
                Quantity = "azimuth-angle",
                Value = 1,
                Unit = "arcmin",
                Uncertainty = 0.1,
                Method = "test",
            }
        );
        Assert.Null(Cell(Laid([filed], new Adjusted("azimuth", Fast, Noon.AddHours(1))), "azimuth").Doubt);
    }

    [Fact]
    public void Next_InTheOrderOfTheTrade_IsTheFirstThatIsOpen()
    {
        FiledMeasurement Tension(Direction direction) =>
            Filed(
                "tension",
                new Condition(direction, 19.05),
                Mark.AsLeft,
                new Reading
                {
                    Quantity = "supply-tension",
                    Value = 60,
                    Unit = "gf",
                    Uncertainty = 2,
                    Method = "test",
                    Direction = direction,
                }
            );
        Assert.Equal("tension", Laid([]).Next!.Value.Cell.Measurement);
        Assert.Equal(Direction.Reverse, Laid([Tension(Direction.Forward)]).Next!.Value.Condition.Direction);
        Assert.Equal("speed", Laid([Tension(Direction.Forward), Tension(Direction.Reverse)]).Next!.Value.Cell.Measurement);
        Assert.Equal(
            "tension",
            Laid(
                [Tension(Direction.Forward), Tension(Direction.Reverse)],
                new Adjusted("tension", Fast, Noon.AddHours(1))
            ).Next!.Value.Cell.Measurement
        );
    }

    [Fact]
    public void SecondCaptureOfAMeasurement_AddsWhatItReads_AndANewerReadingCounts()
    {
        Reading Of(string quantity, string unit, double value) =>
            new() { Quantity = quantity, Value = value, Unit = unit, Uncertainty = 0.1, Method = "test" };
        FiledMeasurement At(int hours, Reading reading) =>
            Filed("speed", Fast, Mark.AsLeft, reading) is var f ? f with { Entry = f.Entry with { MeasuredAt = Noon.AddHours(hours) } } : f;

        // A capture that reads another quantity does not hide the one that is judged, as a ramp at 10 kHz hid the one at 1 kHz.
        var cell = Cell(Laid([At(0, Of("speed-error", "%", 0.2)), At(1, Of("drift", "%", 0.1))]), "speed");
        Assert.Equal((Verdict.Met, 0.2, Noon), (cell.Verdict, cell.Worst!.Reading!.Value, cell.From!.MeasuredAt));
        // What was read again counts as it was read last, better or worse.
        Assert.Equal(0.1, Cell(Laid([At(0, Of("speed-error", "%", 0.9)), At(1, Of("speed-error", "%", 0.1))]), "speed").Worst!.Reading!.Value);
        Assert.Equal(Verdict.NotMet, Cell(Laid([At(1, Of("speed-error", "%", 0.9)), At(0, Of("speed-error", "%", 0.1))]), "speed").Verdict);
    }

    [Fact]
    public void SheetOfBothDirections_TellsEachRowItsOwn()
    {
        Reading Of(Direction direction, double force) =>
            new() { Quantity = "supply-tension", Value = force, Unit = "gf", Uncertainty = 1, Direction = direction, Method = "test" };
        var filed = Filed("tension", Fast, Mark.AsLeft, Of(Direction.Forward, 56));
        filed = filed with { Result = filed.Result with { Readings = [Of(Direction.Forward, 56), Of(Direction.Reverse, 90)] } };
        var rows = Laid([filed]).Parts[0].Rows;
        Assert.Equal(
            [(Direction.Forward, 56.0, Verdict.Met), (Direction.Reverse, 90.0, Verdict.NotMet)],
            rows.Select(r => (r.Condition.Direction, r.Cells[0]!.Worst!.Reading!.Value, r.Cells[0]!.Verdict))
        );
    }

    [Fact]
    public void Doubts_AsATable_NameMeasurementsThatThereAre() =>
        Assert.All(Doubt.All, d => Assert.All(d.Measurements, m => Assert.NotNull(Catalogue.Find(m))));

    private static DeckMatrix Laid(IReadOnlyList<FiledMeasurement> filed, params Adjusted[] adjusted) => DeckMatrix.Of(
        Profile,
        new JobFile(new Deck(Guid.NewGuid(), "Test", "{}", "1", ""), new Job(Job, Guid.NewGuid(), Noon, null, "test"), filed, []),
        adjusted);

    private static MatrixCell Cell(DeckMatrix matrix, string measurement)
    {
        var part = matrix.Parts.Single(p => p.Columns.Any(c => c.Measurement == measurement));
        var column = part.Columns.ToList().FindIndex(c => c.Measurement == measurement);
        return part.Rows.Single(r => r.Condition == Fast).Cells[column]!;
    }

    private static FiledMeasurement Filed(string measurement, Condition condition, Mark mark, Reading reading) =>
        new(
            new CaptureEntry
            {
                Id = Guid.NewGuid(),
                JobId = Job,
                Capture = new Capture("a.wav", new string('0', 64), null, null, null),
                Condition = condition,
                Mark = mark,
                Measurement = measurement,
                MeasuredAt = Noon,
                ProgramVersion = "test",
            },
            new MeasurementResult(measurement, [reading], [], []),
            [],
            Profile.Limits
        );
}
