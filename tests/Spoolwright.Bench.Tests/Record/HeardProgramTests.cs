using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Tests.Tones;
using Spoolwright.Signal;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Bench.Tests.Record;

/// <summary>What the marker of a program of ours says to the measurements that read its sound.</summary>
public sealed class HeardProgramTests
{
    [Theory]
    [InlineData("noise", "multitone", "measure record")]
    [InlineData("noise", "saturation", "measure distortion")]
    [InlineData("distortion", "multitone", "measure record")]
    [InlineData("distortion", "blank", "measure noise")]
    [InlineData("erase", "mol", "measure distortion")]
    [InlineData("dropouts", "mol", "measure distortion")]
    [InlineData("bias", "saturation", "measure distortion")]
    [InlineData("bias", "response", "measure record")]
    public void AnotherProgram_IsNamedAndRefused(string measurement, string program, string instead)
    {
        var sound = TapedProgram.Play(Brief(program), new() { HissDb = -70, Speed = 0.995 });
        var e = Assert.Throws<CannotMeasureException>(() =>
            Catalogue.Find(measurement)!.Measure!(sound, MeasurementSettings.None, null)
        );
        Assert.Equal("other-program", e.Code);
        Assert.Contains($"the program {program}, whose marker ends at 2.4 s", e.Message, StringComparison.Ordinal);
        Assert.Contains(instead, e.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', e.Message);
    }

    // White noise of −60 dBFS in 20 kHz has −59.51 dBFS from 22.4 Hz to 22.4 kHz [computed]; 9 s of it lie within 0.03 dB.
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void BlankTape_IsReadBetweenItsMarkers_AndTheyAreNoNews(bool backwards)
    {
        var (left, right) = TapedProgram.Samples(Brief("blank"), new() { HissDb = -60 });
        if (backwards)
        {
            Array.Reverse(left);
            Array.Reverse(right);
        }

        var result = NoiseMeasurement.Measure(new MemorySound(left, right, 48000), MeasurementSettings.None, null);
        var noise = result.Readings.Single(r => r.Quantity == "noise-unweighted" && r.Channel == Channel.Left);
        Assert.Equal(-60 + (10 * Math.Log10((22_400 - 22.4) / 20_000)), noise.Value, 0.03);
        Assert.DoesNotContain(result.Notes, n => n.Code is "level-change" or "clicks" or "unsteady-noise");
    }

    // Nothing was erased: the pauses beside the markers are no erased tape.
    [Fact]
    public void Erase_OfATapeThatNobodyErased_IsRefused()
    {
        var sound = TapedProgram.Play(Brief("erase"), new() { HissDb = -60 });
        var e = Assert.Throws<CannotMeasureException>(() => EraseMeasurement.Measure(sound, MeasurementSettings.None, null));
        Assert.Equal("no-erased-part", e.Code);
    }

    // The tone of the program, and not what the markers' sweeps sound like, where treble is 28 dB down.
    [Fact]
    public void Saturation_FarUnderItsMarkers_SaysNothingOfOtherTones()
    {
        var sound = TapedProgram.Play(Brief("saturation"), new() { HissDb = -90, CornerHz = 400 });
        var result = DistortionMeasurement.Measure(sound, MeasurementSettings.None, null);
        Assert.All(result.Readings, r => Assert.Equal(10_000, r.FrequencyHz));
        Assert.DoesNotContain(result.Notes, n => n.Text.Contains("at 1000 Hz", StringComparison.Ordinal) || n.Code is "no-levels" or "not-alone");
    }

    private static SignalProgram Brief(string name)
    {
        var kind = ProgramList.Find(name)!;
        return ProgramList.Make(kind, steadySeconds: kind.SteadySeconds is null ? null : 10, brief: kind.BriefVariant is not null);
    }
}
