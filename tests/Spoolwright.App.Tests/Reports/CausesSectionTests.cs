using Spoolwright.Bench;
using Spoolwright.Bench.Causes;
using Spoolwright.Reports;

namespace Spoolwright.App.Tests.Reports;

public class CausesSectionTests
{
    [Fact]
    public void NamedCause_HasItsRow_WithFiguresAndWhatItRestsOn()
    {
        var section = CausesSection.Of(Explainer.Explain(CauseBook.Default, [Speed(1.4)], null));
        var row = Assert.Single(section.Rows);
        Assert.StartsWith("The capstan turns at the wrong speed", row.Cause, StringComparison.Ordinal);
        Assert.Equal("common practice, no source", row.RestsOn);
        Assert.Contains("speed error, forward, 19.05 cm/s: 1.40\u00A0%", row.For);
        Assert.Null(section.Open);
        Assert.Equal("1 figure was weighed; one cause is likelier than not.", section.InShort);
    }

    [Fact]
    public void SoundDeck_HasNoRow() => Assert.Empty(CausesSection.Of(Explainer.Explain(CauseBook.Default, [Speed(0.02)], null)).Rows);

    private static MeasuredUnder Speed(double percent) =>
        new(
            "speed",
            new Condition(Direction.Forward, 19.05),
            [
                new Reading
                {
                    Quantity = "speed-error",
                    Value = percent,
                    Unit = "%",
                    Uncertainty = 0.1,
                    Method = "",
                },
            ]
        );
}
