using Spoolwright.Signal.Markers;

namespace Spoolwright.Signal.Tests.Markers;

/// <summary>What flutter leaves open of a marker's middle, against a matched filter by NumPy: tests/references/marker-wow.py.</summary>
public sealed class MarkerWowTests
{
    [Theory]
    [InlineData(1, true, 0.8848, 0.5268)]
    [InlineData(1, false, 1.0261, -0.0870)]
    [InlineData(5, true, -1.0230, 1.0828)]
    [InlineData(10, true, -1.0910, -1.4844)]
    [InlineData(10, false, 1.6625, 0.7934)]
    [InlineData(20, false, 0.4863, 0.9908)]
    [InlineData(40, true, -0.5600, -0.5281)]
    public void Response_OfASweep_IsWhatAMatchedFilterSays(double hz, bool upward, double re, double im)
    {
        var ours = MarkerWow.Response(hz, upward);
        Assert.Equal(re, ours.Re, 0.002);
        Assert.Equal(im, ours.Im, 0.002);
    }

    [Theory]
    [InlineData(10, 0, 0.794)]
    [InlineData(10, 4, 0.882)]
    [InlineData(2, 0, 0.724)]
    public void FlutterShare_OfAMarker_IsThatOfTheReference(int program, int variant, double share)
    {
        var row = SweepRow.Of([.. MarkerCode.Encode(program, variant).Select((up, slot) => (slot, up, SweepRow.Place(slot, up)))])!;
        Assert.Equal(share, MarkerWow.FlutterShare(row), 0.01);
    }

    [Fact]
    public void NoiseSeconds_GrowsAsTheSquareRootOfNoise()
    {
        Assert.Equal(0, MarkerWow.NoiseSeconds(1));
        Assert.Equal(2, MarkerWow.NoiseSeconds(Math.Sqrt(1 / 1.4)) / MarkerWow.NoiseSeconds(Math.Sqrt(1 / 1.1)), 1e-9);
    }
}
